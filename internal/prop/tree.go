package prop

import (
	"bytes"
	"errors"
	"fmt"
	"sort"
	"strings"
	"unicode"

	"github.com/pelletier/go-toml/v2/unstable"
)

// A tree is a TOML text with the position of every value, for problems and edits. Prop
// files have no nested tables; those stay unknown tables here.
type tree struct {
	text   []byte
	lines  []int    // offset at which each line starts
	top    *table   // keys before the first header
	tables []*table // in file order
	bad    Problems // syntax

	badLines []string // the text of each line with a syntax error
}

type table struct {
	name    string
	line    int
	head    int    // offset of the header's line
	many    bool   // [[name]] rather than [name]
	inline  int    // offset after the "{" when written in braces, else 0
	prefix  string // "strip." when the table is known only from dotted keys
	entries []*entry
}

type entry struct {
	key   string
	line  int
	start int // offset of the key
	end   int // offset after the value
	val   value
}

type value struct {
	kind       unstable.Kind
	text       string // strings: decoded; numbers and words: as written
	start, end int
	items      []value // of an array
	fields     []*entry
}

// maxSyntax stops the search for syntax errors: with so many, the file is hardly a prop
// file.
const maxSyntax = 20

// parseTree parses the text into a tree. text must be UTF-8.
func parseTree(text []byte, file string) *tree {
	t := &tree{text: text, top: &table{}}
	t.lines = append(t.lines, 0)
	for i, c := range text {
		if c == '\n' {
			t.lines = append(t.lines, i+1)
		}
	}
	base := 0
	if bytes.HasPrefix(text, []byte(bom)) {
		base = len(bom)
	}
	g := treeBuilder{tree: t, at: t.top, dots: map[string]*table{}, file: file}
	for base < len(text) && len(t.bad) < maxSyntax {
		base = g.readFrom(base)
	}
	return t
}

const bom = "\ufeff"

// A treeBuilder builds a tree from the expressions of a TOML text.
type treeBuilder struct {
	*tree
	at   *table
	dots map[string]*table // tables known from dotted keys
	file string
}

// readFrom reads expressions from offset base up to the end or the first syntax error.
// It returns where to continue: after the line of the error.
func (g *treeBuilder) readFrom(base int) int {
	var p unstable.Parser
	p.Reset(g.text[base:])
	last := base
	for p.NextExpression() {
		last = g.takeExpression(p.Expression(), base)
	}
	err := p.Error()
	if err == nil {
		return len(g.text)
	}
	off := last
	var pe *unstable.ParserError
	if errors.As(err, &pe) && len(pe.Highlight) > 0 {
		off = base + int(p.Range(pe.Highlight).Offset)
	}
	line := g.lineOf(off)
	text := g.lineText(line)
	g.badLines = append(g.badLines, text)
	says, hint := g.slip(text, err)
	g.problem(line, "", says, hint)
	g.guessHeader(text, line)
	if line >= len(g.lines) {
		return len(g.text)
	}
	return g.lines[line]
}

// lineText is the text of a line, counted from 1, without its newline.
func (t *tree) lineText(line int) string {
	end := len(t.text)
	if line < len(t.lines) {
		end = t.lines[line]
	}
	return strings.TrimSpace(string(t.text[t.lines[line-1]:end]))
}

// guessHeader assigns the keys after a malformed header, such as "[supply", to the
// table that was meant and not to the one before it.
func (g *treeBuilder) guessHeader(text string, line int) {
	if !strings.HasPrefix(text, "[") {
		return
	}
	name := strings.ToLower(strings.Trim(text, "[](){}<>“”\"' \t"))
	if _, known := Keys[name]; !known {
		name = nearest(name, tableNames())
	}
	g.at = &table{name: name, line: line, head: g.lines[line-1], many: repeatable[name]}
	if name != "" {
		g.tables = append(g.tables, g.at)
	}
}

func syntaxText(s string) string {
	return "this is not TOML (" + strings.TrimPrefix(s, "toml: ") + ")"
}

// slip says what is wrong with a line that is not TOML, and what to do: first the slips
// that are made most by hand.
func (g *treeBuilder) slip(text string, err error) (says, hint string) {
	if strings.ContainsAny(text, "“”„‟‘’‚«»") {
		return "this line has typographic quotes", `type plain ones (") in a text editor; word processors put in the others`
	}
	if strings.Contains(text, "\r") && !bytes.Contains(g.text, []byte("\n")) {
		return "the lines of this file end in CR alone", "save it with the line ends LF or CRLF"
	}
	plain, _, _ := strings.Cut(text, "#")
	key, val, equals := strings.Cut(plain, "=")
	key, val = strings.TrimSpace(key), strings.TrimSpace(val)
	if equals && isKey(key) && quantityWithoutQuotes(val) {
		return "this value has no quotes", fmt.Sprintf("write %s = %q", key, val)
	}
	key, val, is := strings.Cut(plain, ":")
	if key = strings.TrimSpace(key); is && isKey(key) {
		return "this line has a colon where an equals sign belongs", fmt.Sprintf("write %s = %s", key, strings.TrimSpace(val))
	}
	return syntaxText(err.Error()), "correct or remove this line"
}

