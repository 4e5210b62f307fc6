package checkout

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/prop"
)

// An UnknownFault describes a fault that is not in the list.
type UnknownFault struct {
	Closest Cause     // the listed explanation that fits best
	Against []string  // the answers that contradict it
	Walk    prop.Span // pixels of the plan to look at one by one
	Next    string    // what to do
}

// walkAround is the number of pixels to look at on each side of the first odd
// place.
const walkAround = 5

// unexplained is the finding that no listed fault explains the answers. It is
// nil before the first answer, and while a listed explanation fits all answers
// and is likelier than an unlisted fault.
func (s *Session) unexplained(standing []Suspect) *Finding {
	p := s.now
	if len(s.steps) == 0 {
		return nil
	}
	contradicted := s.belief.contradicted[p.top] > 0
	if s.belief.hyps[p.top].sag && len(standing) > 0 && standing[0].fitsAll {
		contradicted = false // a fall of voltage of another strength fits
	}
	if len(standing) > 0 && !contradicted && p.unknown <= p.share || contradicted && s.stopped == "" && p.unknown <= p.share {
		return nil
	}
	u := &UnknownFault{Closest: s.closest(), Against: s.against(p.top), Walk: s.walk()}
	f := &Finding{Unknown: u, Share: p.unknown, Because: s.reasons(), Pixels: []prop.Span{u.Walk}}
	f.Sure, f.Percent = Certainty(p.unknown, true)
	f.Title = "Nothing I know explains this."
	u.Next = "First stop every other sender: what it lights looks so too. " + s.field.walkText(u.Walk)
	return f
}

// walkText is the instruction for a fault that is not in the list.
func (f *field) walkText(at prop.Span) string {
	text := fmt.Sprintf("Walk the prop pixel by pixel from pixel %d to %d", at.First+1, at.Last+1)
	switch {
	case f.pixels == 1:
		return "Light each colour of the pixel alone; put what you see into the record as a note."
	case at.First == 0 && at.Last == f.pixels-1:
		text = "Walk the whole prop pixel by pixel"
	}
	return text + ": light single pixels there or take the roll call; put what you see into the record as a note."
}

// NoAgainst is the text when no look contradicts the closest explanation.
const NoAgainst = "No look contradicts it. But it is no likelier than a fault that I do not know."

// Misfits are the looks that contradict the closest explanation, or the reason
// why it is not named when none does.
func (u *UnknownFault) Misfits() []string {
	if len(u.Against) == 0 {
		return []string{NoAgainst}
	}
	return u.Against
}

// closest is the likeliest listed hypothesis in words.
func (s *Session) closest() Cause {
	faults := s.belief.hyps[s.now.top].faults
	if len(faults) == 0 {
		return Cause{Text: "Most looks are as of a prop without fault."}
	}
	return s.field.cause(faults, s.belief.strengths(int32(s.now.top)))
}

// against lists the answers that contradict hypothesis top.
func (s *Session) against(top int) []string {
	var out []string
	for k := range s.steps {
		if s.isFinal(k) && s.misses(k, top) {
			out = append(out, s.answerLine(k))
		}
	}
	return out
}

// isFinal reports whether step k has an answer that no repeated question
// replaces.
func (s *Session) isFinal(k int) bool {
	st := &s.steps[k]
	return st.given >= 0 && (st.spec.Again || !s.repeated(k))
}

// walk is the span to look at: around the first odd place, or the whole prop when
// no answer gives that place.
func (s *Session) walk() prop.Span {
	votes := make([]int, s.field.pixels)
	for k := range s.steps {
		if s.isFinal(k) {
			s.field.vote(votes, &s.steps[k])
		}
	}
	most := slices.Max(votes)
	out := prop.Span{First: slices.Index(votes, most)}
	for out.Last = out.First; out.Last+1 < len(votes) && votes[out.Last+1] == most; {
		out.Last++
	}
	return prop.Span{First: max(0, out.First-walkAround), Last: min(s.field.pixels-1, out.Last+walkAround)}
}

// vote adds 1 for each pixel that may be the first odd place by an answer: the
// pixels of the stretch passed last and the one after it, or of the run named.
func (f *field) vote(votes []int, st *step) {
	given, at := st.answers[st.given], 0
	if given >= seesRun && given < seesSequence {
		r := int(given - seesRun)
		for i := range f.sizes[r] {
			votes[f.firsts[r]+i]++
		}
		return
	}
	if given > Token(White) || !st.spec.row().before {
		return
	}
	for _, p := range st.spec.Paint {
		for i := range p.Pixels + 1 { // the first pixel of the next stretch too
			if Token(p.Colour.name()) == given && at+i < len(votes) && at+i > 0 {
				votes[at+i]++
			}
		}
		at += p.Pixels
	}
}
