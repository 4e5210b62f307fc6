// Package single holds the tests beside the check-out, each behind one
// interface: joints by bending, copper by a voltmeter, a bulb's slots, and the
// count of pixels by roll call.
//
// A test has steps, each with an answer, and a result. Levels are 0 to 1, pixels count
// from 0 in values and from 1 in text. Nothing here reads a clock or a socket.
//
// To add a test: 1. implement Test in a file of its own; 2. give it a row in kinds.
// The screen, the command line and the file of unfinished tests then have it.
package single

import (
	"fmt"
	"slices"
	"strconv"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A Test is a test under way. It belongs to one caller and changes in place.
type Test interface {
	Kind() Kind
	Step() (Step, bool)      // what to show and ask now; false when done
	Answer(Reply) error      // an error says why the answer is not used, and what to do
	Undo() bool              // removes the last answer; false when there is none
	Result() (Result, error) // may take some seconds
}

// A Kind is a kind of test, by the word that the command line and files use.
type Kind string

// The kinds.
const (
	Flex  Kind = "flex"
	Load  Kind = "load"
	Bulb  Kind = "bulb"
	Count Kind = "count"
)

// A Step is one thing to show and to ask about.
type Step struct {
	Progress string   // "Flex test, joint 2 of 4"
	Large    []string // short forms of the question in ever fewer words, to be drawn large
	Question string
	Brief    string // the question in few words, for a small screen; empty for none
	Hint     string
	Answers  []Answer // "not sure" and its like last, on key 0
	Typed    Line     // what may be typed instead of an answer
	Other    string   // another way to do this test from its first step; empty for none
	Show     patterns.FrameFunc
	Level    float64
	Ended    bool        // the stream is ended while this is asked
	Marks    []prop.Span // pixels of the question
}

// An Answer is one answer that is offered.
type Answer struct {
	Key   int    // from 1; 0 for the last, "not sure"
	Press string // a colour's letter, or a digit
	Text  string
	Hue   checkout.Hue // of a colour; else empty
}

// Pressed is the key of the answer that a letter, a colour's name or a digit
// means; false for what is no answer here.
func (s Step) Pressed(text string) (key int, ok bool) {
	for _, a := range s.Answers {
		if text == a.Press || text != "" && text == string(a.Hue) {
			return a.Key, true
		}
	}
	return 0, false
}

// A Line is the kind of value of a typed line.
type Line uint8

// The lines.
const (
	NoLine    Line = iota
	VoltsLine      // a voltmeter's reading
	CountLine      // a number of pixels
)

// A Reply is an answer as given and saved: a key, a typed line, or a change to the other
// way of the test.
type Reply struct {
	Key   int     `json:"key"`
	Typed string  `json:"typed,omitempty"`
	Level float64 `json:"level,omitempty"` // in force when a reading was taken, after the limiter
	Other bool    `json:"other,omitempty"`
}

// A RestartError reports that the test has begun again, and why. Said are the replies that
// lead to its present step.
type RestartError struct {
	Why  error
	Said []Reply
}

func (e *RestartError) Error() string { return e.Why.Error() }

// Unwrap returns the reason.
func (e *RestartError) Unwrap() error { return e.Why }

// A Result is the result of a test.
type Result struct {
	Title    string // a short form
	Short    string // the title in fewer words, to be drawn large; empty where it is short itself
	Good     bool   // this test found no fault
	Whole    bool   // every step has a certain answer
	Lines    []Paragraph
	Here     []prop.Span // the likeliest place of the fault
	OrHere   []prop.Span // other possible places
	Sure     string      // how sure it is; empty where the lines say it
	Numbered []Numbered  // the places of Here that have a number in the text
	Number   int         // pixels counted by a roll call; 0 when not settled
	Fit      *power.FitResult
	Built    AsBuilt
}

// Numbered are the pixels of a place that the text has a number for, such as both sides of a
// joint.
type Numbered struct {
	Number int
	Spans  []prop.Span
}

// A Paragraph is one paragraph of a result.
type Paragraph struct {
	Number string // before the text, which has a hanging indent; may be empty
	Text   string
}

func paragraphs(text ...string) (out []Paragraph) {
	for _, t := range text {
		out = append(out, Paragraph{Text: t})
	}
	return out
}

// AsBuilt is the plan change that a result means, or why there is none.
type AsBuilt struct {
	Found prop.Found
	Why   string // why there is none; empty when Found is set
	Doubt string // what must hold before it is saved; empty for nothing
}

// kinds is every test, in the order in which they are offered.
var kinds = []struct {
	kind  Kind
	title string // its name at the beginning of a sentence
	does  string // what the builder does, for the list of tests
	fits  func(*prop.Prop) bool
	new   func(*prop.Prop) (Test, error)
}{
	{Bulb, "Check of the bulb", "find out what its slots do", isBulb, newBulb},
	{Flex, "Flex test", "bend every joint under steady light", isStrip, newFlex},
	{Load, "Load test", "measure volts as the level rises", isStrip, newLoad},
	{Count, "Roll call", "count the pixels that light", isStrip, newCount},
}

func isBulb(p *prop.Prop) bool  { return p.Pixels() == 1 }
func isStrip(p *prop.Prop) bool { return p.Pixels() != 1 }

// An Offer is a test that fits a prop.
type Offer struct {
	Kind Kind
	Text string
}

// Offers are the tests for a prop.
func Offers(p *prop.Prop) (out []Offer) {
	for _, k := range kinds {
		if k.fits(p) {
			out = append(out, Offer{k.kind, k.title + ": " + k.does})
		}
	}
	return out
}

// Title is the name of a kind of test at the beginning of a sentence.
func (k Kind) Title() string {
	for _, row := range kinds {
		if row.kind == k {
			return row.title
		}
	}
	return string(k)
}

// New begins a test.
func New(k Kind, p *prop.Prop) (Test, error) {
	for _, row := range kinds {
		if row.kind == k {
			return row.new(p)
		}
	}
	return nil, fmt.Errorf("there is no test %q", k)
}

// Restore begins a test and gives it these replies.
func Restore(k Kind, p *prop.Prop, said []Reply) (Test, error) {
	t, err := New(k, p)
	if err != nil {
		return nil, err
	}
	for i, r := range said {
		if err := t.Answer(r); err != nil {
			return nil, fmt.Errorf("answer %d of the %s test does not fit: %w", i+1, k, err)
		}
	}
	return t, nil
}

// answers gives texts the digits from 1 as keys, and last the key 0.
func answers(last string, text ...string) []Answer {
	var out []Answer
	for i, t := range text {
		out = append(out, Answer{Key: i + 1, Press: strconv.Itoa(i + 1), Text: t})
	}
	return append(out, Answer{Key: 0, Press: "0", Text: last})
}

// notSure is the answer on key 0 of most steps.
const notSure = "not sure"

// check refuses a key that was not offered.
func (s Step) check(key int) error {
	if slices.ContainsFunc(s.Answers, func(a Answer) bool { return a.Key == key }) {
		return nil
	}
	return fmt.Errorf("there is no answer %d here", key)
}
