package check

import (
	"errors"
	"slices"

	"example.org/ringout/internal/checkout/bulb"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/tui/style"
)

// bulbDrill finds what the slots of a bulb do.
type bulbDrill struct {
	s *bulb.Session
	m Model // for the planned order
}

// step is the question to ask. A bench that is sending does not end its stream
// for one, so that step counts as not tried; "ringout check FILE --bulb" asks it.
func (d bulbDrill) step() (bulb.Probe, bool) {
	p, more := d.s.Next()
	for more && p.End {
		if d.s.Answer(bulb.Skipped) != nil {
			return p, more
		}
		p, more = d.s.Next()
	}
	return p, more
}

func (d bulbDrill) query(Model) (query, bool) {
	p, more := d.step()
	q := query{progress: "The bulb's slots", large: "What do you see?", question: style.Clean(p.Question)}
	for i, a := range p.Answers {
		q.items = append(q.items, item{digit: i + 1, text: string(a)})
	}
	if !slices.Contains(p.Answers, bulb.NotSure) {
		q.items = append(q.items, item{digit: 0, text: string(bulb.NotSure), quiet: true})
	}
	return q, more
}

func (d bulbDrill) frames() show.FrameFunc {
	p, _ := d.step()
	return p.Show
}

func (d bulbDrill) level() float64 {
	p, _ := d.step()
	return p.Level
}

func (d bulbDrill) marks() []show.Span { return nil }

func (d bulbDrill) undo() bool {
	if !d.s.Undo() {
		return false
	}
	for p, more := d.s.Next(); more && p.End; p, more = d.s.Next() {
		if !d.s.Undo() {
			break
		}
	}
	return true
}

func (d bulbDrill) answer(digit int) error {
	p, more := d.step()
	switch {
	case !more:
		return errors.New("the bulb's check is done")
	case digit < 1 || digit > len(p.Answers):
		return d.s.Answer(bulb.NotSure)
	}
	return d.s.Answer(p.Answers[digit-1])
}

func (d bulbDrill) result() (drillResult, error) {
	r := d.s.Result(d.m.prop.Chip.Order)
	title := "The bulb is not as planned"
	if r.Good {
		title = "The bulb is as planned"
	}
	return drillResult{title: title, lines: r.Lines, entry: record.FromBulb(r)}, nil
}
