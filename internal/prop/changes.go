package prop

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/pelletier/go-toml/v2/unstable"
)

// A Change is one thing that two texts of a prop file say differently.
type Change struct {
	What    string // what it is called: "colour order", "middle ring, pixels"
	Was, Is string // without quotes; empty where the text does not say it
}

// Says is the change in words, with a word for each of the two: "colour order: GRB now,
// RGB then".
func (c Change) Says(was, is string) string {
	text := fmt.Sprintf("%s: %s %s, %s %s", c.What, given(c.Was), was, given(c.Is), is)
	return strings.Map(func(r rune) rune { // terminals obey what a file may hold
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

// Changes are the values that two texts of a prop file give differently, in the order of
// the newer one, and after them those it no longer gives. Notes, spaces and the order of
// keys make none. Tables that are there several times are matched by their names, or by
// their place where a name is new. Text that is not TOML is compared as a whole.
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

// A factAt is the place of a value.
type factAt struct {
	kind  string // of the table; empty for the top of the file
	table int    // which of several, from 0; -1 where there is one
	name  string // of that table; empty for none
	key   string
	again int // how often the key occurs above in the same table, which TOML forbids
}

// A fact is a value of a text.
type fact struct {
	at    factAt
	value string
}

// what is what the value is called.
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

// facts are all values of a text.
type facts struct {
	all   []fact
	place map[factAt]int            // in all
	times map[factAt]int            // that a key occurs in a table
	names map[string][]string       // of the tables of each kind that may be there several times
	at    map[string]map[string]int // which table of a kind has a name
	bad   []string                  // lines that are not TOML
	seen  map[factAt]bool
}

func factsOf(text string) *facts {
	t := grow([]byte(strings.ToValidUTF8(text, "?")), "")
	f := &facts{place: map[factAt]int{}, times: map[factAt]int{}, names: map[string][]string{}, at: map[string]map[string]int{}, bad: t.badLines, seen: map[factAt]bool{}}
	f.take(t, t.top, -1)
	for _, table := range t.tables {
		at := -1
		if table.many {
			at = f.name(table)
		}
		f.take(t, table, at)
	}
	return f
}

// name notes the name of a table that may be there several times, and says which it is.
func (f *facts) name(of *table) (at int) {
	at = len(f.names[of.name])
	name := ""
	if e := of.find("name"); e != nil {
		name = e.val.text
	}
	if f.at[of.name] == nil {
		f.at[of.name] = map[string]int{}
	}
	if _, twice := f.at[of.name][name]; twice { // a second one of that name has none
		name = ""
	}
	f.names[of.name] = append(f.names[of.name], name)
	if name != "" {
		f.at[of.name][name] = at
	}
	return at
}

func (f *facts) take(t *tree, of *table, at int) {
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

// partner is the table of another text that one here was: that of its name, or else the
// one at its place, if neither name is in both texts.
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

// order is the names of the runs that another text has too, in the order of the data.
func (f *facts) order(other *facts) string {
	var out []string
	for _, name := range f.names["run"] {
		if _, there := other.at["run"][name]; there {
			out = append(out, name)
		}
	}
	return strings.Join(out, ", ")
}
