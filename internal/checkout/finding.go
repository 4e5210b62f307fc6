package checkout

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/strip"
)

// A Suspect is one explanation that is not ruled out. Faults with the same light
// are one suspect.
type Suspect struct {
	Share  float64         // posterior, 0 to 1
	Causes [][]strip.Fault // sets of faults with the same light; an empty set is a sound prop
	Pixels []prop.Span     // pixels of the plan that have it, for the drawing
	More   bool            // an unknown fault follows along the data
	Fits   bool            // it contradicts no more answers than the likeliest

	fitsAll   bool // it contradicts no answer
	strong    strengths
	moreShare float64
	best      int32 // the likeliest hypothesis of the group
}

// Sound reports whether the suspect is a prop without fault.
func (s Suspect) Sound() bool { return len(s.Causes) > 0 && len(s.Causes[0]) == 0 }

// Suspects are the listed explanations with a posterior of at least 1 in 1,000,
// likeliest first.
func (s *Session) Suspects() []Suspect {
	s.decide()
	return s.suspects(0.001)
}

// EverySuspect are those with less too: many places of little posterior each are a likely
// kind of fault together.
func (s *Session) EverySuspect() []Suspect {
	s.decide()
	return s.suspects(0)
}

// suspects are those with at least so much posterior.
func (s *Session) suspects(least float64) []Suspect {
	hyps, w := s.belief.hyps, s.now.each
	most := s.belief.contradicted[s.now.top]
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
		su.Fits = su.Fits || s.belief.contradicted[i] <= most
		su.fitsAll = su.fitsAll || s.belief.contradicted[i] == 0
		if h.moreAfter {
			su.moreShare += share
		} else if share > w[su.best] {
			su.best = int32(i)
		}
	}
	for _, su := range by {
		su.strong = s.belief.strengths(su.best)
	}
	for i := range hyps {
		h := &hyps[i]
		if su := by[hyps[h.sameLight].group]; su != nil && su.best == h.sameLight && !h.moreAfter {
			su.Causes = append(su.Causes, s.field.sameLook(h.faults)...)
			su.Pixels = append(su.Pixels, s.field.pixelsOf(h.faults)...)
		}
	}
	var out []Suspect
	for _, k := range keys {
		if by[k].Share >= least {
			by[k].More = by[k].moreShare > by[k].Share/2
			out = append(out, *by[k])
		}
	}
	sorting.Stable(out, func(a, b Suspect) int { return cmp.Compare(b.Share, a.Share) })
	return out
}

// sameLook are the sets of faults with the same light as the given set. Many
// faults keep all data away, so a pair with one of them stands for all such
// pairs.
func (f *field) sameLook(faults []strip.Fault) [][]strip.Fault {
	out := [][]strip.Fault{faults}
	if len(faults) == 2 && f.noData != 0 && faults[0] == f.hyps[f.noData].faults[0] {
		return f.noDataPairs(faults[1])
	}
	if len(faults) == 1 {
		for _, ft := range faults[0].Alike(f.prop) {
			out = append(out, []strip.Fault{ft})
		}
	}
	return out
}

// noDataPairs are the pairs of a fault that lights without data with each fault
// that keeps all data away.
func (f *field) noDataPairs(lit strip.Fault) (out [][]strip.Fault) {
	m, black := stripBuilder{field: f}, f.hyps[f.noData].fingerprint
	for i := range f.hyps {
		h := &f.hyps[i]
		if h.fingerprint != black || h.moreAfter {
			continue
		}
		both := []strip.Fault{h.faults[0], lit}
		if st, err := m.strip(both); err == nil && m.fingerprint(st) != black {
			out = append(out, both)
		}
	}
	return out
}

// pixelsOf are the pixels that have the faults; none for faults of the whole
// prop.
func (f *field) pixelsOf(faults []strip.Fault) []prop.Span {
	var out []prop.Span
	for _, ft := range faults {
		out = append(out, ft.Places(f.prop)...)
	}
	return out
}

// A Finding is the result of a check-out: a fault or none, with its place, its
// certainty, the reasons and the remedy.
type Finding struct {
	Good    bool
	More    bool          // another fault follows, to be found when this one is mended
	Title   string        // one sentence
	Sure    Confidence    // certainty in words, for screen, lines, record and sheet
	Percent int           // certainty in per cent, 1 to 99
	Share   float64       // posterior, 0 to 1
	Unknown *UnknownFault // set when no listed fault explains the answers; Causes are empty then
	Against []string      // the answers that contradict it, when no explanation fits all
	Absent  bool          // the prop is not connected, and Title says why
	Causes  []Cause       // explanations with the same light, least effort first; empty when good
	Pixels  []prop.Span   // pixels of the plan, for the drawing
	Because []string      // questions and answers so far
	Rivals  []string      // titles of the other findings
	Untried string        // of a sound prop: looks without a certain answer that keep it from being signed off, resistances that no look shows, and the test for them; else empty
}

