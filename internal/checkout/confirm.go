package checkout

import (
	"slices"

	"example.org/ringout/internal/strip"
)

// The confirming look. What is true of the first odd pixel need not be true of
// those behind it, so before a verdict the prop is compared, run by run, with a
// picture of what the explanation predicts. The picture sent is the one of
// several that most of the false friends of the explanation would spoil: the
// same fault in a smaller part, a dark pixel, and what else still fits.

// confirm is the confirming look for the hypothesis that leads; nil when it was
// had, or when no picture shows the fault.
func (s *Session) confirm(p *posterior) *choice {
	h := &s.belief.hyps[p.top]
	if h.sound() || h.behind || s.confirmed(p.top) {
		return nil
	}
	if h.sag { // its strength is known roughly, so that no picture is sure
		return s.lookAtTheEnds()
	}
	c := &confirmer{s: s, h: h, w: watcher{maker: maker{field: s.field}}}
	var best *Spec
	most := 0.0
	for _, paint := range c.paints() {
		if spec, score := c.score(paint, p); score > most && !s.used[spec.key()] {
			best, most = spec, score
		}
	}
	if best == nil {
		return nil
	}
	return &choice{spec: best, answers: s.field.confirmAnswers(), why: "confirms what is thought of, run by run"}
}

// lookAtTheEnds compares the ends of the prop, if that was not done.
func (s *Session) lookAtTheEnds() *choice {
	p := &proposer{f: s.field}
	for _, spec := range p.plain() {
		if spec.Kind == AskFade && !s.used[spec.key()] {
			return &choice{spec: spec, answers: questions[AskFade].answers, why: "confirms that the voltage falls"}
		}
	}
	return nil
}

// confirmed reports whether the hypothesis was confirmed by a look already, or
// the builder could not tell.
func (s *Session) confirmed(top int) bool {
	for k := range s.steps {
		st := &s.steps[k]
		if st.spec.Kind != AskConfirm {
			continue
		}
		if st.given < 0 || s.shown(k).by(&s.belief, s.field, &st.spec, top) == SeesAsDrawn && st.answers[st.given] == SeesAsDrawn {
			return true
		}
	}
	return false
}

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
	s *Session
	h *hypothesis
	w watcher
}

// paints are pictures to choose from: the wiring's, and others with the place
// of the fault set off from its neighbours.
func (c *confirmer) paints() []Paint {
	f := c.s.field
	var out []Paint
	for turn := range 3 {
		pt := f.landmarked(turn)
		out = append(out, pt.paint())
		for _, ft := range c.h.faults {
			if !ft.Kind.Placed() {
				continue
			}
			pt.span(ft.Pixel-1, ft.Pixel-1, HueGreen)
			pt.span(ft.Pixel, ft.Pixel, HueWhite)
			pt.span(ft.Pixel+1, ft.Pixel+1, HueBlue)
		}
		out = append(out, pt.paint())
	}
	for i := range out {
		out[i] = f.unlit(out[i])
	}
	return out
}

// score makes the probe of a picture, and says how much of what is to be ruled
// out would spoil it; 0 for a picture that is dark.
func (c *confirmer) score(paint Paint, p *posterior) (*Spec, float64) {
	f := c.s.field
	spec := &Spec{Kind: AskConfirm, Paint: paint, Level: f.level}
	c.w.watch(f, &Spec{Kind: AskRuns, Paint: paint, Level: f.level})
	c.w.lights(c.h)
	if by, all := c.w.look.counts(); by[Dark] == all || c.h.sparks || c.w.see.letGo != nil {
		return spec, 0
	}
	spec.Expected = c.w.look.paint()
	score := 0.0
	for _, friend := range falseFriends(names(&c.w.look), names(&c.w.wanted)) {
		if !sameRuns(friend, spec.Expected) {
			score++
		}
	}
	c.w.watch(f, spec)
	live, share := c.s.belief.sample(p.each)
	for i, k := range live {
		if g := &c.s.belief.hyps[k]; g.group != c.h.group && !g.behind && c.w.expects(g) != SeesAsDrawn {
			score += share[i]
		}
	}
	return spec, score
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

// sameRuns reports whether somebody would say that lights look as the picture.
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
