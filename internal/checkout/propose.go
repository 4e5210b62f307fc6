package checkout

import (
	"cmp"
	"slices"

	"example.org/ringout/internal/strip"
)

// bandHues are the colours of bands, told apart most easily first.
var bandHues = []Hue{HueRed, HueGreen, HueBlue, HueYellow, HueMagenta, HueWhite}

// A proposer lists candidate probes; pick rates them.
type proposer struct {
	f     *field
	hyps  []hypothesis
	live  []int     // indexes of the open hypotheses
	share []float64 // weight of each
	used  map[string]bool
	out   []*Spec
}

// add proposes a probe, unless it asks for a hidden pixel.
func (p *proposer) add(s Spec) {
	if s.row().onePixel && !p.f.hidden.sees(s.Run, s.Pixel) {
		return
	}
	if s.Level == 0 {
		s.Level = p.f.level
	}
	s.Paint = p.f.unlit(s.Paint)
	p.out = append(p.out, &s)
}

// all are the probes to choose from for the open hypotheses.
func (p *proposer) all() []*Spec {
	p.out = nil
	p.plain()
	p.opening()
	p.bands()
	p.spots()
	return p.out
}

// opening adds the probes that do not depend on the open hypotheses.
func (p *proposer) opening() {
	n, last := p.f.pixels, len(p.f.sizes)-1
	for _, ch := range channels(p.f.prop) {
		h := hueOf(ch)
		p.add(Spec{Kind: AskPlace, Paint: even(h, n)})
		p.add(Spec{Kind: AskPlace, Paint: even(h, n), Run: last, Pixel: -1})
	}
	if n > 1 {
		p.thirds()
		p.neighbour()
	}
}

// plain adds, and returns, the looks at the whole prop that a sound one must
// pass: each channel on all pixels, flicker while bent, the wiring, and the far
// end.
func (p *proposer) plain() []*Spec {
	n, from := p.f.pixels, len(p.out)
	for _, ch := range channels(p.f.prop) {
		h := hueOf(ch)
		p.add(Spec{Kind: AskEven, Paint: even(h, n), Base: h})
	}
	p.add(Spec{Kind: AskSteady, Paint: even(HueWhite, n)})
	if n > 1 {
		p.add(Spec{Kind: AskRuns, Paint: p.f.landmarked(0).paint()})
		p.add(Spec{Kind: AskFade, Paint: even(HueWhite, n), Level: p.f.bright})
	}
	return p.out[from:len(p.out):len(p.out)]
}

// thirds adds a picture of three colours along the data: one look gives the
// colour order.
func (p *proposer) thirds() {
	if n := p.f.pixels; n >= 3 {
		pt := newPainter(n, HueRed)
		pt.span(n/3, 2*n/3-1, HueGreen)
		pt.span(2*n/3, n, HueBlue)
		p.add(Spec{Kind: AskSequence, Paint: pt.paint()})
	}
}

// neighbour adds pictures with only the second or the last but one pixel lit,
// and asks for the first or the last: a wrong start slot lights them.
func (p *proposer) neighbour() {
	n := p.f.pixels
	last := len(p.f.sizes) - 1
	for _, h := range []Hue{HueRed, HueGreen, HueBlue} {
		pt := newPainter(n, HueDark)
		pt.span(1, 1, h)
		p.add(Spec{Kind: AskPlace, Paint: pt.paint()})
		pt = newPainter(n, HueDark)
		pt.span(n-2, n-2, h)
		p.add(Spec{Kind: AskPlace, Paint: pt.paint(), Run: last, Pixel: -1})
	}
}

// halves are the colours of the two halves of a run, for runs in turn.
var halves = [][2]Hue{{HueRed, HueBlue}, {HueYellow, HueMagenta}, {HueCyan, HueRed}, {HueBlue, HueYellow}, {HueMagenta, HueCyan}}

// turns is the number of useful pictures of landmarked: over all of them every
// run has red, green, blue and every white.
func (f *field) turns() int { return 3 * len(f.whites()) }

// landmarked is the picture of the wiring question: in every run the first pixel
// green, the last white, and between them two halves whose colours differ from
// run to run and from turn to turn. From turn 3 on the second half uses a white
// channel.
func (f *field) landmarked(turn int) painter {
	own := f.whites()[turn/3]
	pt := newPainter(f.pixels, HueDark)
	for r := range f.sizes {
		first, last, ok := f.ends(r)
		if !ok {
			continue
		}
		h, n := halves[(r+turn)%len(halves)], last-first+1
		if own != HueWhite {
			h[1] = own
		}
		pt.span(first, first+n/2-1, h[0])
		pt.span(first+n/2, last, h[1])
		if n >= 4 {
			pt.span(first, first, HueGreen)
			pt.span(last, last, HueWhite)
		}
	}
	return pt
}

