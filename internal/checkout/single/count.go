package single

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

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
	read    []checkout.Hue // answered so far; empty for not sure
	found   bool           // the last pixel, with LitOrDark
	numbers []int          // the result
	none    bool           // nothing lights
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
func (t *CountTest) done() bool { return t.none || len(t.numbers) > 0 }

// ways are the palettes in words.
var ways = [3]string{"six colours", "three colours", "light and dark"}

// Step is the next look; false when done.
func (t *CountTest) Step() (Step, bool) {
	look := t.look()
	s := Step{Progress: fmt.Sprintf("Roll call, look %d of %d", look+1, t.roll.Looks()), Large: []string{"Last lit: colour?", "Last colour?", "Last lit?"},
		Question: t.roll.Question(look), Typed: CountLine, Other: "in " + ways[(t.palette+1)%3], Show: t.roll.Show(look), Level: countLevel}
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
	s.Answers = append(s.Answers, Answer{Key: 0, Press: "0", Text: notSure})
	return s, !t.done()
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
		t.numbers = []int{n}
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
	default:
		t.read = append(t.read, t.roll.Hues()[r.Key-1])
	}
	return t.settle()
}

// settle computes the number once every look is answered. After an impossible reading it
// starts again from the first look and returns a *RestartError.
func (t *CountTest) settle() error {
	if t.none || t.look() < t.roll.Looks() {
		return nil
	}
	numbers, err := t.roll.Count(t.read, nil)
	if err != nil {
		why := fmt.Errorf("%w. If the prop's colour order is wrong, take fewer colours", err)
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
	case t.none:
		t.none = false
	case len(t.numbers) > 0 && t.look() < t.roll.Looks(): // the count was typed
		t.numbers = nil
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
	all := t.prop.Pixels()
	r := Result{Title: "Count", Whole: len(t.numbers) == 1, Built: AsBuilt{Why: "The count is not settled."}}
	switch {
	case t.none:
		r.Title, r.Lines = "Nothing lights", paragraphs("Nothing lights: begin a check-out instead.")
		return r, nil
	case len(t.numbers) == 0:
		r.Lines = paragraphs("Not every look was answered.")
		return r, nil
	case len(t.numbers) > 1:
		r.Title = "Count not settled"
		r.Lines = paragraphs(fmt.Sprintf("The count is one of %s: go through the looks once more, with every colour.", listed(t.numbers)))
		return r, nil
	}
	r.Number = t.numbers[0]
	r.Title, r.Good = fmt.Sprint(r.Number), r.Number == all
	r.Lines, r.Built = paragraphs(t.words(r.Number)), t.built(r.Number)
	if r.Number < all {
		r.Here = []prop.Span{{First: r.Number - 1, Last: r.Number - 1}}
	}
	return r, nil
}

// built is the plan change that a count means for a prop of one run.
func (t *CountTest) built(n int) AsBuilt {
	switch {
	case n == t.prop.Pixels():
		return AsBuilt{Why: "The prop file says so already."}
	case len(t.prop.Runs) > 1:
		return AsBuilt{Why: "A count does not say in which run it differs: a check-out does."}
	}
	return AsBuilt{Found: prop.Found{Pixels: map[int]int{0: n}}}
}

// words is the meaning of a count on this prop.
func (t *CountTest) words(n int) string {
	all := t.prop.Pixels()
	on, _ := t.prop.Lights()
	last := all // that lights, counted from 1
	for last > 0 && !on[last-1] {
		last--
	}
	switch {
	case n >= last && n < all:
		return fmt.Sprintf("Every planned pixel lights, up to the last before those left empty, pixel %d of %d.", last, all)
	case n == all:
		return fmt.Sprintf("All %d planned pixels light. If dark ones follow, the prop has more than planned: raise the count of the last run and call again.", all)
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
