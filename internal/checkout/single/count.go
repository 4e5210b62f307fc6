package single

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// A CountTest is a roll call of all pixels, or a count that is typed.
type CountTest struct {
	prop    *prop.Prop
	palette checkout.Palette
	roll    *checkout.RollCall
	read    []checkout.Hue // answered so far, the looks for the order first; empty for not sure
	found   bool           // the last pixel, with LitOrDark
	numbers []int          // the result
	none    bool           // nothing lights
	mixed   bool           // pixels differ where all are sent one colour
	typed   bool           // the count was typed
}

func newCount(p *prop.Prop) (Test, error) {
	t := &CountTest{prop: p}
	return t, t.begin(checkout.SixColours)
}

// begin starts with the first look of a palette.
func (t *CountTest) begin(palette checkout.Palette) error {
	roll, err := checkout.NewRollCall(t.prop.Pixels(), palette, true)
	if err != nil {
		return err
	}
	*t = CountTest{prop: t.prop, palette: palette, roll: roll}
	return nil
}

// Kind is Count.
func (*CountTest) Kind() Kind { return Count }

// look is the number of the look shown, from 0.
func (t *CountTest) look() int {
	if t.found {
		return len(t.read) + 1
	}
	return len(t.read)
}

// marking reports whether the look only finds the last pixel.
func (t *CountTest) marking() bool { return t.palette == checkout.LitOrDark && !t.found }

// done reports whether no look is left.
func (t *CountTest) done() bool { return t.none || t.mixed || len(t.numbers) > 0 }

// sent are the colours of the looks for the order.
var sent = [checkout.OrderLooks]checkout.Hue{checkout.HueRed, checkout.HueGreen}

// orderLooks is the number of looks for the colour order; light and dark need none.
func (t *CountTest) orderLooks() int { return t.roll.AllLooks() - t.roll.Looks() }

// asksOrder reports whether the look shows all pixels in one colour.
func (t *CountTest) asksOrder() bool { return t.look() < t.orderLooks() }

// mixedKey is the answer that pixels differ where all are sent one colour.
const mixedKey = 7

// ways are the palettes in words.
var ways = [3]string{"six colours", "three colours", "light and dark"}

// Step is the next look; false when done.
func (t *CountTest) Step() (Step, bool) {
	look := t.look()
	s := Step{Progress: fmt.Sprintf("Roll call, look %d of %d", look+1, t.roll.AllLooks()), Large: []string{"Last lit: colour?", "Last colour?", "Last lit?"},
		Question: t.roll.Question(look), Typed: CountLine, Other: "in " + ways[(t.palette+1)%3], Show: t.roll.Show(look - t.orderLooks()), Level: countLevel}
	switch {
	case t.marking():
		s.Large = []string{"Find the last lit", "Last lit?"}
		s.Answers = []Answer{{Key: 1, Press: "1", Text: "my finger is on it"}, {Key: 2, Press: "2", Text: "nothing is lit"}}
		return s, !t.done()
	case t.palette == checkout.LitOrDark:
		s.Large = []string{"Is it lit?", "Lit?"}
		s.Answers = answers(notSure, "dark", "lit")
		return s, !t.done()
	}
	for i, h := range t.roll.Hues() {
		s.Answers = append(s.Answers, Answer{Key: i + 1, Press: string(h)[:1], Text: string(h), Hue: h})
	}
	if t.asksOrder() {
		s.Question = fmt.Sprintf("All pixels are sent %s. Which colour is the last pixel that is lit?", sent[look])
		s.Brief = "Last lit: what colour?"
		s.Show = allIn(sent[look])
		s.Answers = append(s.Answers, Answer{Key: mixedKey, Press: strconv.Itoa(mixedKey), Text: "not all are one colour"})
	}
	s.Answers = append(s.Answers, Answer{Key: 0, Press: "0", Text: notSure})
	return s, !t.done()
}

// allIn shows all pixels in one colour.
func allIn(h checkout.Hue) patterns.FrameFunc {
	return func(dst patterns.Frame, pixels int, _ time.Duration) patterns.Frame {
		dst = dst[:0]
		for range pixels {
			dst = append(dst, h.Colour())
		}
		return dst
	}
}

// countLevel is the level of the looks, 0 to 1: low, since the builder is close.
const countLevel = patterns.StartLevel

// Answer records the colour of the last lit pixel, or a typed count.
func (t *CountTest) Answer(r Reply) error {
	switch {
	case r.Other:
		return t.begin((t.palette + 1) % 3)
	case t.done():
		return fmt.Errorf("every look was answered: there is no question to answer")
	case r.Typed != "":
		n, err := strconv.Atoi(strings.TrimSpace(r.Typed))
		if err != nil || n < 1 {
			return fmt.Errorf("%q is no count: give a number of 1 or more", r.Typed)
		}
		t.numbers, t.typed = []int{n}, true
		return nil
	}
	s, _ := t.Step()
	if err := s.check(r.Key); err != nil {
		return err
	}
	switch {
	case t.marking():
		t.found, t.none = r.Key == 1, r.Key == 2
	case r.Key == 0:
		t.read = append(t.read, "")
	case r.Key == mixedKey:
		t.mixed = true
	default:
		t.read = append(t.read, t.roll.Hues()[r.Key-1])
	}
	return t.settle()
}

// order is what the prop shows for red, green and blue; nil when one of the looks for it has no
// certain answer, and with light and dark.
func (t *CountTest) order() ([]checkout.Hue, error) {
	if n := t.orderLooks(); n == 0 || len(t.read) < n || slices.Contains(t.read[:n], "") {
		return nil, nil
	}
	return t.roll.ReadOrder(t.read[0], t.read[1])
}

