package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// pointingAt is the light that points at the likeliest fault on the prop itself: the last
// sound pixel green, the first bad one red, their runs dim. It is nil when the fault has
// no place, when nothing is settled, and when the two colours would not show on a prop
// with that fault, by the simulated strip.
func pointingAt(p *prop.Prop, f []checkout.Finding) *show.PlaceLight {
	fault, ok := faultToPointAt(p, f)
	if !ok {
		return nil
	}
	bad := fault.Places(p)[0].First
	run, _ := p.Find(bad)
	dim := show.Span{First: p.FirstPixel(run), Last: p.FirstPixel(run) + p.Runs[run].Pixels - 1}
	if bad == dim.First && run > 0 {
		dim.First = p.FirstPixel(run - 1)
	}
	at := show.PlaceLight{Sound: bad - 1, Bad: bad, Run: dim}
	scope := strip.FactsOf(fault.Kind).Scope
	if scope == strip.AtPixel || scope == strip.FromPixel || visible(p, fault, &at) {
		return &at
	}
	return nil
}

// faultToPointAt is the fault of a firm finding, if it is one fault with a place; else
// false.
func faultToPointAt(p *prop.Prop, f []checkout.Finding) (strip.Fault, bool) {
	if p.Bulb() || len(f) == 0 || !f[0].Sure.Firm() || f[0].Good || len(f[0].Causes) == 0 || len(f[0].Causes[0].Faults) != 1 {
		return strip.Fault{}, false
	}
	fault := f[0].Causes[0].Faults[0]
	facts := strip.FactsOf(fault.Kind)
	whole := facts.Scope == strip.Whole || facts.Scope == strip.ChipsFrom && fault.Pixel == 0
	return fault, !whole && facts.Scope != strip.TwoRuns && !facts.Counted
}

// leftDark are the pixels that stay dark with the fault found when all are sent white, by
// the simulated strip.
func leftDark(p *prop.Prop, f []checkout.Finding) []bool {
	fault, _ := faultToPointAt(p, f)
	s, err := strip.New(p, fault)
	if err != nil {
		return nil
	}
	white := make(patterns.Frame, p.Pixels())
	for i := range white {
		white[i] = patterns.Colour{R: 255, G: 255, B: 255}
	}
	out := make([]bool, p.Pixels())
	flat := shone(s, white)
	for i := range min(len(flat), len(out)) {
		out[i] = flat[i].Dark()
	}
	return out
}

// shone is the light of all runs of a strip, in data order.
func shone(s *strip.Strip, sent patterns.Frame) (flat patterns.Frame) {
	for _, run := range s.Shine(sent) {
		flat = append(flat, run...)
	}
	return flat
}

// visible finds the colour that looks red at the fault, and reports whether there is one
// and the pixel before it looks green. A dark pixel will do: light does not reach it.
func visible(p *prop.Prop, fault strip.Fault, at *show.PlaceLight) bool {
	s, err := strip.New(p, fault)
	if err != nil {
		return false
	}
	for _, c := range []patterns.Colour{{R: 255}, {G: 255}, {B: 255}} {
		at.Red = c
		flat := shone(s, at.Frames()(nil, p.Pixels(), 0))
		if at.Bad >= len(flat) {
			return false
		}
		bad, sound := flat[at.Bad], patterns.Colour{G: 255}
		if at.Sound >= 0 {
			sound = flat[at.Sound]
		}
		if sound == (patterns.Colour{G: sound.G}) && !sound.Dark() && bad == (patterns.Colour{R: bad.R}) {
			return true
		}
	}
	return false
}

// pointed moves the pointing light, or switches it on or off; false for other keys.
func (p findingPage) pointed(m Model, k tea.KeyMsg) (Model, bool) {
	at := m.st.points
	switch {
	case at == nil:
		return m, false
	case key.Matches(k, m.keys.Off):
		p.off = !p.off
	case p.off:
		return m, true
	case key.Matches(k, m.keys.Nearer) && at.Bad+p.by > 0:
		p.by--
	case key.Matches(k, m.keys.Farther) && at.Bad+p.by < m.of.sub.Pixels():
		p.by++
	}
	m.page = p
	return m.fresh(), true
}

// shows is the light that points at the fault.
func (p findingPage) shows(m Model) show.Want {
	if m.st.points == nil || p.off || m.work.busy {
		return show.Want{}
	}
	at := *m.st.points
	at.Sound, at.Bad = at.Sound+p.by, at.Bad+p.by
	return show.Want{Frames: moved(at.Frames(), m.of.first, m.of.sub.Pixels())}
}

// pointer describes the pointing light, its keys between backquotes; empty for none.
func (p findingPage) pointer(m Model) string {
	at := m.st.points
	if at == nil || p.off {
		return ""
	}
	green, red, end := at.Sound+p.by, at.Bad+p.by, m.of.sub.Pixels()
	if p.by == 0 {
		text := "Nothing is before it"
		if green >= 0 {
			text = fmt.Sprintf("Pixel %d, still sound, is green", green+1)
		}
		return fmt.Sprintf("%s; pixel %d, the first bad one, is red if light reaches it. %s", text, red+1, walkKeys)
	}
	var lit []string
	if green >= 0 {
		lit = append(lit, fmt.Sprintf("pixel %d is green", green+1))
	}
	if red < end {
		lit = append(lit, fmt.Sprintf("pixel %d is red if light reaches it", red+1))
	}
	return fmt.Sprintf("Walked %s from the fault: %s. %s", wayWalked(p.by), strings.Join(lit, ", "), walkKeys)
}

