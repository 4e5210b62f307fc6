package prop

import (
	"bytes"
	"errors"
	"fmt"
	"sort"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2"
)

// MaxFile is the largest prop file read, in bytes.
const MaxFile = 1 << 20

// Keys lists the keys allowed in each table of the file, in the order to show them; ""
// is the top of the file. To add a key: 1. here; 2. in the read function of its table;
// 3. in the format's page (internal/cli/pages/prop-file.md) and the template.
var Keys = map[string][]string{
	"":        {"name", "note"},
	"strip":   {"chip", "density", "group", "order", "volts", "lowest", "idle", "full", "rail", "reel", "coil", "lead_wire"},
	"supply":  {"volts", "amps", "continuous", "temperature"},
	"address": {"host", "port", "interface", "universe", "slot", "packing", "priority", "sync"},
	"run": {"name", "pixels", "length", "diameter", "shape", "points", "corners", "centre", "angle", "start",
		"travel", "lead_in", "lead_out", "joint", "closed", "apart"},
	"part":  {"name", "run", "first", "last", "empty"},
	"sign":  {"holes", "pitch", "rise", "reach", "data_in", "lead", "pixels", "tucked"},
	"piece": {"name", "marks"},
	"feed":  {"name", "at", "length", "wire", "fuse"},
}

// repeatable holds the tables that may be repeated, written [[name]].
var repeatable = map[string]bool{"run": true, "part": true, "feed": true, "piece": true}

// Parse reads the text of a prop file; problems call the file name. If the text is at
// fault the error is of type Problems. The document, with the text and the doubts, is
// returned even then.
func Parse(text []byte, name string) (*Prop, *Document, error) {
	d := &Document{name: name, text: append([]byte(nil), text...)}
	p, err := d.reparse()
	return p, d, err
}

// A reader turns a tree into a prop and collects the problems.
type reader struct {
	*tree
	file      string
	prop      *Prop
	bad       Problems
	doubts    Problems
	inch      int // lengths written in inches or feet, less those written in metres
	runTables []runTable

	byName     map[string]int // runs by name in lower case
	total      int            // pixels of all runs
	uncounted  bool           // a run's count is wrong or missing
	unreported int            // problems beyond maxProblems

	sign *Sign // nil when there is none or it has problems

	misspelt map[string]bool // keys and tables that are present but misspelt
}

// maxProblems limits the problems reported; more than that usually have one cause.
const maxProblems = 100

// A runTable keeps a run's table for checks of the whole prop.
type runTable struct {
	t     *table
	given bool // a pixel count is written
	first int  // its first pixel
}

// A reading is the result of parsing a text: the prop or its problems, the doubts, and
// the sign if there is one.
type reading struct {
	prop        *Prop
	tree        *tree
	bad, doubts Problems
	sign        *Sign
}

func read(text []byte, file string) reading {
	if p, ok := unreadable(text, file); ok {
		return reading{bad: Problems{p}}
	}
	t := parseTree(text, file)
	r := &reader{tree: t, file: file, prop: &Prop{}, bad: append(Problems(nil), t.bad...), byName: map[string]int{}, misspelt: map[string]bool{}}
	r.checkTables()
	r.name()
	r.readSign()
	r.strip()
	r.supply()
	r.address()
	r.runs()
	r.parts()
	r.feeds()
	r.check()
	if len(r.bad) == 0 {
		r.checkFullTOML()
	}
	out := reading{tree: t, doubts: r.doubts.byLine(), sign: r.sign}
	if len(r.bad) > 0 {
		out.bad = r.bad.byLine()
		if r.unreported > 0 {
			out.bad = append(out.bad, Problem{r.file, 0, "", fmt.Sprintf("has %d more problems", r.unreported), "correct these first"})
		}
		return out
	}
	r.prop.Inches, r.prop.Sign = r.inch > 0, r.sign
	out.prop = r.prop
	return out
}

// checkFullTOML runs the full TOML decoder for errors that the parser with positions lets pass,
// such as a repeated key inside braces.
func (r *reader) checkFullTOML() {
	var all map[string]any
	err := toml.Unmarshal(bytes.TrimPrefix(r.tree.text, []byte(bom)), &all)
	var de *toml.DecodeError
	switch {
	case err == nil:
	case errors.As(err, &de):
		row, _ := de.Position()
		r.problem(row, "", "correct or remove this line", "%s", syntaxText(de.Error()))
	default:
		r.problem(0, "", "correct the file", "%s", syntaxText(err.Error()))
	}
}

