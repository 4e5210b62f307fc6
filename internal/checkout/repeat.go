package checkout

import "slices"

// Wrong answers. When an answer contradicts the likeliest explanation, either
// may be wrong: the question is asked once more, and the later answer counts.

// mostAgain is the largest number of questions asked once more in a check-out because of an answer.
const mostAgain = 3

// earlier is the index of the last step with the same probe, or -1.
func earlier(steps []step, spec *Spec) int {
	key := spec.first()
	for i := range slices.Backward(steps) {
		if was := steps[i].spec.first(); was.key() == key.key() {
			return i
		}
	}
	return -1
}

// contradictedQuestion is a question whose answer contradicts hypothesis top, to
// be asked once more; nil when there is none left.
func (s *Session) contradictedQuestion(top int) *choice {
	asked := 0
	for i := range s.steps {
		spec := &s.steps[i].spec
		if at := earlier(s.steps[:i], spec); spec.Again && at >= 0 && s.steps[at].given >= 0 { // not the look that no one was sure of
			asked++
		}
	}
	if asked >= mostAgain || s.belief.contradicted[top] == 0 {
		return nil
	}
	var odd *step
	for k := range s.steps {
		st := &s.steps[k]
		if st.spec.Again || !s.isFinal(k) || !s.misses(k, top) {
			continue
		}
		if odd == nil || saysYes(st.answers[st.given]) && !saysYes(odd.answers[odd.given]) {
			odd = st // a wrong yes rules out every sound prop: it is asked first
		}
	}
	if odd == nil {
		return nil
	}
	spec := odd.spec
	spec.Again = true
	return &choice{spec: &spec, answers: odd.answers, why: "an answer to this question does not fit the others"}
}

// misses reports whether the answer of step k contradicts hypothesis i.
func (s *Session) misses(k, i int) bool {
	st := &s.steps[k]
	_, miss := st.likelihood(&s.belief.hyps[i], s.predictionsOf(k).of(&s.belief, s.field, &st.spec, i))
	return miss
}

// repeatedYes repeats the one direct question that was answered with yes, when
// no other answer confirms it: one wrong answer must not make a sound prop
// faulty. It is nil when there is no such question.
func (s *Session) repeatedYes(top int) *choice {
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
			n++ // the builder saw pixels go dark, which confirms the yes
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

// overrule makes the last answer replace an earlier one to the same question, if
// they differ.
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
	s.belief.discount(s, at)
	s.forgetPairs()
}
