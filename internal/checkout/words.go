package checkout

import (
	"fmt"
	"strings"

	"example.org/ringout/internal/prop"
)

// probe makes probe number id of a choice, with its texts.
func (f *field) probe(id int, c *choice) Probe {
	s := *c.spec
	p := Probe{ID: id, Show: s.Paint.show(), Level: s.Level, Spec: s, Picture: s.Paint.cut(f.sizes),
		Seconds: questions[s.Kind].seconds, Question: f.question(&s), Hint: f.hint(&s), Look: f.lookAt(&s)}
	if s.Expected != nil {
		p.Picture = s.Expected
	}
	p.Answers = f.answersOf(&s, c.answers)
	if c.why != "" {
		p.Why = c.why
		return p
	}
	p.Why = fmt.Sprintf("settles about %.1f of the yes-or-no questions still open", c.bits)
	if s.family != "" {
		p.Why = fmt.Sprintf("narrows down where (%s); %s", s.family, p.Why)
	}
	return p
}

// question is the text of a question.
func (f *field) question(s *Spec) string {
	text := questions[s.Kind].ask(f, s)
	if s.Again {
		return "Once more, since the answer did not fit the others: " + text
	}
	return text
}

// hint is the text that says where and how to look.
func (f *field) hint(s *Spec) string { return questions[s.Kind].hint(f, s) }

// answerText is the text of an answer.
func (f *field) answerText(s *Spec, t Token) string {
	switch {
	case t < 8:
		return t.String()
	case t >= seesSequence:
		return sequenceText(t)
	case t >= seesRun:
		return f.runText(int(t - seesRun))
	}
	if text, ok := bulbTexts[t]; ok && f.pixels == 1 {
		return text
	}
	switch {
	case t == SeesAll && f.pixels == 1:
		return fmt.Sprintf("lit, %s", s.Base)
	case t == SeesAll:
		return fmt.Sprintf("all lit, all %s", s.Base)
	}
	if text, ok := s.row().texts[t]; ok {
		return text
	}
	if text, ok := answerTexts[t]; ok {
		return text
	}
	return "something else"
}

// answerTexts are the texts of answers that are not colours or runs.
var answerTexts = map[Token]string{
	SeesOther:    "all lit, all in another colour",
	SeesTail:     "lit at the start, dark from some pixel on",
	SeesFew:      "one to three pixels differ from the rest",
	SeesNone:     "nothing is lit",
	SeesMixed:    "something else: mixed, or comes and goes",
	SeesAsDrawn:  "none: everything matches the picture",
	SeesFirst:    "none: it is the very first pixel",
	SeesMissing:  "nothing: the light ends early",
	SeesSteady:   "no, it is steady",
	SeesComes:    "yes, a part of it",
	SeesComesAll: "yes, all of it",
	SeesSparkles: "it flashes or changes colour at random",
	SeesAlike:    "no, both look alike",
	SeesFades:    "yes, the far end is dimmer or redder",
}

// bulbTexts replace answerTexts for a prop of one pixel, which has no far end.
var bulbTexts = map[Token]string{
	SeesOther: "lit, in another colour",
	SeesTail:  "a part of it stays dark",
	SeesFew:   "a part of it has another colour",
	SeesNone:  "it is dark",
	SeesMixed: "something else: mixed, or comes and goes",
}

func sequenceText(t Token) string {
	names := t.sequence()
	words := make([]string, len(names))
	for i, n := range names {
		words[i] = n.String()
	}
	text := strings.Join(words, ", then ")
	switch {
	case t&sequenceMore != 0:
		return text + ", and more"
	case len(names) == 1:
		return "only " + text
	}
	return text
}

// runText names a run, or "the prop" for an index that is no run.
func (f *field) runText(r int) string {
	if r < 0 || r >= len(f.prop.Runs) {
		return "the prop"
	}
	return f.prop.RunName(r)
}

// spotText names a pixel that is easy to find.
func (f *field) spotText(run, pixel int) string {
	in := " of " + f.runText(run)
	switch {
	case f.pixels == 1:
		return "it"
	case pixel == 0:
		return "the first pixel" + in
	case pixel == -1:
		return "the last pixel" + in
	case pixel < 0:
		return fmt.Sprintf("pixel %d from the far end%s", -pixel, in)
	}
	return fmt.Sprintf("pixel %d%s", pixel+1, in)
}

// lookAt is the pixel to mark on the drawing; nil for other questions.
func (f *field) lookAt(s *Spec) []prop.Span {
	if !s.row().onePixel {
		return nil
	}
	at := f.prop.FirstPixel(s.Run) + s.Pixel
	if s.Pixel < 0 {
		at += f.sizes[s.Run]
	}
	return []prop.Span{{First: at, Last: at}}
}
