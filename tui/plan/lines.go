package plan

import (
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/style"
)

// A line is one row of the list of figures: a heading, or a figure.
type line struct {
	head  string // of a section; the line is then no figure
	where prop.Where
	fig   figure
	value string // as typed, without quotes; empty when not given
	given bool
	taken string // the default when it is not given
}

// empty marks the line of a section without tables.
func (l line) empty() bool { return l.where.Index < 0 }

// linesOf lists the figures of a document. all shows keys that are seldom
// needed and not given, too.
func linesOf(d *prop.Document, all bool) []line {
	var out []line
	for _, table := range tables {
		n := 1
		if several(table) {
			n = d.Given(table)
		}
		for i := range n {
			out = append(out, line{head: title(d.Prop(), table, i), where: prop.Where{Table: table, Index: i}})
			out = append(out, linesOfTable(d, table, i, all)...)
		}
		if n == 0 {
			out = append(out, line{head: titles[table] + "s", where: prop.Where{Table: table, Index: -1}},
				line{where: prop.Where{Table: table, Index: -1}, value: "none yet; press `a` to add one"})
		}
	}
	return out
}

func linesOfTable(d *prop.Document, table string, i int, all bool) []line {
	var out []line
	for _, f := range figures[table] {
		l := line{where: prop.Where{Table: table, Index: i, Key: f.key}, fig: f}
		var raw string
		if raw, l.given = d.Get(l.where); l.given {
			l.value = typed(raw)
		} else {
			l.taken = taken(d.Prop(), l.where)
		}
		if l.given || f.usual && !(d.Prop().Bulb() && stripOnly[table+"."+f.key]) || all {
			out = append(out, l)
		}
	}
	return out
}

// stripOnly are keys that do not apply to a bulb.
var stripOnly = map[string]bool{"strip.density": true, "strip.rail": true, "strip.reel": true, "strip.lead_wire": true,
	"run.length": true, "run.shape": true, "run.travel": true, "run.lead_in": true, "run.lead_out": true, "address.packing": true}

// title is the heading of a section.
func title(p *prop.Prop, table string, i int) string {
	name := ""
	switch table {
	case "run":
		name = p.Runs[i].Name
	case "feed":
		name = p.Feeds[i].Name
	case "part":
		name = p.Parts[i].Name
	case "strip":
		if p.Bulb() {
			return "Bulb"
		}
		return titles[table]
	default:
		return titles[table]
	}
	plain := fmt.Sprintf("%s %d", titles[table], i+1)
	if strings.EqualFold(name, plain) || name == "" {
		return plain
	}
	return plain + ": " + style.Clean(name)
}

// typed is a value of the file in the form typed here: without quotes, lists with
// semicolons.
func typed(raw string) string {
	var v struct{ V any }
	if toml.Unmarshal([]byte("V = "+raw), &v) != nil {
		return style.Clean(raw)
	}
	switch x := v.V.(type) {
	case bool:
		if x {
			return "yes"
		}
		return "no"
	case []any:
		var parts []string
		for _, e := range x {
			parts = append(parts, fmt.Sprint(e))
		}
		return style.Clean(strings.Join(parts, "; "))
	}
	return style.Clean(fmt.Sprint(v.V))
}