// settle computes the number once every look is answered. After an impossible reading it
// starts again from the first look and returns a *RestartError.
func (t *CountTest) settle() error {
	if t.none || t.mixed || t.asksOrder() {
		return nil
	}
	first, err := t.order()
	if err == nil && t.look() < t.roll.AllLooks() {
		return nil
	}
	var numbers []int
	if err == nil {
		numbers, err = t.roll.Count(t.read[t.orderLooks():], first)
	}
	if err != nil {
		why := fmt.Errorf("%w. Where colours are hard to tell apart, take fewer", err)
		if err := t.begin(t.palette); err != nil {
			return err
		}
		return &RestartError{why, slices.Repeat([]Reply{{Other: true}}, int(t.palette))}
	}
	t.numbers = numbers
	return nil
}

// Undo goes one look back.
func (t *CountTest) Undo() bool {
	switch {
	case t.none || t.mixed:
		t.none, t.mixed = false, false
	case t.typed:
		t.numbers, t.typed = nil, false
	case len(t.read) > 0:
		t.read, t.numbers = t.read[:len(t.read)-1], nil
	case t.found:
		t.found = false
	default:
		return false
	}
	return true
}

// Result is the number of pixels that light, and its meaning for the plan.
func (t *CountTest) Result() (Result, error) {
	r := Result{Title: "Count", Built: AsBuilt{Why: "The count is not settled."}}
	order, err := t.order()
	switch {
	case err != nil:
		return r, err
	case t.none:
		r.Title, r.Lines = "Nothing lights", paragraphs("Nothing lights: begin a check-out instead.")
		return r, nil
	case t.mixed:
		r.Title, r.Lines = "Colours differ", paragraphs("All pixels were sent one colour and differ, so their colours give no count. A chip with more or fewer slots than planned can do that. Begin a check-out instead.")
		return r, nil
	case len(t.numbers) == 0:
		r.Lines = paragraphs("Not every look was answered.")
		return r, nil
	case len(t.numbers) > 1:
		r.Title = "Count not settled"
		r.Lines = paragraphs(fmt.Sprintf("The count is one of %s: go through the looks once more, with every colour.", listed(t.numbers)))
		return r, nil
	case order == nil && !t.typed && t.orderLooks() > 0:
		r.Title = "Count not settled"
		r.Lines = paragraphs(fmt.Sprintf("The count is %d if the colours are in the planned order. That was not seen: go through the looks once more, or take light and dark.", t.numbers[0]))
		return r, nil
	}
	r.Number, r.Whole = t.numbers[0], true
	r.Title, r.Good = fmt.Sprint(r.Number), t.asPlanned(r.Number)
	r.Lines, r.Built = paragraphs(t.words(r.Number)), t.built(r.Number)
	if r.Number < t.prop.Pixels() && !r.Good {
		r.Here = []prop.Span{{First: r.Number - 1, Last: r.Number - 1}}
	}
	if !t.typed && order != nil && (order[0] != sent[0] || order[1] != sent[1]) {
		r.Good, r.Built = false, AsBuilt{Why: "The colours are not in the planned order: correct that first, then count again."}
		r.Lines = append(r.Lines, paragraphs(fmt.Sprintf("The colours are not in the planned order: red shows as %s, green as %s. The count allows for that. Run a check-out, which names the order, then count again.", order[0], order[1]))...)
	}
	return r, nil
}

// lastPlanned is the last pixel that is not left empty, counted from 1.
func (t *CountTest) lastPlanned() int {
	on, _ := t.prop.Lights()
	last := t.prop.Pixels()
	for last > 0 && !on[last-1] {
		last--
	}
	return last
}

// asPlanned reports whether the last planned pixel lights and none after it.
func (t *CountTest) asPlanned(n int) bool { return n >= t.lastPlanned() && n <= t.prop.Pixels() }

// built is the plan change that a count means for a prop of one run.
func (t *CountTest) built(n int) AsBuilt {
	switch {
	case t.asPlanned(n):
		return AsBuilt{Why: "The prop file says so already."}
	case len(t.prop.Runs) > 1:
		return AsBuilt{Why: "A count does not say in which run it differs: a check-out does."}
	}
	b := AsBuilt{Found: prop.Found{Pixels: map[int]int{0: n}}}
	if n < t.prop.Pixels() {
		b.Doubt = fmt.Sprintf("Save it only if the strip ends after pixel %d. If dark pixels follow, nothing reaches them: mend that instead.", n)
	}
	return b
}

// words is the meaning of a count on this prop. A roll call looks at the last lit pixel alone.
func (t *CountTest) words(n int) string {
	all, last := t.prop.Pixels(), t.lastPlanned()
	alone := " Only the last lit pixel was looked at: a check-out looks at the others."
	if t.typed {
		alone = ""
	}
	switch {
	case t.asPlanned(n) && last < all:
		return fmt.Sprintf("The last planned pixel before those left empty lights, pixel %d of %d.%s", last, all, alone)
	case n == all:
		return fmt.Sprintf("The count is %d, as planned.", all) + alone + " If dark ones follow, the prop has more than planned: raise the count of the last run and call again."
	case n > all:
		return fmt.Sprintf("That is %d more than planned: correct the count in the prop file.", n-all)
	}
	return fmt.Sprintf("The last pixel that lights is %s; %d were planned. Either the prop has fewer pixels than planned, or nothing reaches the next one%s.",
		strip.Spot(t.prop, n-1), all, strip.Before(t.prop, n))
}

// listed writes the first of some numbers.
func listed(numbers []int) string {
	const most = 12
	var out []string
	for _, n := range numbers[:min(len(numbers), most)] {
		out = append(out, strconv.Itoa(n))
	}
	text := strings.Join(out, ", ")
	if len(numbers) > most {
		text += " and others"
	}
	return text
}
