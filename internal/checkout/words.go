package checkout

import (
	"fmt"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
)

// probe puts a choice into words.
func (f *field) probe(id int, c *choice) Probe {
	s := *c.spec
	p := Probe{ID: id, Show: s.Paint.show(), Level: s.Level, Spec: s, Picture: s.Paint.cut(f.sizes),
		Seconds: s.seconds(), Question: f.question(&s), Hint: f.hint(&s), Look: f.lookAt(&s)}
	p.Answers = f.answersOf(&s, c.answers)
	p.Why = fmt.Sprintf("settles about %.1f of the yes-or-no questions still open", c.bits)
	if s.family != "" {
		p.Why = fmt.Sprintf("narrows down where (%s); %s", s.family, p.Why)
	}
	return p
}

// question asks for one thing that can be seen at a glance.
func (f *field) question(s *Spec) string {
	switch s.Kind {
	case AskEven:
		if f.dark != nil {
			return fmt.Sprintf("Every pixel is sent %s, but for empty parts. What do you see?", s.Base)
		}
		return fmt.Sprintf("Every pixel is sent %s. What do you see?", s.Base)
	case AskLastLit:
		return "Follow the data from its start. Which colour is the last pixel that is lit?"
	case AskBefore:
		return "Follow the data from its start to the first place that is not as in the picture. Which colour is just before it?"
	case AskOdd:
		return "Follow the data from its start to the first place that is not as in the picture. Which colour do you see there?"
	case AskMark:
		return fmt.Sprintf("Single marks on %s. Follow the data from its start to the first place that is not as in the picture. Which mark did you pass last?", s.Base)
	case AskPlace:
		return fmt.Sprintf("Which colour is %s?", f.spotText(s.Run, s.Pixel))
	case AskRuns:
		return "Compare with the picture. Which is the first run that looks different?"
	case AskSequence:
		return "Follow the data from its start. Which colours do you meet, in which order?"
	case AskSteady:
		return "Bend every joint and lead a little and watch. Does any of the light come and go?"
	case AskStaysLit:
		return "Bend it until a part goes dark. Which colour is the last pixel that stays lit?"
	case AskFade:
		return "Compare the first pixel with the very last one. Is the last one dimmer, yellower or redder?"
	}
	return noWords
}

// noWords stands in for a kind that has no words yet.
const noWords = "What do you see?"

// hint says where to look and what to mind.
func (f *field) hint(s *Spec) string {
	switch s.Kind {
	case AskPlace:
		if s.Pixel < 0 {
			return f.runText(s.Run) + ": the far end is the one the data should leave by"
		}
		return f.runText(s.Run) + ": counted from the end where data should enter"
	case AskSteady:
		return "watch for some seconds; a short dark moment counts"
	case AskRuns:
		return "in every run the first pixel is green and the last one white; the halves between them differ"
	case AskEven:
		return "brightness does not matter, colour and gaps do"
	case AskFade:
		return "do not stare into the light: look from the side or at a wall"
	case AskBefore, AskOdd, AskMark, AskLastLit, AskStaysLit, AskSequence:
		return "the data starts at " + f.runText(0) + " and follows the arrows"
	}
	return ""
}

// answerText is an answer as a person says it.
func (f *field) answerText(s *Spec, t Token) string {
	switch {
	case t < 8:
		return t.String()
	case t >= seesSequence:
		return sequenceText(t)
	case t >= seesRun:
		return f.runText(int(t - seesRun))
	}
	switch t {
	case SeesAll:
		return fmt.Sprintf("all lit, all %s", s.Base)
	case SeesOther:
		return "all lit, all in one other colour"
	case SeesTail:
		return "lit up to some place, dark from there to the far end"
	case SeesFew:
		return "all alike but for one to three pixels"
	case SeesNone:
		return "nothing is lit"
	case SeesMixed:
		return "something else: several colours, gaps, or it comes and goes"
	case SeesAsDrawn:
		return "all just as in the picture"
	case SeesFirst:
		if s.Kind == AskMark {
			return "none: it comes before the first mark"
		}
		return "none: it is the very first pixel"
	case SeesMissing:
		return "nothing: the picture ends early"
	case SeesSteady:
		return "no, it is steady"
	case SeesComes:
		return "yes, a part of it"
	case SeesComesAll:
		return "yes, all of it"
	case SeesAlike:
		return "no, both look alike"
	case SeesFades:
		return "yes, the far end is dimmer or redder"
	}
	return "something else"
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

// runText names a run.
func (f *field) runText(r int) string { return runName(f.prop, r) }

func runName(p *prop.Prop, r int) string {
	if r < 0 || r >= len(p.Runs) {
		return "the prop"
	}
	if n := p.Runs[r].Name; n != "" {
		return n
	}
	return fmt.Sprintf("run %d", r+1)
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

// lookAt marks where to look on the drawing.
func (f *field) lookAt(s *Spec) []show.Span {
	if s.Kind != AskPlace {
		return nil
	}
	at := f.prop.FirstPixel(s.Run) + s.Pixel
	if s.Pixel < 0 {
		at += f.sizes[s.Run]
	}
	return []show.Span{{First: at, Last: at}}
}
