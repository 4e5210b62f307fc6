package checkout

import (
	"cmp"
	"fmt"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/strip"
)

// A Suspect is one thing the prop may still be. Faults that no light could
// tell apart are one suspect.
type Suspect struct {
	Share  float64
	Causes [][]strip.Fault // each a set of faults that looks just so; an empty set is a sound prop
	Pixels []prop.Span     // pixels of the plan concerned, for the drawing
	More   bool            // and something else is wrong after it
	Fits   bool            // it contradicts no more answers than the likeliest

	fitsAll bool // it contradicts no answer
	strong  strengths
	behind  float64
	best    int32 // the likeliest of those that say the same
}

// Sound reports whether the suspect is a prop without fault.
func (s Suspect) Sound() bool { return len(s.Causes) > 0 && len(s.Causes[0]) == 0 }

// Standing is what is still open of what is known, likeliest first, down to a
// posterior of 1 in 1,000.
func (s *Session) Standing() []Suspect {
	s.settle()
	return s.standing()
}

func (s *Session) standing() []Suspect {
	hyps, w := s.belief.hyps, s.now.each
	most := s.belief.misses[s.now.top]
	by := map[int32]*Suspect{}
	var keys []int32
	for i, share := range w {
		h := &hyps[i]
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
			su.best = int32(i)
		}
	}
	for _, su := range by {
		su.strong = s.belief.strengths(su.best)
	}
	for i := range hyps {
		h := &hyps[i]
		if su := by[hyps[h.twin].group]; su != nil && su.best == h.twin && !h.behind {
			su.Causes = append(su.Causes, s.field.alike(h.faults)...)
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
	sorting.Stable(out, func(a, b Suspect) int { return cmp.Compare(b.Share, a.Share) })
	return out
}

// alike are these faults, and those that cannot be told from a single one. What
// keeps all data away may be many things, beside what lights all the same.
func (f *field) alike(faults []strip.Fault) [][]strip.Fault {
	out := [][]strip.Fault{faults}
	if len(faults) == 2 && f.unfed != 0 && faults[0] == f.hyps[f.unfed].faults[0] {
		return f.unfedBeside(faults[1])
	}
	if len(faults) == 1 {
		for _, ft := range faults[0].Alike(f.prop) {
			out = append(out, []strip.Fault{ft})
		}
	}
	return out
}

// unfedBeside are all pairs of a fault with another that keeps all data away.
func (f *field) unfedBeside(lit strip.Fault) (out [][]strip.Fault) {
	m, black := stripBuilder{field: f}, f.hyps[f.unfed].print
	for i := range f.hyps {
		h := &f.hyps[i]
		if h.print != black || h.behind {
			continue
		}
		both := []strip.Fault{h.faults[0], lit}
		if st, err := m.strip(both); err == nil && m.print(st) != black {
			out = append(out, both)
		}
	}
	return out
}

// concerned are the pixels faults sit at; none for faults of the whole prop.
func (f *field) concerned(faults []strip.Fault) []prop.Span {
	var out []prop.Span
	for _, ft := range faults {
		out = append(out, ft.Places(f.prop)...)
	}
	return out
}

// A Finding is what is wrong, or that nothing is: where, how sure, why, and
// what to do.
type Finding struct {
	Good    bool
	More    bool          // something else is wrong after it, to be found when this is mended
	Title   string        // one sentence
	Sure    Sureness      // in words: the one scale for screen, lines, record and sheet
	Percent int           // the same as a number, 1 to 99
	Share   float64       // the posterior, 0 to 1, as it was worked out
	Unknown *UnknownFault // set when nothing that is known explains the answers; Causes are empty then
	Against []string      // the answers that it contradicts, when it is named though nothing fits all
	Absent  bool          // no finding at all: the prop is not there, and Title says why
	Causes  []Cause       // what looks just so, likeliest first; empty when good
	Pixels  []prop.Span   // on the drawing
	Because []string      // the answers that led here
	Rivals  []string      // what else is not ruled out
	Untried string        // of a sound prop: which resistances no look shows, and what tries them; else empty
}

// A Cause is one explanation of what was seen.
type Cause struct {
	Faults []strip.Fault
	Text   string // one sentence
	Where  string // run, pixel from the data end, joint; empty for the whole prop
	Remedy string
}

// mostListed is how long a short list may be.
const mostListed = 12

// Findings says what came out so far, likeliest first: one finding when it is
// settled, else the short list. It may be asked at any time.
func (s *Session) Findings() []Finding {
	if why, absent := s.network.Absent(); absent {
		return []Finding{s.absent(why)}
	}
	standing := s.Standing()
	return s.listed(standing, s.unexplained(standing), s.shared(standing))
}

// FindingsThat are the findings of which something else than the answers speaks
// too, as pictures that show more than was asked: what does not fit is left out,
// and the shares are of what is left. Where nothing fits, they are all there.
func (s *Session) FindingsThat(fit func(faults []strip.Fault) bool) []Finding {
	var kept []Suspect
	standing := s.Standing()
	sum := s.now.unknown
	for _, su := range standing {
		if len(su.Causes) > 0 && fit(su.Causes[0]) {
			kept = append(kept, su)
			sum += su.Share
		}
	}
	if _, absent := s.network.Absent(); absent || len(kept) == 0 {
		return s.Findings()
	}
	for i := range kept {
		kept[i].Share /= sum
	}
	return s.listed(kept, s.unexplained(kept), nil)
}

// listed puts suspects into findings; u is that nothing known fits, common what
// they have in common, nil for neither.
func (s *Session) listed(standing []Suspect, u, common *Finding) []Finding {
	var out []Finding
	if common != nil {
		out = append(out, *common)
	}
	for i, su := range standing {
		if (i > 0 || common != nil) && (su.Share < 0.02 || standing[0].Share >= s.opts.Enough || i >= mostListed) {
			break
		}
		if u != nil && u.Share > su.Share {
			out, u = append(out, *u), nil
		}
		out = append(out, s.finding(su))
	}
	if u != nil {
		out = append(out, *u)
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
	contradicted := !su.fitsAll && s.stopped != ""
	if contradicted {
		f.Against = s.against(int(su.best))
	}
	if contradicted || su.More { // of what is after it nothing is known; either may be another fault altogether
		f.Sure, f.Percent = Possible, min(f.Percent, int(likelyAt*100)-1)
	}
	if f.Sure == Certain && len(su.Causes) > 0 && (su.strong != (strengths{}) && len(su.Causes[0]) > 1 || openEnded(su.Causes[0])) {
		f.Sure = VeryLikely // a fall of voltage leaves room in many looks, also for an answer that was a slip; the other has no confirming look
	}
	if f.Good {
		f.Title, f.Untried = "Nothing is wrong that light shows: every pixel lights as planned.", untried(s.field.prop)
		return f
	}
	for _, c := range su.Causes {
		f.Causes = append(f.Causes, s.field.cause(c, su.strong))
	}
	sorting.Stable(f.Causes, func(a, b Cause) int { return cmp.Compare(effort(a), effort(b)) })
	f.Causes = append(s.network.causes(su), f.Causes...)
	f.Title, f.More = f.Causes[0].Text, su.More
	if f.More {
		f.Title += " Something else is wrong after it: mend this first, then check again."
	}
	return f
}

// because lists what was seen, a line an answer.
func (s *Session) because() []string {
	var out []string
	for i, st := range s.steps {
		if st.given >= 0 {
			out = append(out, s.said(i))
		}
	}
	return out
}

// said is a question and its answer in a line.
func (s *Session) said(k int) string {
	st := &s.steps[k]
	first, again := st.spec.first(), ""
	if st.spec.Again {
		again = " (asked once more)"
	}
	return fmt.Sprintf("%d. %s%s %s", k+1, strings.TrimSpace(s.field.question(&first)), again, s.field.answerText(&st.spec, st.answers[st.given]))
}

// cause puts faults into words.
func (f *field) cause(faults []strip.Fault, strong strengths) Cause {
	c := Cause{Faults: faults}
	var text, remedy, where []string
	for _, ft := range faults {
		text = append(text, f.sentence(ft, strong))
		remedy = append(remedy, ft.Remedy())
		if w := f.where(ft); w != "" {
			where = append(where, w)
		}
	}
	c.Text, c.Remedy, c.Where = strings.Join(text, " "), strings.Join(remedy, " "), strings.Join(where, "; ")
	return c
}