// walkKeys are the keys of the pointing light.
const walkKeys = "`[` and `]` walk the light, `l` turns it off."

// wayWalked is the distance in pixels by which the light was moved, in words.
func wayWalked(by int) string {
	if by < 0 {
		return words.Count(-by, "pixel") + " back"
	}
	return words.Count(by, "pixel") + " on"
}

// walked sets the rank of the pixel to which the light was moved; false for none.
func (p findingPage) walked(m Model, rank []uint8) bool {
	if m.st.points == nil || p.off || p.by == 0 {
		return false
	}
	red := m.st.points.Bad + p.by
	fill(rank, show.Span{First: red, Last: red}, walkedTo)
	return red < len(rank)
}

// walkedKey is the sign of where the light was walked to.
var walkedKey = canvas.Name{Full: "+ red light", Brief: "+ red"}

// named are the signs of a finding's places, the likeliest place by its name.
func (m Model) named(rank []uint8) []canvas.Name {
	f := m.st.findings
	if m.st.listsKinds() {
		return openKey(rank)
	}
	if len(f) == 0 || len(f[0].Causes) == 0 || len(f[0].Causes[0].Faults) != 1 {
		return foundKey(rank, hereName)
	}
	fault := f[0].Causes[0].Faults[0]
	if placeUnknown(fault) {
		return m.countedKey(rank, fault)
	}
	text := placeText(m.of.sub, fault)
	if text == "" || m.of.sub.Bulb() {
		return foundKey(rank, hereName)
	}
	if !m.allDark(rank) {
		return foundKey(rank, canvas.Name{Full: badPixel + " " + text, Brief: hereName.Brief})
	}
	return darkKey(rank, text)
}

// darkKey names the signs where the likeliest place has many pixels, all dark. The first of them
// comes first where it has a sign of its own.
func darkKey(rank []uint8, place string) []canvas.Name {
	out := foundKey(rank, canvas.Name{Full: badPixel + " " + place + ", dark", Brief: badPixel + " dark"})
	after := canvas.Named(darkSign + " dark too")
	if at := slices.Index(rank, firstBad); at >= 0 {
		out = slices.DeleteFunc(out, func(n canvas.Name) bool { return n == firstBadName })
		out[0] = canvas.Name{Full: badPixel + " " + place, Brief: badPixel + " run"}
		out = slices.Insert(out, 0, canvas.Name{Full: fmt.Sprintf("%s pixel %d, first dark", firstBadSign, at+1), Brief: firstBadSign + " first dark"})
		after = canvas.Name{Full: darkSign + " dark after it", Brief: darkSign + " after"}
	}
	if i := slices.Index(out, darkName); i >= 0 {
		out[i] = after
	}
	return out
}

// allDark reports whether the likeliest places are several, and all of them dark.
func (m Model) allDark(rank []uint8) bool {
	for i, is := range m.st.dark {
		if rank[i] == likely && !is {
			return false
		}
	}
	return len(m.st.dark) > 0 && count(rank, likely) > 1
}

// countedKey names the run that has more or fewer pixels than planned. Where other places are
// marked alike, the sign can't say so.
func (m Model) countedKey(rank []uint8, fault strip.Fault) []canvas.Name {
	first := m.of.sub.FirstPixel(fault.Run)
	after := first + m.of.sub.Runs[fault.Run].Pixels
	out := foundKey(rank, hereName)
	if len(out) == 0 || out[0] != mayBeHere || slices.Contains(rank[:first], maybe) || slices.Contains(rank[after:], maybe) {
		return out
	}
	name, much := style.Clean(m.of.sub.RunName(fault.Run)), fmt.Sprintf("%d too many", fault.N)
	if fault.N < 0 {
		much = fmt.Sprintf("%d missing", -fault.N)
	}
	out[0] = canvas.Name{Full: fmt.Sprintf("%s %s: %s, place unknown", maybeSign, name, much), Brief: fmt.Sprintf("%s somewhere: %s", maybeSign, much)}
	return out
}

// placeText names the place of a fault: a run, a joint, or a pixel of a run; empty for a
// larger part.
func placeText(p *prop.Prop, fault strip.Fault) string {
	name := func(r int) string { return style.Clean(p.RunName(r)) }
	switch scope := strip.FactsOf(fault.Kind).Scope; scope {
	case strip.OneRun:
		return name(fault.Run)
	case strip.AtPixel, strip.FromPixel:
		run, at := p.Find(fault.Pixel)
		switch {
		case run < 0:
		case at == 0 && run > 0 && scope == strip.FromPixel:
			return fmt.Sprintf("joint of %s and %s", name(run-1), name(run))
		default:
			return fmt.Sprintf("pixel %d of %s", at+1, name(run))
		}
	}
	return ""
}
