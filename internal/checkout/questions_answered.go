package checkout

// An AnsweredQuestion is one question of a check-out with the answers offered and
// the one given.
type AnsweredQuestion struct {
	ID       int // from 1
	Kind     Kind
	Question string
	Answers  []Answer // as offered, on keys 1 and up
	Given    int      // the key of the answer; NotSure is 0
}

// Text is the text of the answer given.
func (a AnsweredQuestion) Text() string {
	for _, x := range a.Answers {
		if x.Key == a.Given {
			return x.Text
		}
	}
	return "not sure"
}

// Asked returns the questions answered so far, in the order asked.
func (s *Session) Asked() []AnsweredQuestion {
	out := make([]AnsweredQuestion, len(s.steps))
	for i := range s.steps {
		st := &s.steps[i]
		out[i] = AnsweredQuestion{ID: i + 1, Kind: st.spec.Kind, Question: s.field.question(&st.spec), Given: st.given + 1,
			Answers: s.field.answersOf(&st.spec, st.answers)}
	}
	return out
}
