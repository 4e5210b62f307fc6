package checkout

import (
	"slices"
	"strconv"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A Probe is a picture together with the question asked about it.
type Probe struct {
	ID       int                // counts from 1 in the order asked
	Show     patterns.FrameFunc // what to send
	Level    float64            // 0 to 1, before the limiter
	Spec     Spec               // picture and question as plain data
	Picture  []Paint            // the light to compare with, by run, to draw beside the question
	Question string
	Hint     string      // where and how to look
	Answers  []Answer    // on keys 1 and up; key 0 is always "not sure"
	Look     []prop.Span // pixels of the plan to mark on the drawing
	Seconds  float64     // of the builder's time
	Why      string      // why it is asked
}

// An Answer is one answer that is offered.
type Answer struct {
	Key   int    // its number among the answers; NotSure is 0
	Press string // the key on the keyboard: a colour's letter or a digit
	Text  string
	Sees  Token
}

// answersOf makes answers of tokens. Colours have their letters as keys, the
// others digits from 1.
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
// means; "0" is NotSure. A colour that is not offered means "something else",
// where that is offered. ok is false when the text is not an answer here.
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

// NotSure is the key for "not sure". It changes no weight, and the question is
// not asked again in the same form.
const NotSure = 0
