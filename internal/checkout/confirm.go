package checkout

import (
	"slices"

	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// The confirming look. Most questions are about the first odd pixel only, so
// before a verdict the builder compares the whole prop, run by run, with the
// light that the likeliest hypothesis predicts. Of several pictures the one is
// sent on which the most rival explanations look different: the same fault in a
// smaller part, a dark pixel, and every hypothesis that still fits.

// confirm is the confirming look for the likeliest hypothesis; nil when it was
// confirmed, or when no picture shows the fault.
func (s *Session) confirm(p *posterior) *choice {
	h := &s.belief.hyps[p.top]
	if h.sound() || h.moreAfter {
		return nil
	}
	looks, sure := s.confirmed(p.top)
	switch {
	case !sure || looks >= mostConfirms:
		return nil
	case h.sag && looks == 0: // its strength is not known well enough to draw a picture
		return s.fadeLook()
	case h.sag, openEnded(h.faults): // of an open-ended count the number of dark pixels is not known
		return nil
	}
	c := &confirmer{s: s, h: h, w: watcher{stripBuilder: stripBuilder{field: s.field}}, fit: s.fitting(h, int(s.belief.contradicted[p.top]))}
	if c.showsNothing() {
		return c.darkLook()
	}
	return c.best(p, looks > 0)
}

// mostConfirms is the number of confirming looks for one explanation.
const mostConfirms = 2

// best is the picture on which the most rivals look different; nil when none
// does. With more set a first look was confirmed, and only rivals outside the
// list count.
func (c *confirmer) best(p *posterior, more bool) *choice {
	var best *Spec
	most := 0.0
	for _, paint := range c.paints() {
		spec, listed, unlisted := c.score(paint, p)
		score := listed + unlisted
		if more {
			score = unlisted
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

// showsNothing reports whether the hypothesis predicts a dark prop on every
// channel.
func (c *confirmer) showsNothing() bool {
	f := c.s.field
	for _, ch := range channels(f.prop) {
		c.w.watch(f, &Spec{Kind: AskEven, Paint: even(hueOf(ch), f.pixels), Level: f.level, Base: hueOf(ch)})
		c.w.lights(c.h)
		if by, all := c.w.look.counts(); by[Dark] != all || c.w.see.contactOpen != nil {
			return false
		}
	}
	return true
}

// darkLook sends the channels that no look at all pixels has sent yet, for a
// hypothesis that predicts a dark prop: one of them may light. Who was not sure is not asked again.
func (c *confirmer) darkLook() *choice {
	var best *Spec
	most := 0
	for _, spec := range c.s.field.brightLooks() {
		if n := c.s.untestedChannels(spec); n > most && !c.s.used[spec.key()] {
			best, most = spec, n
		}
	}
	if best == nil {
		return nil
	}
	return &choice{spec: best, answers: best.row().answers, why: "confirms that nothing lights in any colour"}
}

// brightLooks are looks at all pixels with red, green and blue together, and
// with each white channel.
func (f *field) brightLooks() []*Spec {
	p := &proposer{f: f}
	for _, h := range f.whites() {
		p.add(Spec{Kind: AskEven, Paint: even(h, f.pixels), Base: h})
	}
	return p.out
}

// untestedChannels is the number of channels of a look at all pixels that no
// earlier answered look sent.
func (s *Session) untestedChannels(spec *Spec) (n int) {
	for _, ch := range channels(s.field.prop) {
		has := func(spec *Spec) bool { return spec.row().toAll && spec.Base.Colour().Get(ch) > 0 }
		if has(spec) && !slices.ContainsFunc(s.steps, func(st step) bool { return st.given >= 0 && has(&st.spec) }) {
			n++
		}
	}
	return n
}

// fadeLook compares the brightness of both ends of the prop; nil when that was
// asked.
func (s *Session) fadeLook() *choice {
	p := &proposer{f: s.field}
	for _, spec := range p.plain() {
		if q := spec.row(); q.bothEnds && !s.used[spec.key()] {
			return &choice{spec: spec, answers: q.answers, why: "confirms that the voltage falls"}
		}
	}
	return nil
}

// staysLook asks once more where a flicker begins, with other colours around the place: a flicker has no
// picture to compare with, and one wrong answer moves it to another joint. It is nil for other faults,
// and where two answers gave the place.
func (s *Session) staysLook(p *posterior) *choice {
	h := &s.belief.hyps[p.top]
	if s.field.pixels == 1 || h.family < 0 || len(h.faults) != 1 || h.moreAfter || !s.field.marks[h.family].loose || s.singledOut(p.top) > 1 {
		return nil
	}
	live, share := s.belief.sample(p.each)
	pr := &proposer{f: s.field, hyps: s.belief.hyps, live: live, share: share, used: s.used}
	pr.banded(AskStaysLit, []spotShare{{h.place(), 1}}, -1, bandHues, &s.field.families[h.family])
	c := s.pick(pr.out, pr, p.top, true)
	if c != nil {
		c.why = "confirms where it begins"
	}
	return c
}

// singledOut is the number of answers that no flicker at a pixel beside that of hypothesis top gives.
func (s *Session) singledOut(top int) (n int) {
	at := s.belief.hyps[top].place()
	for k := range s.steps {
		st := &s.steps[k]
		if st.given < 0 || st.overruled || s.misses(k, top) {
			continue
		}
		switch given := st.answers[st.given]; {
		case at == 0 && (given == SeesComesAll || given == SeesNone):
			n++
		case st.spec.Kind == AskStaysLit && at > 0 && given.Colour():
			if hues := st.spec.Paint.around(at - 1); hues[0] != hues[1] && hues[1] != hues[2] {
				n++
			}
		}
	}
	return n
}

// confirmed is the number of looks that confirmed hypothesis top; sure is false
// when the builder was not sure of one.
func (s *Session) confirmed(top int) (looks int, sure bool) {
	for k := range s.steps {
		st := &s.steps[k]
		if !st.spec.row().repaints {
			continue
		}
		if st.given < 0 {
			return looks, false
		}
		if st.answers[st.given] == SeesAsDrawn && s.predictionsOf(k).of(&s.belief, s.field, &st.spec, top) == SeesAsDrawn {
			looks++
		}
	}
	return looks, true
}

// unconfirmed reports whether the look that would confirm hypothesis top was answered with not sure, and no
// other confirmed it: that look alone tells it from a second fault, and so from another place. Where a camera
// answers, the places that it read speak for it.
func (s *Session) unconfirmed(top int) bool {
	looks, sure := s.confirmed(top)
	return looks == 0 && !sure && !s.opts.ByCamera
}

// refuted is the number of explanations that failed their confirming look.
// Where the question was asked once more, the later answer counts.
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

// confirmAnswers are SeesAsDrawn, the first runs, and "something else".
func (f *field) confirmAnswers() []Token {
	out := []Token{SeesAsDrawn}
	for r := range min(len(f.sizes), mostOthers-1) {
		out = append(out, seesRun+Token(r))
	}
	return append(out, SeesElse)
}

// A confirmer finds the picture that separates h from most rivals.
type confirmer struct {
	s   *Session
	h   *hypothesis
	w   watcher
	fit []unlistedFault // unlisted faults that contradict no more answers than h
}

// paints are the pictures to choose from: those of the wiring question, and the
// same with the fault's pixel in white between green and blue.
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

// marked is a picture with each fault's pixel in a white, and its neighbours in
// green and blue.
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

// score makes the confirming probe of a picture. listed is the number of
// lookalikes that differ from it, plus the posterior of the hypotheses that do;
// unlisted the number of unlisted faults. Both are 0 for a picture that the
// hypothesis shows dark or flickering.
func (c *confirmer) score(paint Paint, p *posterior) (spec *Spec, listed, unlisted float64) {
	f := c.s.field
	spec = &Spec{Kind: AskConfirm, Paint: paint, Level: f.level}
	c.w.watch(f, &Spec{Kind: AskRuns, Paint: paint, Level: f.level})
	c.w.lights(c.h)
	if by, all := c.w.look.counts(); by[Dark] == all || c.h.sparks || c.w.see.contactOpen != nil {
		return spec, 0, 0
	}
	spec.Expected = c.w.look.paint()
	for _, other := range lookalikes(names(&c.w.look), names(&c.w.wanted)) {
		if !sameRuns(other, spec.Expected) {
			listed++
		}
	}
	c.w.watch(f, spec)
	live, share := c.s.belief.sample(p.each)
	for i, k := range live {
		if g := &c.s.belief.hyps[k]; g.group != c.h.group && !g.moreAfter && c.w.expects(g) != SeesAsDrawn {
			listed += share[i]
		}
	}
	var v unlistedView
	v.watch(f, spec)
	for i := range c.fit {
		if v.sees(&c.fit[i]) != SeesAsDrawn {
			unlisted++
		}
	}
	return spec, listed, unlisted
}

// names are the colour names of every pixel, by run.
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

// lookalikes are the lights that a confirming picture must be told from: a sound
// prop; the fault at its first odd pixel only, in that run only, and in all runs
// but the last; and a dark pixel there. got is the light of the fault, by run.
func lookalikes(got, sound [][]Name) [][][]Name {
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

// firstChange is the first pixel whose colour differs from the sound prop's; run
// is -1 when all that both have agree.
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

// sameRuns reports whether readRuns finds no difference between lights and the
// picture.
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
