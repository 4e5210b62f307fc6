package plan

import (
	"errors"
	"fmt"

	"example.org/ringout/internal/plan"
	"example.org/ringout/internal/prop"
)

// add puts a new run after run i, or a new feed or part after the others,
// with figures to start from. pl may be nil. It returns the changed copy,
// which one of its kind the new one is, and a sentence.
func add(d *prop.Document, table string, i int, pl *plan.Plan) (*prop.Document, int, string, error) {
	next := *d
	var err error
	said, at := "", d.Given(table)
	switch table {
	case "run":
		at = i + 1
		err = next.AddRun(at, newRun(d, i))
		said = "A run like the one before it: give it its own figures."
	case "feed":
		fields, why := newFeed(d, pl)
		err = next.AddTable("feed", fields)
		said = why
	case "part":
		err = addPart(&next)
		said = "A part: say which pixels it is."
	default:
		err = errors.New("there is one of these only: go to a run, feed or part, and add another there")
	}
	if err != nil {
		return d, 0, "", sentence(err, prop.Where{})
	}
	return &next, at, said, nil
}

// newRun has the figures of run i and a name of its own.
func newRun(d *prop.Document, i int) []prop.Field {
	p := d.Prop()
	r := p.Runs[i]
	out := []prop.Field{{Key: "name", Value: freeName("run", func(s string) bool {
		for _, r := range p.Runs {
			if r.Name == s {
				return true
			}
		}
		return false
	})}, {Key: "pixels", Value: r.Pixels}}
	if r.Shape.Kind == prop.Ring { // the other shapes want points or corners
		out = append(out, prop.Field{Key: "shape", Value: "ring"})
	}
	for _, key := range []string{"lead_in", "lead_out"} {
		if raw, given := d.Get(prop.Where{Table: "run", Index: i, Key: key}); given {
			out = append(out, prop.Field{Key: key, Value: typed(raw)})
		}
	}
	return out
}

// freeName is "new run", or "new run 2" and so on when that is in use.
func freeName(stem string, used func(string) bool) string {
	name := "new " + stem
	for n := 2; used(name); n++ {
		name = fmt.Sprintf("new %s %d", stem, n)
	}
	return name
}

// newFeed has the wire of the last feed, and enters where the plan wants one.
func newFeed(d *prop.Document, pl *plan.Plan) ([]prop.Field, string) {
	p := d.Prop()
	name := freeName("feed", func(s string) bool {
		for _, f := range p.Feeds {
			if f.Name == s {
				return true
			}
		}
		return false
	})
	var at any = "end"
	said := "A feed at the end: say where it enters and on what wire."
	if len(p.Feeds) == 0 {
		at, said = "start", "A feed at the start: say on what wire it comes."
	}
	if pl != nil && len(pl.Power.Extra.Pixels) > 0 && pl.Prop == p {
		n := pl.Power.Extra.Pixels[0] + 1
		at, said = n, fmt.Sprintf("A feed at pixel %d, where the plan wants one: say on what wire it comes.", n)
	}
	length, wire := "1.5 m", "18 AWG"
	if p.Inches {
		length = "5 ft"
	}
	out := []prop.Field{{Key: "name", Value: name}, {Key: "at", Value: at}}
	for _, f := range []struct{ key, usual string }{{"length", length}, {"wire", wire}, {"fuse", ""}} {
		v := f.usual
		if raw, given := d.Get(prop.Where{Table: "feed", Index: len(p.Feeds) - 1, Key: f.key}); given {
			v = typed(raw)
		}
		if v != "" {
			out = append(out, prop.Field{Key: f.key, Value: v})
		}
	}
	return out, said
}

// addPart takes the first run that is no part yet, or else the first pixel
// that can be one alone.
func addPart(d *prop.Document) error {
	p := d.Prop()
	name := freeName("part", func(s string) bool {
		for _, t := range p.Parts {
			if t.Name == s {
				return true
			}
		}
		return false
	})
	for i, r := range p.Runs {
		first := p.FirstPixel(i)
		fields := []prop.Field{{Key: "name", Value: name}, {Key: "first", Value: first + 1}, {Key: "last", Value: first + r.Pixels}}
		if _, named := d.Get(prop.Where{Table: "run", Index: i, Key: "name"}); named {
			fields = []prop.Field{{Key: "name", Value: name}, {Key: "run", Value: r.Name}}
		}
		if d.AddTable("part", fields) == nil {
			return nil
		}
	}
	var err error
	for n := 1; n <= min(p.Pixels(), 50); n++ {
		if err = d.AddTable("part", []prop.Field{{Key: "name", Value: name}, {Key: "first", Value: n}, {Key: "last", Value: n}}); err == nil {
			return nil
		}
	}
	return err
}

// remove is a copy of the document without run, feed or part i.
func remove(d *prop.Document, table string, i int) (*prop.Document, error) {
	next := *d
	var err error
	switch {
	case !several(table):
		err = errors.New("this section stays: only a run, feed or part can be taken out")
	case i < 0:
		err = errors.New("there is nothing to take out here")
	case table == "run" && d.Given("run") == 1:
		err = errors.New("a prop has one run at least: change this one instead")
	case table == "run":
		err = next.RemoveRun(i)
	default:
		err = next.RemoveTable(table, i)
	}
	if err != nil {
		return d, sentence(err, prop.Where{})
	}
	return &next, nil
}

// move swaps run, feed or part i with the one before or after it.
func move(d *prop.Document, table string, i, by int) (*prop.Document, error) {
	n := d.Given(table)
	switch {
	case !several(table):
		return d, errors.New("this section stays where it is: only runs, feeds and parts can change places")
	case i < 0 || i+by < 0 || i+by >= n:
		return d, errors.New("it is at the end of its kind already")
	}
	order := make([]int, n)
	for k := range order {
		order[k] = k
	}
	order[i], order[i+by] = order[i+by], order[i]
	next := *d
	var err error
	if table == "run" {
		err = next.ReorderRuns(order)
	} else {
		err = next.ReorderTables(table, order)
	}
	if err != nil {
		return d, sentence(err, prop.Where{})
	}
	return &next, nil
}
