package check

import (
	"slices"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
)

// A shownLight is what a prop shows with a fault that has no place of its own, when all pixels
// are sent one colour.
type shownLight struct {
	title canvas.Name
	light strip.Light
}

// shownWith is the light of one fault, by the simulated strip, of the first colour that shows
// another; false where none does, or nothing lights.
func shownWith(p *prop.Prop, fault strip.Fault) (shownLight, bool) {
	s, err := strip.New(p, fault)
	if err != nil {
		return shownLight{}, false
	}
	for _, c := range []patterns.Colour{{R: 255}, {G: 255}, {B: 255}} {
		light := s.Shine(slices.Repeat(patterns.Frame{c}, p.Pixels()))
		seen, sent := colourNames(light), checkout.NameOf(c)
		if len(seen) == 0 || slices.Equal(seen, []checkout.Name{sent}) || slices.Equal(seen, []checkout.Name{checkout.Dark}) {
			continue
		}
		out := shownLight{canvas.Name{Full: "all sent " + sent.String() + ", it shows", Brief: "sent " + sent.String() + ", shows"}, light}
		if len(seen) == 1 {
			out.title = canvas.Name{Full: "all sent " + sent.String() + ", it shows " + seen[0].String(), Brief: "sent " + sent.String() + ", shows " + seen[0].String()}
		}
		return out, true
	}
	return shownLight{}, false
}

// colourNames are the names of the colours of a light, each once.
func colourNames(light strip.Light) (seen []checkout.Name) {
	for _, x := range slices.Concat(light...) {
		if n := checkout.NameOf(x); !slices.Contains(seen, n) {
			seen = append(seen, n)
		}
	}
	return seen
}

// placeless is the light of the fault found where no pixel has a rank of its own, so that a
// drawing of places says nothing.
func (m scene) placeless(rank []uint8) (shownLight, bool) {
	f := m.st.findings
	if count(rank, ruledOut) < len(rank) || len(f) == 0 || !f[0].Sure.Firm() || f[0].Good || len(f[0].Causes) == 0 || len(f[0].Causes[0].Faults) != 1 {
		return shownLight{}, false
	}
	of := faultKey{m.sub, f[0].Causes[0].Faults[0]}
	made := m.draw.shownOf.Get(of, func() faultLight {
		light, ok := shownWith(of.prop, of.fault)
		return faultLight{light, ok}
	})
	return made.light, made.ok
}

// A faultKey is a fault of a prop, a faultLight what shownWith makes of it.
type (
	faultKey struct {
		prop  *prop.Prop
		fault strip.Fault
	}
	faultLight struct {
		light shownLight
		ok    bool
	}
)

// showing draws that light.
func (m scene) showing(shown shownLight, width, height int) []string {
	c := m.draw.shown.at(m, canvas.Counts(shown.light), width, height)
	c.SetLight(shown.light, 1)
	first, after := c.Used()
	lines := c.Lines()
	if c.Rows() { // the empty row between them and their legend is theirs
		return lines[first:after]
	}
	return lines[max(0, first-1):min(len(lines), after+1)] // a row of ground around it
}
