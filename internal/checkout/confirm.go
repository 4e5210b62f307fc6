package checkout

import (
	"slices"

	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// The confirming look. What holds for the first odd pixel need not hold for
// those after it, so before a verdict the prop is compared, run by run, with a
// picture of what the explanation predicts. Of several pictures the one is sent
// that would look wrong under most similar explanations: the same fault in a
// smaller part, a dark pixel, and every other that still fits.

// confirm is the confirming look for the hypothesis that leads; nil when it was
// had, or when no picture shows the fault.
func (s *Session) confirm(p *posterior) *choice {
	h := &s.belief.hyps[p.top]
	if h.sound() || h.behind {
		return nil
	}
	looks, sure := s.confirmed(p.top)
	switch {
	case !sure || looks >= mostConfirms:
		return nil
	case h.sag && looks == 0: // its strength is known roughly, so that no picture is sure
		return s.lookAtTheEnds()
	case h.sag, openEnded(h.faults): // nor is it known how many pixels of such a run are dark
		return nil
	}
	c := &confirmer{s: s, h: h, w: watcher{stripBuilder: stripBuilder{field: s.field}}, fit: s.fitting(h, int(s.belief.misses[p.top]))}
	if c.black() {
		return c.anyLight()
	}
	return c.best(p, looks > 0)
}

// mostConfirms is how many confirming looks an explanation gets.
const mostConfirms = 2

// best is the picture that confirms best; nil when none does. After a first
// such look only one that distinguishes faults outside the list is worth another.
func (c *confirmer) best(p *posterior, more bool) *choice {
	var best *Spec
	most := 0.0
	for _, paint := range c.paints() {
		spec, friends, strange := c.score(paint, p)
		score := friends + strange
		if more {
			score = strange
		}
		if score > most && !c.s.used[spec.key()] {
			best, most = spec, score
		}
	}
	if best == nil {
		return nil
	}
	return &choice{spec: best, answers: c.s.field.confirmAnswers(), why: "confirms what is thought of, run by run"}
}

// black reports whether nothing lights if the hypothesis holds.
func (c *confirmer) black() bool {
	f := c.s.field
	for _, ch := range channels(f.prop) {
		c.w.watch(f, &Spec{Kind: AskEven, Paint: even(hueOf(ch), f.pixels), Level: f.level, Base: hueOf(ch)})
		c.w.lights(c.h)
		if by, all := c.w.look.counts(); by[Dark] != all || c.w.see.letGo != nil {
			return false
		}
	}
	return true
}

// anyLight is a look at the channels that were not sent to all pixels so far,
// where nothing is thought to light: one may be left that does.
func (c *confirmer) anyLight() *choice {
	var best *Spec
	most := 0
	for _, spec := range c.s.field.brightLooks() {
		if n := c.s.unsent(spec); n > most {
			best, most = spec, n
		}
	}
	if best == nil {
		return nil
	}
	return &choice{spec: best, answers: best.row().answers, why: "confirms that nothing lights in any colour"}
}

// brightLooks are looks at all pixels with as many channels at once as go.
func (f *field) brightLooks() []*Spec {
	p := &proposer{f: f}
	for _, h := range f.whites() {
		p.add(Spec{Kind: AskEven, Paint: even(h, f.pixels), Base: h})
	}
	return p.out
}

// unsent is how many channels of a look at all pixels were in none so far.
func (s *Session) unsent(spec *Spec) (n int) {
	for _, ch := range channels(s.field.prop) {
		has := func(spec *Spec) bool { return spec.row().toAll && spec.Base.Colour().Get(ch) > 0 }
		if has(spec) && !slices.ContainsFunc(s.steps, func(st step) bool { return st.given >= 0 && has(&st.spec) }) {
			n++
		}
	}
	return n
}

// lookAtTheEnds compares the ends of the prop, if that was not done.
func (s *Session) lookAtTheEnds() *choice {
	p := &proposer{f: s.field}
	for _, spec := range p.plain() {
		if q := spec.row(); q.bothEnds && !s.used[spec.key()] {
			return &choice{spec: spec, answers: q.answers, why: "confirms that the voltage falls"}
		}
	}
	return nil
}

// confirmed is how many looks have confirmed the hypothesis; sure is false when
// the builder was not sure of one.
func (s *Session) confirmed(top int) (looks int, sure bool) {
	for k := range s.steps {
		st := &s.steps[k]
		if !st.spec.row().repaints {
			continue
		}
		if st.given < 0 {
			return looks, false
		}
		if st.answers[st.given] == SeesAsDrawn && s.shown(k).by(&s.belief, s.field, &st.spec, top) == SeesAsDrawn {
			looks++
		}
	}
	return looks, true
}

// refuted is how many explanations failed their confirming look. The later
// answer counts where the question was asked once more.
func refuted(steps []step) (n int) {
	for k := range steps {
		st := &steps[k]
		if st.spec.row().repaints && !st.spec.Again && !st.overruled && st.given >= 0 && st.answers[st.given] != SeesAsDrawn {
			n++
		}
	}
	return n
}

// mostRefuted is how many explanations may fail their confirming look before
// the fault counts as unknown.
const mostRefuted = 3

// confirmAnswers are that all agrees, or the run that does not.
func (f *field) confirmAnswers() []Token {
	out := []Token{SeesAsDrawn}
	for r := range min(len(f.sizes), mostOthers-1) {
		out = append(out, seesRun+Token(r))
	}
	return append(out, SeesElse)
}

// A confirmer looks for the picture that confirms best.
type confirmer struct {
	s   *Session
	h   *hypothesis
	w   watcher
	fit []unlistedFault // that fit the answers as well
}

// paints are pictures to choose from: the wiring's, and others with the place
// of the fault set off from its neighbours.
func (c *confirmer) paints() []Paint {
	f := c.s.field
	var out []Paint
	for turn := range f.turns() {
		pt := f.landmarked(turn)
		out = append(out, pt.paint())
		for _, hue := range f.whites() {
			out = append(out, c.marked(pt, hue).paint())
		}
	}
	for i := range out {
		out[i] = f.unlit(out[i])
	}
	return out
}

// marked is a picture with the places of the faults in a white, set off from
// their neighbours.
func (c *confirmer) marked(pt painter, white Hue) painter {
	out := slices.Clone(pt)
	for _, ft := range c.h.faults {
		if !ft.Kind.Placed() {
			continue
		}
		out.span(ft.Pixel-1, ft.Pixel-1, HueGreen)
		out.span(ft.Pixel, ft.Pixel, white)
		out.span(ft.Pixel+1, ft.Pixel+1, HueBlue)
	}
	return out
}

// whites are the hues that look white on a sound prop.
func (f *field) whites() []Hue {
	out := []Hue{HueWhite}
	for _, ch := range channels(f.prop) {
		if ch >= patterns.White {
			out = append(out, hueOf(ch))
		}
	}
	return out
}

// score makes the probe of a picture, and says how much of what is to be ruled
// out would spoil it, and of what fits all answers but is none of the list; 0
// for a picture that is dark.
func (c *confirmer) score(paint Paint, p *posterior) (spec *Spec, friends, strange float64) {
	f := c.s.field
	spec = &Spec{Kind: AskConfirm, Paint: paint, Level: f.level}
	c.w.watch(f, &Spec{Kind: AskRuns, Paint: paint, Level: f.level})
	c.w.lights(c.h)
	if by, all := c.w.look.counts(); by[Dark] == all || c.h.sparks || c.w.see.letGo != nil {
		return spec, 0, 0
	}
	spec.Expected = c.w.look.paint()
	for _, friend := range falseFriends(names(&c.w.look), names(&c.w.wanted)) {
		if !sameRuns(friend, spec.Expected) {
			friends++
		}
	}
	c.w.watch(f, spec)
	live, share := c.s.belief.sample(p.each)
	for i, k := range live {
		if g := &c.s.belief.hyps[k]; g.group != c.h.group && !g.behind && c.w.expects(g) != SeesAsDrawn {
			friends += share[i]
		}
	}
	var v unlistedView
	v.watch(f, spec)
	for i := range c.fit {
		if v.sees(&c.fit[i]) != SeesAsDrawn {
			strange++
		}
	}
	return spec, friends, strange
}

// names are the colours of every light, run by run.
func names(l *look) [][]Name {
	out := make([][]Name, len(l.runAt)-1)
	for r := range out {
		for _, st := range l.run(r) {
			for range st.n {
				out[r] = append(out[r], st.name)
			}
		}
	}
	return out
}

// falseFriends are looks that agree with a fault's at its first odd pixel but
// not everywhere: the fault there alone, in its run alone, in all runs but the
// last; a dark pixel instead; and a sound prop. With none of them may it be
// taken for the fault.
func falseFriends(got, sound [][]Name) [][][]Name {
	run, at := firstChange(got, sound)
	if run < 0 {
		return nil
	}
	mixed := func(odd func(r, i int) bool) [][]Name {
		out := make([][]Name, len(sound))
		for r := range sound {
			out[r] = slices.Clone(sound[r])
			for i := range out[r] {
				if i < len(got[r]) && odd(r, i) {
					out[r][i] = got[r][i]
				}
			}
		}
		return out
	}
	dark := mixed(func(int, int) bool { return false })
	dark[run][at] = Dark
	return [][][]Name{
		mixed(func(int, int) bool { return false }),
		mixed(func(r, i int) bool { return r == run && i == at }),
		mixed(func(r, _ int) bool { return r == run }),
		mixed(func(r, _ int) bool { return r < len(sound)-1 }),
		dark,
	}
}

// firstChange is the first light whose colour is not the sound prop's; a run of
// -1 when all agree as far as both go.
func firstChange(got, sound [][]Name) (run, at int) {
	for r := range sound {
		for i := range sound[r] {
			if i < len(got[r]) && got[r][i] != sound[r][i] {
				return r, i
			}
		}
	}
	return -1, 0
}

// sameRuns reports whether someone would say that lights look as the picture.
func sameRuns(got [][]Name, want []Paint) bool {
	var a, b look
	b.ofPaint(want)
	for _, run := range got {
		first := len(a.all)
		a.runAt = append(a.runAt, first)
		for _, n := range run {
			a.add(strip.Piece{Colour: n.hue().Colour(), Lights: 1}, first)
		}
	}
	a.runAt = append(a.runAt, len(a.all))
	return readRuns(nil, &sight{look: &a, wanted: &b}) == SeesAsDrawn
}
