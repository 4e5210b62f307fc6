package underway

import (
	"fmt"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/words"
)

// A Way is how a part is connected while it is checked.
type Way uint8

// The ways.
const (
	Whole   Way = iota // all of the prop
	Unbuilt            // one run alone on the bench, not yet joined to others, so first on the wire
	Joined             // a run or named part of the finished prop, in place
)

// A Part is the part of a prop that is checked. The zero value is the whole prop.
type Part struct {
	Way  Way
	Name string // as on screen and in files; empty for the whole prop
	run  int    // of Unbuilt
	at   prop.Section
}

// Parts lists what can be checked apart from the whole: the runs alone on the bench,
// then the sections of the finished prop.
func Parts(p *prop.Prop) []Part {
	var out []Part
	for i := range p.Runs {
		out = append(out, Part{Way: Unbuilt, Name: p.RunName(i), run: i})
	}
	for _, s := range p.Sections() {
		out = append(out, Part{Way: Joined, Name: s.Name, at: s})
	}
	return out
}

// Named finds a part by name, ignoring case, among those of a way.
func Named(p *prop.Prop, way Way, name string) (Part, error) {
	var names []string
	for _, pt := range Parts(p) {
		if pt.Way != way {
			continue
		}
		if strings.EqualFold(pt.Name, name) {
			return pt, nil
		}
		names = append(names, pt.Name)
	}
	if way == Joined { // its error mentions empty parts
		_, err := p.Section(name)
		return Part{}, err
	}
	return Part{}, fmt.Errorf("%s has no run %q: give one of %s", p.Name, name, strings.Join(names, ", "))
}

// Run is the index of a run alone on the bench; -1 for other parts.
func (pt Part) Run() int {
	if pt.Way == Unbuilt {
		return pt.run
	}
	return -1
}

// Of returns the part as a prop of its own, and its first pixel on the wire.
func (pt Part) Of(p *prop.Prop) (sub *prop.Prop, first int, err error) {
	switch pt.Way {
	case Unbuilt:
		q := *p
		q.Runs, q.Parts, q.Feeds = []prop.Run{p.Runs[pt.run]}, nil, nil
		return &q, 0, nil
	case Joined:
		sub, err = prop.Sub(p, pt.at)
		return sub, pt.at.First, err
	}
	return p, 0, nil
}

// Span is the part's pixel range in the finished prop.
func (pt Part) Span(p *prop.Prop) show.Span {
	first, n := 0, p.Pixels()
	switch pt.Way {
	case Unbuilt:
		first, n = p.FirstPixel(pt.run), p.Runs[pt.run].Pixels
	case Joined:
		first, n = pt.at.First, pt.at.Last-pt.at.First+1
	}
	return show.Span{First: first, Last: first + n - 1}
}

// Text is a line for choosing the part.
func (pt Part) Text(p *prop.Prop) string {
	sub, first, err := pt.Of(p)
	switch {
	case err != nil:
		return pt.Name
	case pt.Way == Joined:
		return fmt.Sprintf("%s, in the finished prop: %d to %d", pt.Name, first+1, first+sub.Pixels())
	}
	return fmt.Sprintf("%s, not joined yet: %s", pt.Name, words.Count(sub.Pixels(), "pixel"))
}

// where says how the part was checked, for the record.
func (pt Part) where() string {
	if pt.Way == Joined {
		return pt.Name + " alone, in the finished prop"
	}
	return pt.Name + " alone on the bench"
}

// mark writes the part into an unfinished check.
func (pt Part) mark(u *record.UnfinishedCheck) {
	u.Run, u.Alone, u.InPlace = pt.Name, pt.Way != Whole, pt.Way == Joined
}

// PartOf is the part of an unfinished check; false when the prop no longer has it.
func PartOf(p *prop.Prop, u record.UnfinishedCheck) (Part, bool) {
	if !u.Alone {
		return Part{}, true
	}
	for _, pt := range Parts(p) {
		if pt.Name == u.Run && (pt.Way == Joined) == u.InPlace {
			return pt, true
		}
	}
	return Part{}, false
}
