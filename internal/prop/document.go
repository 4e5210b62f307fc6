package prop

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// A Document is the text of a prop file, edited without losing comments, order or
// formatting. An edit that would leave problems in the text is refused and changes
// nothing.
type Document struct {
	name   string
	text   []byte
	tree   *tree
	prop   *Prop
	doubts Problems
	sign   *Sign // nil when the text has none or it has problems

	path   string // path of the file loaded or saved; empty for none
	onDisk []byte // content of that file at that time
}

// A Where locates a value: a key in the nth table of a name, from 0. The top of the
// file is table "".
type Where struct {
	Table string
	Index int
	Key   string
}

// String writes the place as problems do: "run 2, length".
func (w Where) String() string {
	switch {
	case w.Table == "":
		return w.Key
	case repeatable[w.Table]:
		return fmt.Sprintf("%s %d, %s", w.Table, w.Index+1, w.Key)
	}
	return w.Table + ", " + w.Key
}

// Text is the whole current text.
func (d *Document) Text() string { return string(d.text) }

// Name is the document's name in problems.
func (d *Document) Name() string { return d.name }

// Prop is the prop the text describes; nil while the text has problems.
func (d *Document) Prop() *Prop { return d.prop }

// Doubts are warnings: things that look wrong but may be right. They do not prevent a
// save.
func (d *Document) Doubts() Problems { return d.doubts }

func (d *Document) reparse() (*Prop, error) {
	r := read(d.text, d.name)
	d.prop, d.tree, d.doubts, d.sign = r.prop, r.tree, r.doubts, r.sign
	if len(r.bad) > 0 {
		return nil, r.bad
	}
	return r.prop, nil
}

// copyWith is a document of the same file with another text, not yet parsed.
func (d *Document) copyWith(text []byte) *Document {
	return &Document{name: d.name, text: text, path: d.path, onDisk: d.onDisk}
}

// replaceText replaces the text if the new one parses; otherwise it changes nothing and returns
// the problems.
func (d *Document) replaceText(text []byte) error {
	next := d.copyWith(text)
	if _, err := next.reparse(); err != nil {
		return err
	}
	*d = *next
	return nil
}

// A change replaces the bytes from start to end.
type change struct {
	start, end int
	with       string
}

// Get returns the value at a place as written in the file, quotes included; false when
// there is none.
func (d *Document) Get(w Where) (string, bool) {
	e := d.table(w).find(w.Key)
	if e == nil {
		return "", false
	}
	return string(d.text[e.val.start:e.val.end]), true
}

func (d *Document) table(w Where) *table {
	if d.tree == nil {
		return nil
	}
	all := d.tree.all(w.Table)
	if w.Index < 0 || w.Index >= len(all) {
		return nil
	}
	return all[w.Index]
}

// Set gives a key a value: an int, a bool, a string (quantities with their unit) or a
// list of strings. An existing key keeps its place and its comment; a new one goes
// after the last key of its table. A missing table is added if it can occur only once.
func (d *Document) Set(w Where, v any) error { return d.SetAll([]Setting{{w, v}}) }

// A Setting is one value to set; a nil value removes the key.
type Setting struct {
	Where Where
	Value any
}

// SetAll makes several settings: all of them or none.
func (d *Document) SetAll(all []Setting) error {
	next := d.copyWith(d.text)
	next.tree = d.tree
	for _, s := range all {
		if next.tree == nil {
			return fmt.Errorf("%s cannot be edited here: correct it by hand first", d.name)
		}
		c, err := next.setting(s)
		if err != nil {
			return err
		}
		next.text = splice(next.text, c)
		next.reparse() //nolint:errcheck // replaceText checks the text after all changes
	}
	return d.replaceText(next.text)
}

func splice(text []byte, c change) []byte {
	out := make([]byte, 0, len(text)+len(c.with))
	out = append(out, text[:c.start]...)
	out = append(out, c.with...)
	return append(out, text[c.end:]...)
}

