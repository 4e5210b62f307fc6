package checkout

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/words"
)

// needsLook is why a required look is asked for.
const needsLook = "no prop is signed off without this look"

// signOffLook is a look that is required before a prop is signed off and was not
// asked yet, nil when none is left: see proposer.plain. A fault that is not in
// the list must have a chance to show.
func (s *Session) signOffLook(top int) *choice {
	if !s.belief.hyps[top].sound() {
		return nil
	}
	p := &proposer{f: s.field}
	for _, spec := range p.plain() {
		if !s.used[spec.key()] {
			return s.signOffChoice(spec, needsLook)
		}
	}
	return nil
}

// Why a look is asked for that a prop is not signed off without.
const (
	needsAnswer = "no prop is signed off without an answer to this; the first one was not sure"
	needsSecond = "no prop is signed off on one look: an answer may be wrong, and this one tries the same faults again"
)

// openLook is a required look of a prop that seems sound, not asked yet or answered with not sure and
// not asked once more; nil for none.
func (s *Session) openLook(top int) *choice {
	if !s.belief.hyps[top].sound() || s.opts.ByCamera {
		return nil
	}
	for _, spec := range s.openLooks() {
		again := *spec
		again.Again = true
		switch second := s.second != nil && spec == s.second.spec; {
		case !s.used[spec.key()] && second:
			return s.signOffChoice(spec, needsSecond)
		case !s.used[spec.key()]:
			return s.signOffChoice(spec, needsLook)
		case !s.used[again.key()]:
			return s.signOffChoice(&again, needsAnswer)
		}
	}
	return nil
}

// steadyLook is the look for flicker where an answer was taken back that the likeliest explanation
// does not give. Light that comes and goes is there at one look and gone at the next, as after a
// slip. It is nil where it was asked; a prop that seems sound gets a second look for it anyway.
func (s *Session) steadyLook(top int) *choice {
	if s.opts.ByCamera || s.wavered(top) < 0 {
		return nil
	}
	p := &proposer{f: s.field}
	for _, spec := range p.plain() {
		if spec.Kind == AskSteady && !s.used[spec.key()] {
			return s.signOffChoice(spec, "an answer was taken back: light that comes and goes looks so too")
		}
	}
	return nil
}

// wavered is the first step whose answer contradicts the likeliest explanation and was another when
// the question was asked once more; -1 for none. How bright the far end is, people judge in two ways.
func (s *Session) wavered(top int) int {
	for k := range s.steps {
		if st := &s.steps[k]; st.overruled && !st.spec.row().bothEnds && s.misses(k, top) {
			return k
		}
	}
	return -1
}

// waveredAt is the most that a finding has where an answer that contradicts it was taken back, in percent.
const waveredAt = 97

// doubt lowers how sure a finding is where an answer that contradicts it was taken back. A sound prop
// is no more than likely then: who made a slip can say so and change the first answer.
func (s *Session) doubt(f *Finding, top int) {
	k := s.wavered(top)
	if k < 0 || !f.Sure.Firm() {
		return
	}
	f.Sure, f.Percent = VeryLikely, min(f.Percent, waveredAt)
	if !f.Good || s.opts.ByCamera {
		return
	}
	f.Sure, f.Percent = Certainty(f.Share, true)
	was, is := s.twoAnswers(k)
	text := fmt.Sprintf(notSignedOff+": question %d has two answers: \"%s\", then \"%s\". Light that comes and goes looks so too. If the first was a slip, change it. If not, bend every lead and joint and check again.", k+1, was, is)
	f.Untried = strings.TrimSpace(text + " " + f.Untried)
}

// twoAnswers are the texts of an answer that was taken back and of the one that replaced it.
func (s *Session) twoAnswers(k int) (was, is string) {
	st := &s.steps[k]
	again := st.spec
	again.Again = true
	at := slices.IndexFunc(s.steps, func(x step) bool { return x.spec.key() == again.key() })
	return s.field.answerText(&st.spec, st.answers[st.given]), s.field.answerText(&st.spec, s.steps[at].answers[s.steps[at].given])
}

// signOffChoice asks for a required look.
func (s *Session) signOffChoice(spec *Spec, why string) *choice {
	answers := questions[spec.Kind].answers
	switch {
	case spec.Kind == AskRuns:
		answers = s.field.confirmAnswers() // run by run
	case answers == nil:
		answers = s.second.answers
	}
	return &choice{spec: spec, answers: answers, why: why}
}

// openLooks are the looks required before a prop is signed off that have no
// certain answer: not asked yet, or answered with not sure. Where no fall of voltage
// could be seen, the look for it is not among them. When no other is left, it is the second look.
func (s *Session) openLooks() []*Spec {
	out := s.plainLeft()
	if len(out) > 0 {
		return out
	}
	if c := s.secondLook(); c.spec != nil {
		out = append(out, c.spec)
	}
	return out
}

// plainLeft are the required looks of a sound prop without an answer, but for the second ones.
func (s *Session) plainLeft() []*Spec {
	p := &proposer{f: s.field}
	return slices.DeleteFunc(p.plain(), func(spec *Spec) bool {
		return s.answered(spec) || spec.Kind == AskFade && !s.field.fadeShows()
	})
}

// looksLeft is about how many looks a sound prop still takes until it is signed off: second looks count
// until it is known that they are not needed.
func (s *Session) looksLeft() int {
	if s.opts.ByCamera {
		return 0
	}
	left := len(s.plainLeft())
	if s.second != nil && s.second.spec == nil {
		return left
	}
	return left + len(slices.DeleteFunc(s.field.secondLooks(), s.answered))
}

// fadeShows reports whether a listed fall of voltage would be seen.
func (f *field) fadeShows() bool {
	return slices.ContainsFunc(f.hyps, func(h hypothesis) bool { return h.sag && !h.faint })
}

// withhold makes the finding of a sound prop no more than likely while a required
// look has no certain answer, and says which look. A joint that is loose only when it is bent shows in
// no other look.
func (s *Session) withhold(f *Finding) {
	if s.opts.ByCamera {
		return
	}
	open := s.openLooks()
	if len(open) == 0 {
		return
	}
	if f.Sure.Firm() {
		f.Sure, f.Percent = Certainty(f.Share, true)
	}
	text := fmt.Sprintf(notSignedOff+": no certain answer to \"%s\"", s.field.question(open[0]))
	if n := len(open) - 1; n > 0 {
		text += fmt.Sprintf(" and %s", words.Count(n, "other look"))
	}
	f.Untried = strings.TrimSpace(text + ". " + f.Untried)
}

// Words that the two parts of Untried begin with.
const (
	notSignedOff = "Not signed off"
	notTried     = "Not tried"
)

// Withheld is the part of Untried that says which required look keeps a prop that seems sound
// from being signed off; empty for none. rest is the other part.
func (f Finding) Withheld() (look, rest string) {
	if !strings.HasPrefix(f.Untried, notSignedOff) {
		return "", f.Untried
	}
	if i := strings.Index(f.Untried, notTried); i >= 0 {
		return strings.TrimSpace(f.Untried[:i]), f.Untried[i:]
	}
	return f.Untried, ""
}
