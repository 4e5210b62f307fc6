package check

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/canvas"
)

// stillOpen draws the places where a fault may still be.
func (m scene) stillOpen(width, height int) []string {
	s := &m.draw.open
	c := s.at(m, nil, width, height)
	if s.signs == nil || s.of != m.st.Session {
		rank := m.ranks()
		s.used = m.signs(rank)
		s.signs, s.of = c.FromTop(c.Signs(rank, s.used)), m.st.Session
	}
	return s.signs
}

// The ranks of places on the drawing; the higher one is shown where two meet.
const (
	ruledOut uint8 = iota
	unlit
	maybe
	likely
	askedOf
	walkedTo
	sound
	firstBad
	numbered // and above: places by their numbers
)

// signs are the signs of the ranks, which differ without colour too. From two metres lit
// pixels are told from dark ones by their shape, full or open.
func (m scene) signs(rank []uint8) []string {
	asked, others := m.style.AccentSign().Filled(), otherSign // a filled cell is found from two metres
	if slices.Contains(rank, unlit) {
		others = litSign
	}
	good := m.style.Good.Render(soundSign)
	if allSound(rank) { // no last sound one before a fault
		good = m.style.Good.Render(litSign)
		others = good
	}
	return []string{others, canvas.DarkMark(m.style.Depth), maybeSign, m.badSign(rank), asked.Render("?"), m.style.AccentSign().Render("+"), good, canvas.Bad(m.style, firstBadSign, 1)}
}

// badSign is the sign of the likeliest place in the alarm's colour.
func (m scene) badSign(rank []uint8) string {
	return canvas.Bad(m.style, badPixel, count(rank, likely))
}

// allSound reports whether every pixel lights as it should.
func allSound(rank []uint8) bool { return len(rank) > 0 && count(rank, sound) == len(rank) }

// count is how many pixels have a rank.
func count(ranks []uint8, rank uint8) (n int) {
	for _, r := range ranks {
		if r == rank {
			n++
		}
	}
	return n
}

// Signs of pixels in drawings of findings.
const (
	litSign   = canvas.LitSign  // lights although a fault leaves others dark
	darkSign  = canvas.DarkSign // the fault found leaves it dark
	maybeSign = "◇"             // the fault may be here
	badPixel  = "×"             // the likeliest place of the fault
	soundSign = canvas.Marked   // the last that lights as it should

	firstBadSign = "!" // the pixel of the large words, among many of a fault
)

// ranks is the rank of each pixel of the plan.
func (m scene) ranks() []uint8 {
	out := make([]uint8, m.sub.Pixels())
	if m.pictures.open && m.st.Session != nil {
		m.rankOpen(out)
		unmarkAll(out)
	}
	for _, sp := range m.pictures.marks {
		fill(out, sp, askedOf)
	}
	return out
}

// likelyFrom is the posterior from which a place counts as likely.
const likelyFrom = 0.15

// rankOpen marks where a fault may still begin. An unlikely fault of a run as a
// whole would hide the places in it, so only likely ones are marked.
func (m scene) rankOpen(out []uint8) {
	o := m.st.open
	for i := range min(len(o.Pixels), len(o.Fits), len(out)) {
		switch {
		case o.Pixels[i] >= likelyFrom:
			out[i] = likely
		case o.Fits[i]:
			out[i] = maybe
		}
	}
	for r, share := range o.Run {
		if share < likelyFrom || r >= len(m.sub.Runs) {
			continue
		}
		first := m.sub.FirstPixel(r)
		fill(out, show.Span{First: first, Last: first + m.sub.Runs[r].Pixels - 1}, likely)
	}
}

func fill(out []uint8, sp show.Span, rank uint8) {
	for i := max(0, sp.First); i <= min(len(out)-1, sp.Last); i++ {
		out[i] = rank
	}
}

// foundKey is the key of a drawing of findings.
func foundKey(rank []uint8, here canvas.Name) (out []canvas.Name) {
	orHere := canvas.Named(maybeSign + " or here")
	if !slices.Contains(rank, likely) {
		orHere = mayBeHere
	}
	out = keyOf(rank, here, orHere)
	if slices.Contains(rank, firstBad) {
		out = append(out, firstBadName)
	}
	if slices.Contains(rank, unlit) {
		out = append(out, darkName, litName)
	}
	switch {
	case !slices.Contains(rank, sound):
	case len(out) == 0:
		out = append(out, asPlanned)
	default:
		out = append(out, canvas.Name{Full: soundSign + " still sound", Brief: soundSign + " sound"})
	}
	return out
}

// darkName is what pixels are called that the fault found leaves dark, litName the others.
var (
	darkName = canvas.Named(darkSign + " dark")
	litName  = canvas.Named(litSign + " lit")
)

// asPlanned is what pixels are called that all light as they should.
var asPlanned = canvas.Name{Full: litSign + " lit as planned", Brief: litName.Brief}

// unlitNames are names of a legend while nothing is lit: the drawing says what the fault leaves
// dark, not what is lit now.
func unlitNames(names []canvas.Name) []canvas.Name {
	out := slices.Clone(names)
	for i, n := range out {
		switch n {
		case litName:
			out[i] = canvas.Named(litSign + " can light")
		case darkName:
			out[i] = canvas.Name{Full: darkSign + " stays dark", Brief: darkName.Brief}
		}
	}
	return out
}

// firstBadName is what the pixel of the large words is called among many.
var firstBadName = canvas.Name{Full: firstBadSign + " first bad one", Brief: firstBadSign + " first"}

// hereName is what the likeliest place of a fault is called where it has no name.
var hereName = canvas.Named(badPixel + " here")