// bands adds pictures in which the places of the likeliest families lie in bands
// of different colours: the colour seen names the band with the fault.
func (p *proposer) bands() {
	by := map[[2]int32][]int{} // sort -> positions in live
	mass := map[[2]int32]float64{}
	for i, h := range p.live {
		if hyp := &p.hyps[h]; hyp.family >= 0 && p.f.families[hyp.family].placed {
			by[hyp.familyKey()] = append(by[hyp.familyKey()], i)
			mass[hyp.familyKey()] += p.share[i]
		}
	}
	sorts := make([][2]int32, 0, len(by))
	for k := range by {
		sorts = append(sorts, k)
	}
	slices.SortFunc(sorts, func(a, b [2]int32) int {
		return cmp.Or(cmp.Compare(mass[b], mass[a]), cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
	})
	for _, k := range sorts[:min(4, len(sorts))] {
		if mass[k] > 0.01 {
			p.family(&p.f.families[k[0]], &p.f.marks[k[0]], by[k])
		}
	}
}

// family adds the probes that split the places of one family. at are positions
// in live, ascending by place.
func (p *proposer) family(fam *family, sig *signature, at []int) {
	places := make([]spotShare, len(at))
	for i, a := range at {
		places[i] = spotShare{p.hyps[p.live[a]].place(), p.share[a]}
	}
	switch {
	case sig.loose:
		p.banded(AskStaysLit, places, -1, bandHues, fam)
		return
	case sig.darkAfter:
		p.banded(AskLastLit, places, -1, bandHues, fam)
		p.banded(AskBefore, places, -1, bandHues, fam)
		return
	}
	p.banded(AskBefore, places, -1, bandHues, fam)
	if sig.dark() {
		return
	}
	if fam.period() > 1 {
		p.banded(AskBefore, places, 0, bandHues, fam)
		return
	}
	p.banded(AskOdd, places, 0, sig.hues(), fam)
	if base, ok := sig.base(); ok && (fam.facts.Scope == strip.AtPixel || base == sig.white) {
		p.marked(base, places, fam)
	}
}

// A spotShare is a pixel with its weight.
type spotShare struct {
	pixel int
	share float64
}

// likely counts the places with at least a tenth of the largest weight; pixel is
// the likeliest place.
func likely(places []spotShare) (n, pixel int) {
	top := slices.MaxFunc(places, func(a, b spotShare) int { return cmp.Compare(a.share, b.share) })
	for _, q := range places {
		if q.share >= top.share/10 {
			n++
		}
	}
	return n, top.pixel
}

// groups splits places into at most n groups of neighbours with about equal
// weight; a place heavier than that is a group alone. It returns the index at
// which each group begins.
func groups(places []spotShare, n int) []int {
	total := 0.0
	for _, q := range places {
		total += q.share
	}
	starts, sum, left := []int{0}, 0.0, n
	for i, q := range places {
		goal := total / float64(left)
		if sum > 0 && left > 1 && sum+q.share/2 > goal {
			starts = append(starts, i)
			total -= sum
			sum, left = 0, left-1
		}
		sum += q.share
	}
	return starts
}

// banded adds a probe with each group of places in its own hue. shift is the
// distance in pixels from a place to the pixel whose colour is asked for. A
// single place gets other colours than its neighbours. A picture that was shown
// before gets its hues in reverse order.
func (p *proposer) banded(k Kind, places []spotShare, shift int, hues []Hue, fam *family) {
	if len(places) == 1 {
		at := places[0].pixel
		places = []spotShare{{at - 1, 1}, {at, 1}, {at + 1, 1}}
	}
	if len(hues) < 2 || len(places) < 2 {
		return
	}
	s := Spec{Kind: k, Paint: p.f.unlit(p.bandsOf(places, shift, hues)), Level: p.f.level, family: fam.name}
	if p.used[s.key()] {
		s.Paint = p.bandsOf(places, shift, turned(hues))
	}
	p.add(s)
}

// bandsOf paints the bands: each begins at the first place of its group, plus
// shift.
func (p *proposer) bandsOf(places []spotShare, shift int, hues []Hue) Paint {
	starts := groups(places, len(hues))
	pt := newPainter(p.f.pixels, hues[0])
	for g, s := range starts[1:] {
		pt.span(p.f.before(places[s].pixel, shift), len(pt), hues[g+1])
	}
	return pt.paint()
}

// turned are the hues in reverse order. Of more than two the last one stays: it
// may be the one that the fault does not change, see signature.hues.
func turned(hues []Hue) []Hue {
	out := slices.Clone(hues)
	n := len(out)
	if n > 2 {
		n--
	}
	slices.Reverse(out[:n])
	return out
}

// marked adds a picture of one base colour with a pixel of another colour
// between any two groups of places.
func (p *proposer) marked(base Hue, places []spotShare, fam *family) {
	var hues []Hue
	for _, h := range bandHues {
		if h.name() != base.name() {
			hues = append(hues, h)
		}
	}
	most, own := len(hues)+1, base != HueWhite && base.name() == White
	pt := newPainter(p.f.pixels, base)
	mark := func(at int, h Hue) { pt.span(at, at, h) }
	// Only this look splits the places of a fault on a white channel, and a mark
	// hides the fault under it, so the marks leave the likely places free. Other
	// bases have other looks: with this rule for all of them a channel that stays
	// lit took 7.20 answers instead of 7.10 on the Porthole.
	if own {
		n, at := likely(places)
		if n == 1 {
			mark(p.f.before(at, -1), hues[0])
			mark(p.f.before(at, 1), hues[1])
			places = nil
		}
		most = max(2, min(most, n/2))
	}
	for g, s := range groups(places, most)[1:] {
		mark(p.f.before(places[s].pixel, -1), hues[g])
	}
	p.add(Spec{Kind: AskMark, Paint: pt.paint(), Base: base, family: fam.name})
}
