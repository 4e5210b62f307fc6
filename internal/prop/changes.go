package prop

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/pelletier/go-toml/v2/unstable"
)

// A Change is one value that differs between two texts of a prop file.
type Change struct {
	What    string // name of the value: "colour order", "middle ring, pixels"
	Was, Is string // without quotes; empty where the text does not have it
}

// Says returns the change in words; was and is name the two texts: "colour order: GRB
// now, RGB then".
func (c Change) Says(was, is string) string {
	text := fmt.Sprintf("%s: %s %s, %s %s", c.What, given(c.Was), was, given(c.Is), is)
	return strings.Map(func(r rune) rune { // replace control and format characters, which a terminal would execute
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
			return ' '
		}
		return r
	}, text)
}

func given(value string) string {
	if value == "" {
		return "not given"
	}
	return value
}

// Changes lists the values that differ between two texts of a prop file: first those of
// the newer text in its order, then those only the older one has. Comments, spaces and
// the order of keys do not count. Repeated tables are matched by name, or by position
// where a name is new. Lines that are not TOML are compared together, as one value.
func Changes(older, newer string) []Change {
	a, b := factsOf(older), factsOf(newer)
	var out []Change
	if was, is := a.order(b), b.order(a); was != is {
		out = append(out, Change{"order of the runs", was, is})
	}
	for _, f := range b.all {
		id := f.at
		if id.table >= 0 {
			id.table, id.name = b.partner(a, f.at.kind, id.table)
		}
		was, there := a.find(id)
		if !there || was.value != f.value {
			out = append(out, Change{f.what(), was.value, f.value})
		}
		a.seen[id] = true
	}
	for _, f := range a.all {
		if !a.seen[f.at] {
			out = append(out, Change{f.what(), f.value, ""})
		}
	}
	if was, is := strings.Join(a.bad, " / "), strings.Join(b.bad, " / "); was != is {
		out = append(out, Change{"what is not TOML", was, is})
	}
	return out
}

// A factAt locates a value in a prop file.
type factAt struct {
	kind  string // of the table; empty for the top of the file
	table int    // which of several, from 0; -1 where there is one
	name  string // of that table; empty for none
	key   string
	again int // how often the key occurs earlier in the same table, which TOML forbids
}

// A fact is one value of a prop file.
type fact struct {
	at    factAt
	value string
}

// what returns the name of the value in words.
func (f fact) what() string {
	key := strings.ReplaceAll(f.at.key, "_", " ")
	switch {
	case f.at.kind == "run" && f.at.name != "":
		return f.at.name + ", " + key
	case f.at.table >= 0 && f.at.name != "":
		return f.at.kind + " " + f.at.name + ", " + key
	case f.at.table >= 0:
		return fmt.Sprintf("%s %d, %s", f.at.kind, f.at.table+1, key)
	case f.at.kind == "strip" && f.at.key == "order":
		return "colour order"
	case f.at.kind == "" || f.at.kind == "address":
		return key
	}
	return f.at.kind + " " + key
}

// facts holds all values of a text, indexed.
type facts struct {
	all   []fact
	place map[factAt]int            // index of a value in all
	times map[factAt]int            // how often a key occurs in a table
	names map[string][]string       // names of the repeated tables, by kind
	at    map[string]map[string]int // index of the table of a kind with a name
	bad   []string                  // lines that are not TOML
	seen  map[factAt]bool
}

func factsOf(text string) *facts {
	t := parseTree([]byte(strings.ToValidUTF8(text, "?")), "")
	f := &facts{place: map[factAt]int{}, times: map[factAt]int{}, names: map[string][]string{}, at: map[string]map[string]int{}, bad: t.badLines, seen: map[factAt]bool{}}
	f.addTable(t, t.top, -1)
	for _, table := range t.tables {
		at := -1
		if table.many {
			at = f.name(table)
		}
		f.addTable(t, table, at)
	}
	return f
}

// name records the name of a repeated table and returns its index.
func (f *facts) name(of *table) (at int) {
	at = len(f.names[of.name])
	name := ""
	if e := of.find("name"); e != nil {
		name = e.val.text
	}
	if f.at[of.name] == nil {
		f.at[of.name] = map[string]int{}
	}
	if _, twice := f.at[of.name][name]; twice { // a second table of that name counts as unnamed
		name = ""
	}
	f.names[of.name] = append(f.names[of.name], name)
	if name != "" {
		f.at[of.name][name] = at
	}
	return at
}

func (f *facts) addTable(t *tree, of *table, at int) {
	name := ""
	if at >= 0 {
		name = f.names[of.name][at]
	}
	for _, e := range of.entries {
		value := e.val.text
		if e.val.kind == unstable.Array || e.val.kind == unstable.InlineTable {
			value = strings.Join(strings.Fields(string(t.text[e.val.start:e.val.end])), " ")
		}
		is := fact{factAt{kind: of.name, table: at, name: name, key: e.key}, value}
		is.at.again, f.times[is.at] = f.times[is.at], f.times[is.at]+1
		f.place[is.at] = len(f.all)
		f.all = append(f.all, is)
	}
}

func (f *facts) find(at factAt) (fact, bool) {
	i, there := f.place[at]
	if !there {
		return fact{}, false
	}
	return f.all[i], true
}

// partner finds the table of the other text that matches one here: by name, or by
// position if neither name is in both texts.
func (f *facts) partner(other *facts, kind string, at int) (table int, name string) {
	mine, theirs := f.names[kind], other.names[kind]
	if i, there := other.at[kind][mine[at]]; there {
		return i, theirs[i]
	}
	if at < len(theirs) {
		if _, here := f.at[kind][theirs[at]]; !here {
			return at, theirs[at]
		}
	}
	return len(theirs) + at, ""
}

// order lists the runs that the other text has too, in data order.
func (f *facts) order(other *facts) string {
	var out []string
	for _, name := range f.names["run"] {
		if _, there := other.at["run"][name]; there {
			out = append(out, name)
		}
	}
	return strings.Join(out, ", ")
}
