package checkout

import "slices"

// Slips. When an answer contradicts the likeliest explanation, either may be
// wrong: the question is asked once more, and the later answer counts.

// mostAgain is how many questions are asked once more in one check-out.
const mostAgain = 3

// earlier is the last step before whose probe a probe repeats, or -1.
func earlier(steps []step, spec *Spec) int {
	key := spec.first()
	for i := range slices.Backward(steps) {
		if was := steps[i].spec.first(); was.key() == key.key() {
			return i
		}
	}
	return -1
}

// again is a question whose answer the hypothesis contradicts, to be asked once
// more; nil when there is none left.
func (s *Session) again(top int) *choice {
	asked := 0
	for i := range s.steps {
		if s.steps[i].spec.Again {
			asked++
		}
	}
	if asked >= mostAgain || s.belief.misses[top] == 0 {
		return nil
	}
	for k := range s.steps {
		st := &s.steps[k]
		if st.spec.Again || !s.holds(k) {
			continue
		}
		if _, miss := st.likelihood(&s.belief.hyps[top], s.shown(k).by(&s.belief, s.field, &st.spec, top)); miss {
			spec := st.spec
			spec.Again = true
			return &choice{spec: &spec, answers: st.answers, why: "an answer to this question does not fit the others"}
		}
	}
	return nil
}

// onceMore asks a yes to a direct question again when all hangs on that one
// word: a sound prop contradicts it, and so a slip would make a fault.
func (s *Session) onceMore(top int) *choice {
	if s.belief.hyps[top].sound() {
		return nil
	}
	n, at := 0, -1
	for k := range s.steps {
		st := &s.steps[k]
		switch {
		case st.given < 0 || st.overruled:
		case saysYes(st.answers[st.given]):
			n, at = n+1, k
		case st.spec.Kind == AskStaysLit && st.answers[st.given].Colour():
			n++ // it went dark under someone's eyes
		}
	}
	if n != 1 || at < 0 || s.steps[at].spec.Again || s.repeated(at) {
		return nil
	}
	spec := s.steps[at].spec
	spec.Again = true
	return &choice{spec: &spec, answers: s.steps[at].answers, why: "a yes is asked for twice before anything is mended for it"}
}

// repeated reports whether the question of a step was asked once more.
func (s *Session) repeated(k int) bool {
	spec := s.steps[k].spec
	spec.Again = true
	return s.used[spec.key()]
}

// overrule lets the last answer count instead of an earlier one to the same
// question, if they differ, and weighs all again by it.
func (s *Session) overrule() {
	k := len(s.steps) - 1
	last := &s.steps[k]
	if !last.spec.Again || last.given < 0 {
		return
	}
	at := earlier(s.steps[:k], &last.spec)
	if at < 0 || s.steps[at].given < 0 || s.steps[at].answers[s.steps[at].given] == last.answers[last.given] {
		return
	}
	s.belief.excuse(s, at)
	s.forgetPairs()
}