// unreadable reports text that cannot be a prop file at all.
func unreadable(text []byte, file string) (Problem, bool) {
	switch {
	case len(text) > MaxFile:
		return Problem{file, 0, "", "is larger than 1 MB, which no prop file is", "check that it is the right file"}, true
	case bytes.HasPrefix(text, []byte("\xff\xfe")) || bytes.HasPrefix(text, []byte("\xfe\xff")):
		return Problem{file, 0, "", "is UTF-16 text", "save it as UTF-8 in your editor"}, true
	case !utf8.Valid(text):
		at := badByte(text)
		return Problem{file, bytes.Count(text[:at], []byte("\n")) + 1, "",
			fmt.Sprintf("is not UTF-8 text (byte 0x%02X)", text[at]), "save it as UTF-8 in your editor"}, true
	case len(bytes.TrimSpace(bytes.TrimPrefix(text, []byte(bom)))) == 0:
		return Problem{file, 0, "", "is empty", `write a first one with "ringout new NAME"`}, true
	}
	return Problem{}, false
}

func badByte(text []byte) int {
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRune(text[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return len(text) - 1
}

func (r *reader) problem(line int, key, hint, format string, a ...any) {
	if len(r.bad) >= maxProblems {
		r.unreported++
		return
	}
	r.bad = append(r.bad, Problem{r.file, line, key, fmt.Sprintf(format, a...), hint})
}

func (r *reader) doubt(line int, key, hint, format string, a ...any) {
	r.doubts = append(r.doubts, Problem{r.file, line, key, fmt.Sprintf(format, a...), hint})
}

// reportMissing reports a missing key or table, unless it is present misspelt or a line with
// a syntax error mentions it.
func (r *reader) reportMissing(line int, key, hint, format string, a ...any) {
	if r.misspelt[key] {
		return
	}
	_, name, found := strings.Cut(key, ", ")
	if !found {
		name = strings.Trim(key, "[]")
	}
	for _, bad := range r.badLines {
		if strings.Contains(strings.ToLower(bad), name) {
			return
		}
	}
	r.problem(line, key, hint, format, a...)
}

// checkTables reports unknown and repeated tables and keys.
func (r *reader) checkTables() {
	seen, nth := map[string]int{}, map[string]int{}
	r.checkEntries(spot{r.top, ""})
	for _, t := range r.tree.tables {
		if _, ok := Keys[t.name]; !ok || t.name == "" {
			r.problem(t.line, "", r.tableHint(t.name), "the table [%s] is not known here", t.name)
			continue
		}
		switch first, twice := seen[t.name]; {
		case repeatable[t.name] && !t.many && t.inline == 0:
			r.problem(t.line, "", fmt.Sprintf("write [[%s]]", t.name), "[%s] needs double brackets, since there may be several", t.name)
		case !repeatable[t.name] && t.many:
			r.problem(t.line, "", fmt.Sprintf("write [%s]", t.name), "[[%s]] needs single brackets, since there is only one", t.name)
		case twice && !repeatable[t.name]:
			r.problem(t.line, "", "put all its keys into one", "[%s] is here a second time, after line %d", t.name, first)
		}
		seen[t.name] = t.line
		s := spot{t, t.name}
		if nth[t.name]++; repeatable[t.name] {
			s.name = fmt.Sprintf("%s %d", t.name, nth[t.name])
		}
		r.checkEntries(s)
	}
}

func (r *reader) tableHint(name string) string {
	names := tableNames()
	if n := nearest(name, names); n != "" {
		r.misspelt[brackets(n)] = true
		return fmt.Sprintf("did you mean %s?", brackets(n))
	}
	for i, n := range names {
		names[i] = brackets(n)
	}
	return "there are " + strings.Join(names, ", ")
}

// tableNames lists the known tables in alphabetical order.
func tableNames() []string {
	var names []string
	for n := range Keys {
		if n != "" {
			names = append(names, n)
		}
	}
	sort.Strings(names)
	return names
}

func brackets(table string) string {
	if repeatable[table] {
		return "[[" + table + "]]"
	}
	return "[" + table + "]"
}

func (r *reader) checkEntries(s spot) {
	seen := map[string]int{}
	for _, e := range s.t.entries {
		if first, ok := seen[e.key]; ok {
			r.problem(e.line, s.key(e.key), "keep one of them", "is here a second time, after line %d", first)
		}
		seen[e.key] = e.line
		if !has(Keys[s.t.name], e.key) {
			if n := nearest(e.key, Keys[s.t.name]); n != "" {
				r.misspelt[s.key(n)] = true
			}
			r.problem(e.line, s.name, keyHint(s.t.name, e.key), "%q is no key of %s", e.key, placeName(s.t.name))
		}
	}
}

func placeName(table string) string {
	if table == "" {
		return "the top of the file"
	}
	return brackets(table)
}

// keyHint suggests the key that was probably meant, of this table or of another.
func keyHint(table, key string) string {
	if n := nearest(key, Keys[table]); n != "" {
		return fmt.Sprintf("did you mean %q?", n)
	}
	for _, other := range []string{"", "strip", "supply", "address", "run", "part", "feed", "sign", "piece"} {
		if has(Keys[other], key) {
			return fmt.Sprintf("it belongs to %s", placeName(other))
		}
	}
	return "the keys are " + strings.Join(Keys[table], ", ")
}

func has(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