func (d *Document) setting(s Setting) (change, error) {
	if !has(Keys[s.Where.Table], s.Where.Key) {
		return change{}, fmt.Errorf("%s: there is no key %q in %s: %s", d.name, s.Where.Key, placeName(s.Where.Table), keyHint(s.Where.Table, s.Where.Key))
	}
	t := d.table(s.Where)
	if t == nil && (repeatable[s.Where.Table] || s.Where.Index != 0) {
		return change{}, fmt.Errorf("%s: there is no %s %d: it has %d", d.name, s.Where.Table, s.Where.Index+1, len(d.tree.all(s.Where.Table)))
	}
	e := t.find(s.Where.Key)
	if s.Value == nil {
		return d.removeKey(t, e)
	}
	value, err := written(s.Value)
	switch {
	case err != nil:
		return change{}, err
	case e != nil:
		return change{e.val.start, e.val.end, value}, nil
	case t == nil:
		return d.newTable(s.Where, value), nil
	}
	return d.newKey(t, s.Where.Key, value), nil
}

// written returns a value in TOML.
func written(v any) (string, error) {
	switch x := v.(type) {
	case int:
		return strconv.Itoa(x), nil
	case bool:
		return strconv.FormatBool(x), nil
	case string:
		return quoted(x)
	case []string:
		parts := make([]string, len(x))
		for i, s := range x {
			var err error
			if parts[i], err = quoted(s); err != nil {
				return "", err
			}
		}
		return "[" + strings.Join(parts, ", ") + "]", nil
	}
	return "", fmt.Errorf("a %T cannot be written into a prop file", v)
}

// quoted writes a TOML basic string.
func quoted(s string) (string, error) {
	if !utf8.ValidString(s) {
		return "", fmt.Errorf("the text %q is not UTF-8: type it again", s)
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < 0x20 || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String(), nil
}

func (d *Document) newline() string {
	if i := bytes.IndexByte(d.text, '\n'); i > 0 && d.text[i-1] == '\r' {
		return "\r\n"
	}
	return "\n"
}

// newKey adds a key after the last one of its table, and aligns its equals sign where
// the others are aligned.
func (d *Document) newKey(t *table, key, value string) change {
	if t.inline > 0 {
		comma := ""
		if len(t.entries) > 0 {
			comma = ","
		}
		return change{t.inline, t.inline, " " + key + " = " + value + comma}
	}
	line := t.prefix + key
	if pad := d.column(t) - len(line); pad > 0 {
		line += strings.Repeat(" ", pad)
	}
	line += " = " + value
	at := d.lastLine(t)
	end := d.lineEnd(at)
	if end == len(d.text) && (end == 0 || d.text[end-1] != '\n') {
		return change{end, end, d.newline() + line + d.newline()}
	}
	return change{end, end, line + d.newline()}
}

// lastLine is an offset in the line of the table's last own key, or in the first line for the
// top of a file without keys.
func (d *Document) lastLine(t *table) int {
	at := t.head
	for _, e := range t.entries {
		at = max(at, e.end-1)
	}
	return max(at, 0)
}

// lineEnd is the offset after the line that contains at.
func (d *Document) lineEnd(at int) int {
	if i := bytes.IndexByte(d.text[at:], '\n'); i >= 0 {
		return at + i + 1
	}
	return len(d.text)
}

// column is the width before the equals signs if all keys share it.
func (d *Document) column(t *table) int {
	col := 0
	for i, e := range t.entries {
		eq := bytes.IndexByte(d.text[e.start:e.val.start], '=')
		if eq < 1 {
			return 0
		}
		if i > 0 && eq-1 != col {
			return 0
		}
		col = eq - 1
	}
	return col
}

// newTable adds a table that can occur only once, at the end of the file.
func (d *Document) newTable(w Where, value string) change {
	nl := d.newline()
	text := nl + "[" + w.Table + "]" + nl + w.Key + " = " + value + nl
	if n := len(d.text); n > 0 && d.text[n-1] != '\n' {
		text = nl + text
	}
	return change{len(d.text), len(d.text), text}
}

// removeKey deletes a key with its line; a comment after it stays on a line of its own.
func (d *Document) removeKey(t *table, e *entry) (change, error) {
	if e == nil {
		return change{}, nil
	}
	if t.inline > 0 {
		return change{}, fmt.Errorf("%s line %d: %s stands in braces: take it out by hand", d.name, e.line, e.key)
	}
	start, end := d.tree.lines[e.line-1], d.lineEnd(e.end-1)
	rest := strings.TrimSpace(string(d.text[e.end:end]))
	if strings.HasPrefix(rest, "#") {
		rest += d.newline()
	}
	return change{start, end, rest}, nil
}
