package checkout

import (
	"slices"
	"strconv"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A Probe is one thing shown together with the question asked about it.
type Probe struct {
	ID       int                // counts from 1 in the order asked
	Show     patterns.FrameFunc // what to send
	Level    float64            // 0 to 1, before the limiter
	Spec     Spec               // the same in plain data: what is sent, what is asked
	Picture  []Paint            // what a sound prop shows, run by run, to draw beside the question
	Question string
	Hint     string      // where and how to look
	Answers  []Answer    // on keys 1 and up; key 0 is always "not sure"
	Look     []prop.Span // pixels of the plan to mark on the drawing
	Seconds  float64     // of the builder's time
	Why      string      // what the answer is expected to settle
}

// An Answer is one thing the builder may say.
type Answer struct {
	Key   int    // its number among the answers; NotSure is 0
	Press string // what a person presses: a colour's letter, the same in every question, or a digit
	Text  string
	Sees  Token // for machines
}

// answersOf puts tokens into words and on keys. Colours go by their letters,
// the other answers by digits from 1.
func (f *field) answersOf(s *Spec, tokens []Token) []Answer {
	out := make([]Answer, len(tokens))
	digit := 0
	for i, t := range tokens {
		out[i] = Answer{Key: i + 1, Press: t.Letter(), Text: f.answerText(s, t), Sees: t}
		if out[i].Press == "" {
			digit++
			out[i].Press = strconv.Itoa(digit)
		}
	}
	return out
}

// Pressed is the key of the answer that a letter, a colour's name or a digit
// means; 0 is not sure. A colour that is not offered is something else, where
// that is. It reports false for what is no answer here.
func Pressed(answers []Answer, text string) (key int, ok bool) {
	if text == "0" {
		return NotSure, true
	}
	colour := false
	asked := slices.ContainsFunc(answers, func(a Answer) bool { return a.Sees.Colour() })
	for n := range Name(len(nameWords)) {
		if asked && (text == n.String() || text == Token(n).Letter()) {
			text, colour = Token(n).Letter(), true
		}
	}
	for _, a := range answers {
		if a.Press == text || colour && a.Sees == SeesElse {
			return a.Key, true // "something else" comes last
		}
	}
	return NotSure, false
}

// NotSure is the key for "I can't tell". It moves nothing, and the question is
// not asked again in the same form.
const NotSure = 0
