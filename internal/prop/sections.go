package prop

import (
	"fmt"
	"slices"
	"strings"
)

// A Section is a run or named part that can be lit and checked alone while it stays in
// the finished prop. Data reaches it through the pixels before it.
type Section struct {
	Name        string
	First, Last int // pixels of the whole prop from 0, both included
}

// Sections lists the runs, if there are several, and then the named parts. Empty parts
// and runs without pixels are left out.
func (p *Prop) Sections() []Section {
	var out []Section
	starts := p.Starts()
	for i, r := range p.Runs {
		if r.Pixels > 0 && len(p.Runs) > 1 {
			first := starts[i]
			out = append(out, Section{p.RunName(i), first, first + r.Pixels - 1})
		}
	}
	n := p.Pixels()
	for _, t := range p.Parts {
		if !t.Empty && t.First >= 0 && t.First <= t.Last && t.Last < n {
			out = append(out, Section{t.Name, t.First, t.Last})
		}
	}
	return out
}

// Section finds a run or part by name, ignoring case. The error lists the known names.
func (p *Prop) Section(name string) (Section, error) {
	all := p.Sections()
	var names []string
	for _, c := range all {
		if c.Name == name {
			return c, nil
		}
		names = append(names, c.Name)
	}
	if i := slices.IndexFunc(all, func(c Section) bool { return strings.EqualFold(c.Name, name) }); i >= 0 {
		return all[i], nil
	}
	for _, t := range p.Parts {
		if t.Empty && strings.EqualFold(t.Name, name) {
			return Section{}, fmt.Errorf("part %q of %s is left empty: there is nothing to light", name, p.Name)
		}
	}
	if len(all) == 0 {
		return Section{}, fmt.Errorf("%s has one run and no named parts: leave the part out", p.Name)
	}
	return Section{}, fmt.Errorf("%s has no run or part %q: give one of %s", p.Name, name, strings.Join(names, ", "))
}

// Sub makes a section a prop of its own whose pixels keep their slots in p. Runs
// entirely inside it are unchanged; of others it holds the pixels in range, drawn in
// place. The supply is p's; feeds and parts other than empty ones are left out. A
// section outside p is an error.
func Sub(p *Prop, c Section) (*Prop, error) {
	if c.First < 0 || c.Last < c.First || c.Last >= p.Pixels() {
		return nil, fmt.Errorf("pixels %d to %d: %s has %d", c.First+1, c.Last+1, p.Name, p.Pixels())
	}
	patch, err := PatchFor(p)
	if err != nil {
		return nil, err
	}
	q := *p
	at := patch.At(c.First, 0)
	q.Address.Universe, q.Address.Slot = at.Universe, at.Slot
	q.Runs, q.Parts, q.Feeds = subRuns(p, c), nil, nil
	for _, t := range p.Parts {
		if first, last := max(t.First, c.First), min(t.Last, c.Last); t.Empty && first <= last {
			t.First, t.Last = first-c.First, last-c.First
			q.Parts = append(q.Parts, t)
		}
	}
	return &q, nil
}

func subRuns(p *Prop, c Section) []Run {
	var out []Run
	var places [][]Point
	first := 0
	for i, r := range p.Runs {
		from, to := max(c.First-first, 0), min(c.Last-first, r.Pixels-1)
		first += r.Pixels
		switch {
		case from > to:
			continue
		case from > 0 || to < r.Pixels-1:
			if places == nil {
				places = Layout(p)
			}
			r = stretch(r, places[i], from, to)
		}
		out = append(out, r)
	}
	return out
}

// stretch is pixels from..to of a run, both from 0, drawn in place.
func stretch(r Run, places []Point, from, to int) Run {
	if r.Name != "" {
		r.Name = fmt.Sprintf("%s %d-%d", r.Name, from+1, to+1)
	}
	if from > 0 {
		r.LeadIn, r.JointOhms = 0, 0
	}
	if to < r.Pixels-1 {
		r.LeadOut = 0
	}
	r.Cut, r.Closed = 0, false
	r.Pixels = to - from + 1
	if r.Shape.Kind == String {
		r.Shape = Shape{Kind: String, Corners: slices.Clone(places[from : to+1])}
	} else {
		r.Shape = Shape{Kind: Outline, Corners: corners(places, from, to)}
	}
	if r.Reverse {
		slices.Reverse(r.Shape.Corners)
	}
	return r
}

// corners extends the positions by half a pitch at both ends, as strip extends beyond
// its first and last pixel.
func corners(places []Point, from, to int) []Point {
	half := func(at, away int) Point { // the point half a pitch from position at, away from position away
		a, b := places[at], places[away]
		return Point{a.X + (a.X-b.X)/2, a.Y + (a.Y-b.Y)/2}
	}
	if from == to { // one pixel: take the pitch from its neighbours in the run
		next := from + 1
		if next == len(places) {
			next = from - 1
		}
		a, b := half(from, next), places[from]
		end := Point{2*b.X - a.X, 2*b.Y - a.Y}
		if next < from {
			a, end = end, a
		}
		return []Point{a, end}
	}
	out := []Point{half(from, from+1)}
	out = append(out, places[from:to+1]...)
	return append(out, half(to, to-1))
}