// foundRanks is what each pixel is to the findings: those of the likeliest one stand
// out, with the last sound pixel before it. Where the text lists kinds of fault and not
// findings, all their places are marked.
func (m scene) foundRanks() []uint8 {
	rank := make([]uint8, m.sub.Pixels())
	f := m.st.findings
	switch {
	case len(f) > 0 && f[0].Good && f[0].Sure.Firm():
		fill(rank, show.Span{First: 0, Last: len(rank) - 1}, sound)
		return rank
	case m.st.listsKinds():
		m.rankOpen(rank)
		unmarkAll(rank)
		return rank
	}
	for i := range f {
		markFinding(rank, m.sub, f[i], i == 0)
	}
	unmarkAll(rank)
	m.markFirstBad(rank)
	for i, is := range m.st.dark {
		if is {
			rank[i] = max(rank[i], unlit)
		}
	}
	if at := m.st.points; at != nil && at.Sound >= 0 && rank[at.Sound] < likely {
		rank[at.Sound] = sound
	}
	return rank
}

// whereFound draws the places of the likeliest finding by their ranks.
func (m scene) whereFound(rank []uint8, width, height int) []string {
	s := &m.draw.found
	c := s.at(m, nil, width, height)
	if s.signs == nil || !slices.Equal(s.rank, rank) {
		s.used = m.signs(rank)
		if m.st.wrong() && !slices.Contains(rank, likely) { // these are the fault's places then
			s.used[maybe] = m.style.Warn.Render(maybeSign)
		}
		s.signs, s.rank = c.Signs(rank, s.used), rank
	}
	return s.signs
}

// markFirstBad marks the pixel that the large words name where the fault found has many: of causes
// that look alike they may be those of another one.
func (m scene) markFirstBad(rank []uint8) {
	f := m.st.findings
	if len(f) == 0 || !f[0].Sure.Firm() || len(f[0].Causes) == 0 {
		return
	}
	faults := likeliestLook(f[0].Causes)
	if len(faults) != 1 || count(rank, likely) < 2 {
		return
	}
	scope, at := strip.FactsOf(faults[0].Kind).Scope, faults[0].Pixel
	if (scope == strip.AtPixel || scope == strip.FromPixel) && at >= 0 && at < len(rank) && rank[at] == likely {
		rank[at] = firstBad
	}
}

// placeRanks are the ranks of pixels by a test.
func (m scene) placeRanks(r single.Result) []uint8 {
	rank := make([]uint8, m.sub.Pixels())
	if r.Good && r.Number == len(rank) { // all were counted
		fill(rank, show.Span{First: 0, Last: len(rank) - 1}, sound)
		return rank
	}
	fillAll(rank, r.OrHere, maybe)
	fillAll(rank, r.Here, likely)
	unmarkAll(rank)
	for i, n := range r.Numbered {
		if n.Number <= mostNumber {
			fillAll(rank, n.Spans, numbered+uint8(i))
		}
	}
	return rank
}

// mostNumber is the largest number of a place that one cell has room for.
const mostNumber = 9

// numberedSigns are the signs of places by their numbers.
func (m scene) numberedSigns(places []single.Numbered) (out []string) {
	for _, n := range places {
		out = append(out, canvas.Bad(m.style, fmt.Sprint(n.Number), 1))
	}
	return out
}

// numberedKey names those signs; nil where there are none.
func numberedKey(places []single.Numbered) []canvas.Name {
	var all []string
	for _, n := range places {
		if n.Number <= mostNumber {
			all = append(all, fmt.Sprint(n.Number))
		}
	}
	if len(all) == 0 {
		return nil
	}
	signs, of := strings.Join(all, " "), words.Plural(len(all), "the joint", "the joints")
	return []canvas.Name{canvas.Named(signs + " at " + of)}
}

// unmarkAll takes the marks away where every pixel has the same: it would tell nothing, and
// look like a prop that is lit.
func unmarkAll(rank []uint8) {
	if len(rank) > 1 && !slices.ContainsFunc(rank, func(r uint8) bool { return r != rank[0] }) {
		clear(rank)
	}
}

// places draws the places that a test names.
func (m scene) places(r single.Result, width, height int) []string {
	s := &m.draw.found
	c := s.at(m, nil, width, height)
	if s.signs == nil {
		rank := m.placeRanks(r)
		s.used = append(m.signs(rank), m.numberedSigns(r.Numbered)...)
		s.signs = c.Signs(rank, s.used)
	}
	return s.signs
}

func fillAll(rank []uint8, spans []show.Span, as uint8) {
	for _, sp := range spans {
		fill(rank, sp, as)
	}
}

// markFinding sets the ranks of the places of a finding; the first cause of the likeliest
// finding has the likeliest place.
func markFinding(rank []uint8, p *prop.Prop, f checkout.Finding, likeliest bool) {
	for i, c := range f.Causes {
		for _, ft := range c.Faults {
			markFault(rank, p, ft, likeliest && i == 0)
		}
	}
}

// placeUnknown reports whether a fault is somewhere in its run, and nothing tells where: crosses
// would read as a fault of every pixel of it.
func placeUnknown(ft strip.Fault) bool { return strip.FactsOf(ft.Kind).Counted }

// markFault sets the ranks of the places of a fault, best for the likeliest. Faults of
// the whole prop have no place.
func markFault(rank []uint8, p *prop.Prop, ft strip.Fault, best bool) {
	best = best && !placeUnknown(ft)
	for _, sp := range ft.Places(p) {
		for i := max(0, sp.First); i <= min(len(rank)-1, sp.Last); i++ {
			if best {
				rank[i] = likely
			} else {
				rank[i] = max(rank[i], maybe)
			}
		}
	}
}
