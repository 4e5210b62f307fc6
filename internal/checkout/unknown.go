package checkout

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/prop"
)

// An UnknownFault is what can be said of a fault that is none of the list.
type UnknownFault struct {
	Closest Cause     // what fits most
	Against []string  // the answers that it contradicts
	Walk    prop.Span // pixels of the plan to look at one by one
	Next    string    // what to do, which needs no list
}

// walkAround is how many pixels on both sides of the first odd place are walked.
const walkAround = 5

// unexplained is the finding that nothing known explains the answers: none
// while something fits them all and is likelier, and none before any answer.
func (s *Session) unexplained(standing []Suspect) *Finding {
	p := s.now
	if len(s.steps) == 0 {
		return nil
	}
	contradicted := s.belief.misses[p.top] > 0
	if s.belief.hyps[p.top].sag && len(standing) > 0 && standing[0].fitsAll {
		contradicted = false // a fall of voltage of another strength fits
	}
	if len(standing) > 0 && !contradicted && p.unknown <= p.share || contradicted && s.stopped == "" && p.unknown <= p.share {
		return nil
	}
	u := &UnknownFault{Closest: s.closest(), Against: s.against(p.top), Walk: s.walk()}
	f := &Finding{Unknown: u, Share: p.unknown, Because: s.because(), Pixels: []prop.Span{u.Walk}}
	f.Sure, f.Percent = Certainty(p.unknown, true)
	f.Title = "Nothing I know explains this."
	u.Next = s.field.walkText(u.Walk)
	return f
}

// walkText says what to do where nothing known fits.
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

// NoAgainst is the text when no look contradicts what fits most.
const NoAgainst = "No look contradicts it. But it is no likelier than a fault that I do not know."

// Misfits are the looks that do not fit what fits most, or why it is not named
// though all fit.
func (u *UnknownFault) Misfits() []string {
	if len(u.Against) == 0 {
		return []string{NoAgainst}
	}
	return u.Against
}

// closest is what fits most, in words.
func (s *Session) closest() Cause {
	faults := s.belief.hyps[s.now.top].faults
	if len(faults) == 0 {
		return Cause{Text: "Most looks are as of a prop without fault."}
	}
	return s.field.cause(faults, s.belief.strengths(int32(s.now.top)))
}

// against lists the answers that a hypothesis contradicts.
func (s *Session) against(top int) []string {
	var out []string
	for k := range s.steps {
		st := &s.steps[k]
		if !s.holds(k) {
			continue
		}
		if _, miss := st.likelihood(&s.belief.hyps[top], s.shown(k).by(&s.belief, s.field, &st.spec, top)); miss {
			out = append(out, s.said(k))
		}
	}
	return out
}

// holds reports whether an answer was given, and the question was not asked once
// more: then the later answer says it all.
func (s *Session) holds(k int) bool {
	st := &s.steps[k]
	return st.given >= 0 && (st.spec.Again || !s.repeated(k))
}

// walk is where to look: around the first place that looked odd, or the whole
// prop when no answer tells where that is.
func (s *Session) walk() prop.Span {
	votes := make([]int, s.field.pixels)
	for k := range s.steps {
		if s.holds(k) {
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

// vote counts an answer for the pixels at which the first odd place may be by
// it: where the stretch that was passed last ends, or in the run that is named.
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
