package checkout

import (
	"fmt"
	"strings"
	"time"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/patterns"
)

// A BulbTest finds out what the slots of a network-driven bulb do: one slot at
// a time is lit and the builder says what they see; then black, a slow rise
// from black, and what it does when the stream ends.
type BulbTest struct {
	prop  *prop.Prop
	given []string // words of the answers so far
}

// A BulbStep is one thing to show and ask.
type BulbStep struct {
	Show     show.FrameFunc // nil when the stream is to be ended
	End      bool           // end the stream (three packets with Stream_Terminated), then ask
	Level    float64
	Question string
	Answers  []BulbAnswer
}

// A BulbAnswer is a key with its text and its word for machines.
type BulbAnswer struct {
	Key  int
	Text string
	Word string
}

// bulbLevel spares the eyes: a bare bulb is looked at from near by.
const bulbLevel = 0.3

var slotAnswers = []BulbAnswer{
	{1, "red", "red"}, {2, "green", "green"}, {3, "blue", "blue"},
	{4, "white, warm or yellowish", "warm"}, {5, "white, cool or bluish", "cool"},
	{6, "nothing", "nothing"}, {7, "a mixed colour, or it changes by itself", "other"},
}

// The steps after the slots.
var bulbTail = []struct {
	question string
	answers  []BulbAnswer
}{
	{"Every slot is sent 0. Is the bulb fully dark?",
		[]BulbAnswer{{1, "fully dark", "dark"}, {2, "it glows faintly", "glows"}, {3, "it is lit", "lit"}}},
	{"It rises slowly from black. How does it come up?",
		[]BulbAnswer{{1, "smoothly from the start", "smooth"}, {2, "in steps one can see", "steps"}, {3, "dark for long, then with a jump", "jump"}, {4, "not at all", "nothing"}}},
	{"The stream has ended. What does the bulb do within some seconds?",
		[]BulbAnswer{{1, "it goes dark", "dark"}, {2, "it holds the last colour", "holds"}, {3, "it shows a colour or program of its own", "own"}}},
}

// NewBulbTest begins a test of one pixel of 3 to 5 slots.
func NewBulbTest(p *prop.Prop) (*BulbTest, error) {
	if p == nil || p.Pixels() != 1 {
		return nil, fmt.Errorf("a bulb test is for a prop of one pixel")
	}
	if _, err := prop.ParseOrder(string(p.Chip.Order)); err != nil {
		return nil, err
	}
	return &BulbTest{prop: p}, nil
}

func (b *BulbTest) slots() int { return b.prop.Chip.Order.Slots() }

// At is the number of answers given so far, Steps how many there are in all.
func (b *BulbTest) At() int    { return len(b.given) }
func (b *BulbTest) Steps() int { return b.slots() + len(bulbTail) }

// Next is the step to show now; false when all are answered.
func (b *BulbTest) Next() (BulbStep, bool) {
	at := len(b.given)
	if at < b.slots() {
		c := HueDark.Colour().With(b.prop.Chip.Order.Channels()[at], 255)
		return BulbStep{Show: still(c), Level: bulbLevel, Answers: slotAnswers,
			Question: fmt.Sprintf("Only slot %d of %d is sent. Which light do you see?", at+1, b.slots())}, true
	}
	at -= b.slots()
	if at >= len(bulbTail) {
		return BulbStep{}, false
	}
	st := BulbStep{Level: bulbLevel, Question: bulbTail[at].question, Answers: bulbTail[at].answers}
	switch at {
	case 0:
		st.Show = still(patterns.Colour{})
	case 1:
		st.Show = rise
	default:
		st.End = true
	}
	return st, true
}

// still is one colour.
func still(c patterns.Colour) show.FrameFunc {
	return func(dst patterns.Frame, pixels int, _ time.Duration) patterns.Frame {
		dst = dst[:0]
		for range pixels {
			dst = append(dst, c)
		}
		return dst
	}
}

// riseTime is how long the slow rise takes, to a tenth of the level; then it
// falls as slowly and begins again: far from a flash.
const riseTime = 10 * time.Second

func rise(dst patterns.Frame, pixels int, t time.Duration) patterns.Frame {
	at := t % (2 * riseTime)
	if at > riseTime {
		at = 2*riseTime - at
	}
	v := uint8(255 * at / riseTime)
	return still(patterns.Colour{R: v, G: v, B: v, W: v, C: v})(dst, pixels, t)
}

