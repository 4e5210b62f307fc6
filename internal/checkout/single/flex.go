package single

import (
	"fmt"
	"strings"

	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// A FlexTest has the builder bend every joint.
type FlexTest struct{ *joints.Flex }

func newFlex(p *prop.Prop) (Test, error) {
	f, err := joints.NewFlex(p)
	if err != nil {
		return nil, err
	}
	return FlexTest{f}, nil
}

// Kind is Flex.
func (FlexTest) Kind() Kind { return Flex }

// Step is the next joint to bend; false when done.
func (t FlexTest) Step() (Step, bool) {
	b, more := t.Next()
	text := make([]string, len(b.Answers))
	for i, x := range b.Answers {
		text[i] = string(x)
	}
	joint := fmt.Sprintf("joint\u00a0%d", b.ID) // on one line
	return Step{Progress: fmt.Sprintf("Flex test, joint %d of %d", b.ID, t.Joints()), Large: []string{"Bend " + joint + ": steady?", words.Capital(joint) + ": steady?", words.Capital(joint) + "?"}, Question: b.Question, Brief: b.Brief,
		Answers: answers(notSure, text...), Show: b.Show, Level: joints.Level, Marks: b.Marks}, more
}

// Answer records what the joint did.
func (t FlexTest) Answer(r Reply) error {
	s, _ := t.Step()
	if err := s.check(r.Key); err != nil {
		return err
	}
	if r.Key == 0 {
		return t.Flex.Answer(joints.NotSure)
	}
	return t.Flex.Answer(joints.Bendings[r.Key-1])
}

// Result names the loose joints and those without a certain answer.
func (t FlexTest) Result() (Result, error) {
	loose, open := t.Findings(), t.Open()
	r := Result{Title: "All joints are steady", Good: len(loose) == 0, Whole: len(open) == 0, Built: AsBuilt{Why: nothingToFollow}}
	var names []string // of joints that do the same, with one remedy
	for n, l := range loose {
		r.Title = looseTitle(loose)
		r.Here = append(r.Here, bothSides(l.Joint)...)
		r.Numbered = append(r.Numbered, Numbered{l.ID, bothSides(l.Joint)})
		if names = append(names, fmt.Sprintf("%d %s", l.ID, l.Quoted())); n+1 < len(loose) && loose[n+1].Does == l.Does {
			continue
		}
		r.Lines = append(r.Lines, Paragraph{Text: l.Does.Sentence(words.Plural(len(names), "joint ", "joints ") + words.And(names))})
		for i, x := range l.Does.Remedy() { // joints have numbers
			r.Lines = append(r.Lines, Paragraph{string('a'+rune(i)) + ". ", x})
		}
		names = nil
	}
	if len(loose) > 0 {
		r.Sure = words.Plural(len(loose), "The light changed as you bent it. Bend it", "The light changed as you bent each of them. Bend them") + " again after the repair."
	}
	switch {
	case len(open) > 0 && r.Good:
		r.Title = "Steady, as far as bent"
		fallthrough
	case len(open) > 0:
		r.Lines = append(r.Lines, paragraphs("Not tested: "+strings.Join(open, ", ")+".")...)
	case r.Good:
		r.Lines = paragraphs("Every joint was bent, and the light stayed steady at each.")
	}
	return r, nil
}

// looseTitle is the numbers of the loose joints, or how many there are.
func looseTitle(loose []joints.FlexResult) string {
	switch len(loose) {
	case 1:
		return fmt.Sprintf("Joint %d is loose", loose[0].ID)
	case 2:
		return fmt.Sprintf("Joints %d and %d are loose", loose[0].ID, loose[1].ID)
	}
	return fmt.Sprintf("%d joints are loose", len(loose))
}

// nothingToFollow is the reason why a result does not change the plan.
const nothingToFollow = "There is nothing in it that the plan could follow."

// bothSides are the pixels before and after a joint.
func bothSides(j prop.Joint) []prop.Span {
	out := []prop.Span{{First: j.FirstPixel, Last: j.FirstPixel}}
	if j.LastPixel >= 0 {
		out = append(out, prop.Span{First: j.LastPixel, Last: j.LastPixel})
	}
	return out
}