// isKey reports whether a text is a key of any table of the file.
func isKey(s string) bool {
	for _, keys := range Keys {
		if has(keys, s) {
			return true
		}
	}
	return false
}

// quantityWithoutQuotes reports a number with a unit behind it, such as 5 V or 7,5 A.
func quantityWithoutQuotes(s string) bool {
	digit := s != "" && s[0] >= '0' && s[0] <= '9'
	return digit && !strings.ContainsAny(s, `"'`) && strings.ContainsFunc(s, unicode.IsLetter)
}

func (g *treeBuilder) problem(line int, key, text, hint string) {
	g.bad = append(g.bad, Problem{g.file, line, key, text, hint})
}

// lineOf is the line, from 1, that contains the offset.
func (t *tree) lineOf(off int) int {
	return sort.SearchInts(t.lines, off+1)
}

// takeExpression adds one expression to the tree and returns an offset inside it.
func (g *treeBuilder) takeExpression(n *unstable.Node, base int) int {
	switch n.Kind {
	case unstable.Table, unstable.ArrayTable:
		return g.takeHeader(n, base)
	case unstable.KeyValue:
		e, names := g.entry(n, base)
		g.place(e, names)
		return e.end
	}
	return base
}

func (g *treeBuilder) takeHeader(n *unstable.Node, base int) int {
	names, start, _ := keyNames(n, base)
	line := g.lineOf(start)
	g.at = &table{name: strings.Join(names, "."), line: line, head: g.lines[line-1], many: n.Kind == unstable.ArrayTable}
	g.tables = append(g.tables, g.at)
	return start
}

func keyNames(n *unstable.Node, base int) (names []string, start, end int) {
	for it := n.Key(); it.Next(); {
		k := it.Node()
		if len(names) == 0 {
			start = base + int(k.Raw.Offset)
		}
		end = base + int(k.Raw.Offset+k.Raw.Length)
		names = append(names, string(k.Data))
	}
	return names, start, end
}

// entry reads a key and its value.
func (g *treeBuilder) entry(n *unstable.Node, base int) (*entry, []string) {
	names, start, keyEnd := keyNames(n, base)
	end := base + int(n.Raw.Offset+n.Raw.Length)
	from := keyEnd + bytes.IndexByte(g.text[keyEnd:end], '=') + 1
	for from < end && (g.text[from] == ' ' || g.text[from] == '\t') {
		from++
	}
	e := &entry{key: names[len(names)-1], line: g.lineOf(start), start: start, end: end}
	e.val = g.value(n.Value(), base)
	e.val.start, e.val.end = from, end
	return e, names
}

func (g *treeBuilder) value(n *unstable.Node, base int) value {
	v := value{kind: n.Kind, text: string(n.Data),
		start: base + int(n.Raw.Offset), end: base + int(n.Raw.Offset+n.Raw.Length)}
	switch n.Kind {
	case unstable.Array:
		for it := n.Children(); it.Next(); {
			v.items = append(v.items, g.value(it.Node(), base))
		}
	case unstable.InlineTable:
		for it := n.Children(); it.Next(); {
			e, names := g.entry(it.Node(), base)
			e.key = strings.Join(names, ".")
			v.fields = append(v.fields, e)
		}
	}
	return v
}

// place adds an entry to its table. Tables in braces, lists of them and dotted keys
// become ordinary tables.
func (g *treeBuilder) place(e *entry, names []string) {
	if g.at != g.top || len(names) > 2 {
		e.key = strings.Join(names, ".")
		g.at.entries = append(g.at.entries, e)
		return
	}
	if len(names) == 2 {
		t := g.dottedTable(names[0], e)
		t.entries = append(t.entries, e)
		return
	}
	switch {
	case e.val.kind == unstable.InlineTable:
		g.tables = append(g.tables, g.inlineTable(e, e.val, false))
	case e.val.kind == unstable.Array && len(e.val.items) > 0 && e.val.items[0].kind == unstable.InlineTable:
		for _, item := range e.val.items {
			g.tables = append(g.tables, g.inlineTable(e, item, true))
		}
	default:
		g.top.entries = append(g.top.entries, e)
	}
}

func (g *treeBuilder) inlineTable(e *entry, v value, many bool) *table {
	t := &table{name: e.key, line: g.lineOf(v.start), head: -1, many: many, inline: v.start + 1, entries: v.fields}
	return t
}

func (g *treeBuilder) dottedTable(name string, e *entry) *table {
	if t := g.dots[name]; t != nil {
		return t
	}
	t := &table{name: name, line: e.line, head: -1, prefix: name + "."}
	g.tables, g.dots[name] = append(g.tables, t), t
	return t
}

// all returns the tables of one name, in file order.
func (t *tree) all(name string) []*table {
	if name == "" {
		return []*table{t.top}
	}
	var out []*table
	for _, x := range t.tables {
		if x.name == name {
			out = append(out, x)
		}
	}
	return out
}

// find returns the entry of a key; nil when the table has none.
func (t *table) find(key string) *entry {
	if t == nil {
		return nil
	}
	for _, e := range t.entries {
		if e.key == key {
			return e
		}
	}
	return nil
}