// A Cause is one explanation of the answers.
type Cause struct {
	Faults []strip.Fault
	Text   string // one sentence
	Where  string // run, pixel from the data end, joint; empty for the whole prop
	Remedy string
}

// mostListed is how long a short list may be.
const mostListed = 12

// Findings is the result so far, likeliest first: one finding when an
// explanation is settled, else a short list. It may be called at any time.
func (s *Session) Findings() []Finding {
	if why, absent := s.network.Absent(); absent {
		return []Finding{s.absent(why)}
	}
	standing := s.Suspects()
	return s.listed(standing, s.unexplained(standing), s.shared(standing))
}

// FindingsWhere are the findings whose faults agree with other evidence, such as
// camera pictures: fit reports whether a set of faults does. Posteriors are
// those among the rest. When no suspect fits, it returns Findings.
func (s *Session) FindingsWhere(fit func(faults []strip.Fault) bool) []Finding {
	var kept []Suspect
	standing := s.Suspects()
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

// listed makes findings of suspects. u is the finding that no listed fault
// explains the answers, common that of the fault which all have in common;
// either may be nil.
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
	f := Finding{Good: su.Sound(), Share: su.Share, Pixels: su.Pixels, Because: s.reasons()}
	f.Sure, f.Percent = Certainty(su.Share, !su.fitsAll || s.guessesFall(su) || !f.Good && s.unconfirmed(int(su.best)))
	contradicted := !su.fitsAll && s.stopped != ""
	if contradicted {
		f.Against = s.against(int(su.best))
	}
	if contradicted || su.More { // an unknown fault, or a wrong answer, may make it another fault
		f.Sure, f.Percent = Possible, min(f.Percent, int(likelyAt*100)-1)
	}
	if f.Sure == Certain && len(su.Causes) > 0 && (su.strong != (strengths{}) && len(su.Causes[0]) > 1 || openEnded(su.Causes[0])) {
		f.Sure = VeryLikely // with a fall of voltage many answers are possible, also wrong ones; an open-ended count has no confirming look
	}
	if f.Good {
		if f.Sure == Certain {
			f.Sure = VeryLikely // a fall of voltage shows in one look, and an answer may be wrong
		}
		f.Title, f.Untried = "Nothing is wrong that light shows: every pixel lights as planned.", untried(s.field.prop)
		s.withhold(&f)
	} else {
		s.addCauses(&f, su)
	}
	s.doubt(&f, int(su.best))
	return f
}

// addCauses sets the causes of a finding that is not sound, and its title.
func (s *Session) addCauses(f *Finding, su Suspect) {
	for _, c := range s.field.pairsToo(su) {
		f.Causes = append(f.Causes, s.field.cause(c, su.strong))
	}
	sorting.Stable(f.Causes, func(a, b Cause) int { return cmp.Compare(effort(a), effort(b)) })
	f.Causes = append(s.network.sourceAfter(s.field, f.Causes), s.field.startsElsewhere(f.Causes)...)
	f.Causes = append(s.network.causes(su), f.Causes...)
	f.Title, f.More = f.Causes[0].Text, su.More
	if f.More {
		f.Title += " Something else is wrong after it: mend this first, then check again."
	}
}

// guessesFall reports whether a fall of voltage stands beside another fault and the far end was never
// seen to be dimmer: the two together fit much that is seen by chance.
func (s *Session) guessesFall(su Suspect) bool {
	return su.strong != (strengths{}) && len(su.Causes[0]) > 1 && !slices.ContainsFunc(s.steps, func(st step) bool {
		return st.given >= 0 && !st.overruled && st.answers[st.given] == SeesFades
	})
}

// reasons lists the questions and answers, one a line.
func (s *Session) reasons() []string {
	var out []string
	for i, st := range s.steps {
		if st.given >= 0 {
			out = append(out, s.answerLine(i))
		}
	}
	return out
}

// answerLine is question number k, from 0, and its answer in one line.
func (s *Session) answerLine(k int) string {
	st := &s.steps[k]
	first, again := st.spec.first(), ""
	if st.spec.Again {
		again = " (asked once more)"
	}
	return fmt.Sprintf("%d. %s%s %s", k+1, strings.TrimSpace(s.field.question(&first)), again, s.field.answerText(&st.spec, st.answers[st.given]))
}

// cause makes the text, place and remedy of a set of faults.
func (f *field) cause(faults []strip.Fault, strong strengths) Cause {
	c := Cause{Faults: faults}
	var text, remedy, where []string
	for _, ft := range faults {
		text = append(text, f.sentence(ft, strong))
		remedy = append(remedy, ft.Remedy(f.prop))
		if w := f.where(ft); w != "" {
			where = append(where, w)
		}
	}
	c.Text, c.Remedy, c.Where = strings.Join(text, " "), strings.Join(remedy, " "), strings.Join(where, "; ")
	return c
}