// Answer takes the key of an answer; 0 is "not sure".
func (b *BulbTest) Answer(key int) error {
	st, ok := b.Next()
	if !ok {
		return fmt.Errorf("the bulb test is done: there is no question to answer")
	}
	if key == NotSure {
		b.given = append(b.given, "")
		return nil
	}
	if key < 0 || key > len(st.Answers) {
		return fmt.Errorf("there is no answer %d: give 1 to %d, or 0 for not sure", key, len(st.Answers))
	}
	b.given = append(b.given, st.Answers[key-1].Word)
	return nil
}

// Undo takes the last answer back; false when there is none.
func (b *BulbTest) Undo() bool {
	if len(b.given) == 0 {
		return false
	}
	b.given = b.given[:len(b.given)-1]
	return true
}

var bulbLetters = map[string]string{"red": "R", "green": "G", "blue": "B", "warm": "W", "cool": "C"}

// Order is the slot order that was seen; false while a slot is open, double or
// shows no colour of its own. With one white only, cool counts as white.
func (b *BulbTest) Order() (prop.Order, bool) {
	if len(b.given) < b.slots() {
		return "", false
	}
	letters := ""
	for _, w := range b.given[:b.slots()] {
		letters += bulbLetters[w]
	}
	if !strings.Contains(letters, "W") {
		letters = strings.Replace(letters, "C", "W", 1)
	}
	o, err := prop.ParseOrder(letters)
	return o, err == nil && o.Slots() == b.slots()
}

// Findings says what came out so far.
func (b *BulbTest) Findings() []Finding {
	var out []Finding
	bad := func(title, remedy string) {
		out = append(out, Finding{Title: title, Sure: Likely, Share: 1, Causes: []Cause{{Text: title, Remedy: remedy}}})
	}
	slots := b.given[:min(len(b.given), b.slots())]
	b.slotFindings(slots, bad)
	for i, w := range b.given[len(slots):] {
		switch {
		case i == 0 && (w == "glows" || w == "lit"):
			bad("The bulb is not dark at 0.", "Look for a lowest level or a preset in its settings, and for a second source on the universe.")
		case i == 1 && (w == "steps" || w == "jump"):
			bad("Low levels are not smooth.", "Set a linear or 16-bit dimming curve if it has one; avoid slow fades below a tenth.")
		case i == 1 && w == "nothing":
			bad("It does not rise from black.", "Check its master level and its mode.")
		case i == 2 && w == "holds":
			bad("It holds its last colour when the stream ends.", "End every show with black, or set its behaviour on loss of data to dark.")
		case i == 2 && w == "own":
			bad("It shows something of its own when the stream ends.", "Set its behaviour on loss of data to dark.")
		}
	}
	if o, ok := b.Order(); ok && len(b.given) == b.Steps() && len(out) == 0 {
		out = append(out, Finding{Good: true, Sure: Likely, Share: 1, Title: fmt.Sprintf("The bulb takes its slots as %s, is dark at 0 and rises smoothly.", o)})
	}
	return out
}

// slotFindings judges the answers about single slots.
func (b *BulbTest) slotFindings(slots []string, bad func(title, remedy string)) {
	dark, seen := 0, map[string]int{}
	for i, w := range slots {
		switch {
		case w == "nothing":
			dark++
		case w == "other":
			bad(fmt.Sprintf("Slot %d does not drive one light alone.", i+1), "The bulb is in another mode: look for one with a slot for each light.")
		case w != "" && seen[w] > 0:
			bad(fmt.Sprintf("Slots %d and %d show the same light.", seen[w], i+1), "Count its slots again, or look for a mode with a slot for each light.")
		}
		if seen[w] == 0 {
			seen[w] = i + 1
		}
	}
	switch {
	case len(slots) < b.slots():
	case dark == len(slots):
		bad("No slot alone lights the bulb.", "Check its address and universe; if it has a master level slot, it needs that one too: look for a mode without it.")
	case dark > 0:
		bad(fmt.Sprintf("%d of %d slots light nothing.", dark, len(slots)), "The bulb has fewer lights than slots, a master level among them, or a dead light.")
	default:
		if o, ok := b.Order(); ok && o != b.prop.Chip.Order {
			bad(fmt.Sprintf("The bulb takes its slots as %s, not %s.", o, b.prop.Chip.Order), fmt.Sprintf("Write the order %s into the prop file.", o))
		}
	}
}
