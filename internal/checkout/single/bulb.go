package single

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/bulb"
	"example.org/ringout/internal/prop"
)

// A BulbTest finds which light each slot of a bulb drives.
type BulbTest struct {
	*bulb.Session
	planned prop.Order
}

func newBulb(p *prop.Prop) (Test, error) {
	s, err := bulb.New(p)
	if err != nil {
		return nil, err
	}
	return BulbTest{s, p.Chip.Order}, nil
}

// Kind is Bulb.
func (BulbTest) Kind() Kind { return Bulb }

// hues are the sights that have a colour's letter as their key.
var hues = map[bulb.Sight]checkout.Hue{bulb.Red: checkout.HueRed, bulb.Green: checkout.HueGreen, bulb.Blue: checkout.HueBlue, bulb.Warm: checkout.HueWhite}

// large is the questions in ever fewer words.
var large = map[bulb.Step][]string{bulb.Master: {"Which colour?", "Colour?"}, bulb.Black: {"Is it dark?", "Dark?"}, bulb.Fade: {"How does it fade?", "Fades how?"},
	bulb.Ended: {"Does it stay dark?", "Stays dark?"}, bulb.Unplugged: {"What does it do?", "What happens?"}}

// Step is the next step: what the bulb shows and the question; false when done.
func (t BulbTest) Step() (Step, bool) {
	p, more := t.Next()
	s := Step{Progress: "The bulb's slots", Large: large[p.Step], Question: p.Question,
		Show: p.Show, Level: p.Level, Ended: p.End}
	if p.Step == bulb.SlotAlone {
		s.Large = []string{fmt.Sprintf("Slot %d: which colour?", p.Slot+1), fmt.Sprintf("Slot %d: colour?", p.Slot+1), fmt.Sprintf("Slot %d?", p.Slot+1)}
	}
	digit := 0
	for i, a := range p.Answers {
		x := Answer{Key: i + 1, Text: string(a), Hue: hues[a]}
		if x.Press = strings.ToLower(string(x.Hue)); x.Press != "" {
			x.Press = x.Press[:1]
		} else {
			digit++
			x.Press = strconv.Itoa(digit)
		}
		s.Answers = append(s.Answers, x)
	}
	s.Answers = append(s.Answers, Answer{Key: 0, Press: "0", Text: notSure})
	return s, more
}

// Answer records the builder's answer. It refuses a key that was not offered.
func (t BulbTest) Answer(r Reply) error {
	p, _ := t.Next()
	s, _ := t.Step()
	if err := s.check(r.Key); err != nil {
		return err
	}
	if r.Key == 0 {
		return t.Session.Answer(bulb.NotSure)
	}
	return t.Session.Answer(p.Answers[r.Key-1])
}

// Result is the result: what each slot drives.
func (t BulbTest) Result() (Result, error) {
	b := t.Found()
	_, more := t.Next()
	r := Result{Title: "The bulb is not as planned", Short: "Not as planned", Good: b.Good, Whole: !more, Lines: paragraphs(b.Lines...), Built: AsBuilt{Why: nothingToFollow}}
	switch {
	case b.Good:
		r.Title, r.Short = "The bulb is as planned", "As planned"
	case b.Unseen:
		r.Title, r.Short = "Not every look has a certain answer", "Looks left out"
	}
	if b.Known && b.Order != t.planned {
		r.Built = AsBuilt{Found: prop.Found{Order: b.Order}}
	}
	return r, nil
}

// Found is the result so far, for the record.
func (t BulbTest) Found() bulb.Result { return t.Session.Result(t.planned) }
