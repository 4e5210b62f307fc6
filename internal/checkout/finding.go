package checkout

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
)

// A Suspect is one thing the prop may still be. Faults that no light could
// tell apart are one suspect.
type Suspect struct {
	Share  float64
	Causes [][]strip.Fault // each a set of faults that looks just so; an empty set is a sound prop
	Pixels []show.Span     // pixels of the plan concerned, for the drawing
	More   bool            // and something else is wrong behind it
	Fits   bool            // it contradicts no more answers than the likeliest

	fitsAll bool // it contradicts no answer
	behind  float64
	best    int // the likeliest of those that say the same
}

// Sound reports whether the suspect is a prop without fault.
func (s Suspect) Sound() bool { return len(s.Causes) > 0 && len(s.Causes[0]) == 0 }

// Standing is what is still open, likeliest first, down to a share of 1 in
// 1,000.
func (s *Session) Standing() []Suspect {
	s.settle()
	w := s.belief.weights()
	most := s.mostMisses(w)
	by := map[int]*Suspect{}
	var keys []int
	for i, share := range w {
		h := &s.belief.hyps[i]
		if share < 1e-6 {
			continue
		}
		su := by[h.group]
		if su == nil {
			su = &Suspect{best: h.group}
			by[h.group], keys = su, append(keys, h.group)
		}
		su.Share += share
		su.Fits = su.Fits || s.belief.misses[i] <= most
		su.fitsAll = su.fitsAll || s.belief.misses[i] == 0
		if h.behind {
			su.behind += share
		} else if share > w[su.best] {
			su.best = i
		}
	}
	for i := range s.belief.hyps {
		h := &s.belief.hyps[i]
		if su := by[s.belief.hyps[h.twin].group]; su != nil && su.best == h.twin && !h.behind {
			su.Causes = append(su.Causes, h.faults)
			su.Pixels = append(su.Pixels, s.field.concerned(h.faults)...)
		}
	}
	var out []Suspect
	for _, k := range keys {
		if by[k].Share >= 0.001 {
			by[k].More = by[k].behind > by[k].Share/2
			out = append(out, *by[k])
		}
	}
	slices.SortStableFunc(out, func(a, b Suspect) int { return cmp.Compare(b.Share, a.Share) })
	return out
}

// mostMisses is how many answers the likeliest explanation contradicts.
func (s *Session) mostMisses(w []float64) uint8 {
	top, _ := s.belief.best(w)
	return s.belief.misses[top]
}

// concerned are the pixels faults sit at; none for faults of the whole prop.
func (f *field) concerned(faults []strip.Fault) []show.Span {
	var out []show.Span
	for _, ft := range faults {
		if sp, ok := f.placeOf(ft); ok {
			out = append(out, sp)
		}
	}
	return out
}

func (f *field) placeOf(ft strip.Fault) (show.Span, bool) {
	whole := func(r int) show.Span {
		first := f.prop.FirstPixel(r)
		return show.Span{First: first, Last: first + f.sizes[r] - 1}
	}
	switch ft.Kind {
	case strip.OpenJoint, strip.DeadStop, strip.DeadPixel, strip.DeadChannel, strip.RailLost, strip.Flicker:
		return show.Span{First: ft.Pixel, Last: ft.Pixel}, true
	case strip.WrongOrder, strip.WrongChip:
		return show.Span{First: ft.Pixel, Last: f.pixels - 1}, true
	case strip.RunBackwards, strip.RunMirrored, strip.RunsSwapped, strip.Count:
		return whole(ft.Run), true
	}
	return show.Span{}, false
}

// A Finding is what is wrong, or that nothing is: where, how sure, why, and
// what to do.
type Finding struct {
	Good    bool
	More    bool        // something else is wrong behind it, to be found when this is mended
	Title   string      // one sentence
	Sure    Sureness    // in words: the one scale for screen, lines, record and sheet
	Percent int         // the same as a number, 1 to 99
	Share   float64     // the posterior, 0 to 1, as it was worked out
	Absent  bool        // no finding at all: the prop is not there, and Title says why
	Causes  []Cause     // what looks just so, likeliest first; empty when good
	Pixels  []show.Span // on the drawing
	Because []string    // the answers that led here
	Rivals  []string    // what else is not ruled out
}

// A Cause is one explanation of what was seen.
type Cause struct {
	Faults []strip.Fault
	Text   string // one sentence
	Where  string // run, pixel from the data end, joint; empty for the whole prop
	Remedy string
}

// mostListed is how long a short list may be: as long as the counts of a run
// that no look tells apart.
const mostListed = countOff + 2

// Findings says what came out so far, likeliest first: one finding when it is
// settled, else the short list. It may be asked at any time.
func (s *Session) Findings() []Finding {
	if why, absent := s.network.Absent(); absent {
		return []Finding{s.absent(why)}
	}
	standing := s.Standing()
	var out []Finding
	for i, su := range standing {
		if i > 0 && (su.Share < 0.02 || out[0].Share >= s.opts.Enough || i >= mostListed) {
			break
		}
		out = append(out, s.finding(su))
	}
	for i := range out {
		for j := range out {
			if i != j {
				out[i].Rivals = append(out[i].Rivals, out[j].Title)
			}
		}
	}
	return out
}

func (s *Session) finding(su Suspect) Finding {
	f := Finding{Good: su.Sound(), Share: su.Share, Pixels: su.Pixels, Because: s.because()}
	f.Sure, f.Percent = Certainty(su.Share, !su.fitsAll)
	if f.Good {
		f.Title = "Nothing is wrong: every pixel lights as planned."
		return f
	}
	for _, c := range su.Causes {
		f.Causes = append(f.Causes, s.field.cause(c))
	}
	slices.SortStableFunc(f.Causes, func(a, b Cause) int { return cmp.Compare(easiness(a), easiness(b)) })
	f.Causes = append(s.network.causes(su), f.Causes...)
	f.Title, f.More = f.Causes[0].Text, su.More
	if f.More {
		f.Title += " Something else is wrong behind it: mend this first, then check again."
	}
	return f
}

// because lists what was seen, a line an answer.
func (s *Session) because() []string {
	var out []string
	for i, st := range s.steps {
		if st.given >= 0 {
			out = append(out, fmt.Sprintf("%d. %s %s", i+1, s.field.question(&st.spec), s.field.answerText(&st.spec, st.answers[st.given])))
		}
	}
	return out
}

// cause puts faults into words.
func (f *field) cause(faults []strip.Fault) Cause {
	c := Cause{Faults: faults}
	var text, remedy, where []string
	for _, ft := range faults {
		text = append(text, ft.Sentence(f.prop))
		remedy = append(remedy, f.remedy(ft))
		if w := f.where(ft); w != "" {
			where = append(where, w)
		}
	}
	c.Text, c.Remedy, c.Where = strings.Join(text, " "), strings.Join(remedy, " "), strings.Join(where, "; ")
	return c
}
