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

func (d bulbDrill) query(m Model) (query, bool) {
	p, more := d.s.Next()
	q := query{progress: "The bulb's slots", large: "What do you see?", question: style.Clean(p.Question)}
	if m.demo && p.Step == bulb.Unplugged {
		q.hint = "a simulated bulb has no cable to pull: say so with its last answer"
	}
	for i, a := range p.Answers {
		q.items = append(q.items, item{digit: i + 1, text: string(a)})
	}
	if !slices.Contains(p.Answers, bulb.NotSure) {
		q.items = append(q.items, item{digit: 0, text: string(bulb.NotSure), quiet: true})
	}
	return q, more
}

func (d bulbDrill) frames() show.FrameFunc {
	p, _ := d.s.Next()
	return p.Show
}

func (d bulbDrill) level() float64 {
	p, _ := d.s.Next()
	return p.Level
}

// ended: the stream ends for the question of what the bulb does then.
func (d bulbDrill) ended() bool {
	p, _ := d.s.Next()
	return p.End
}

func (d bulbDrill) marks() []show.Span { return nil }

func (d bulbDrill) undo() bool { return d.s.Undo() }

func (d bulbDrill) answer(digit int) error {
	p, more := d.s.Next()
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
	switch {
	case r.Good:
		title = "The bulb is as planned"
	case r.Unseen:
		title = "Not every slot was looked at"
	}
	_, more := d.s.Next()
	return drillResult{title: title, lines: tell(r.Lines...), entry: record.FromBulb(r), slots: !more}, nil
}
