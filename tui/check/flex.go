package check

import (
	"fmt"
	"strings"

	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/tui/style"
)

// flexDrill bends every joint.
type flexDrill struct{ f *joints.Flex }

func (d flexDrill) query(m Model) (query, bool) {
	b, more := d.f.Next()
	q := query{progress: fmt.Sprintf("Flex test, joint %d", b.ID), large: "Bend it: steady?", question: style.Clean(b.Question)}
	if m.demo {
		q.hint = "the simulated joints bend by themselves: a loose one comes and goes, and all behind it"
	}
	for i, x := range joints.Bendings {
		q.items = append(q.items, item{digit: i + 1, text: string(x)})
	}
	q.items = append(q.items, item{digit: 0, text: string(joints.NotSure), quiet: true})
	return q, more
}

func (d flexDrill) frames() show.FrameFunc {
	b, _ := d.f.Next()
	return b.Show
}

func (d flexDrill) marks() []show.Span {
	b, _ := d.f.Next()
	return b.Marks
}

func (d flexDrill) level() float64 { return joints.Level }
func (d flexDrill) ended() bool    { return false }
func (d flexDrill) undo() bool     { return d.f.Undo() }

func (d flexDrill) answer(digit int) error {
	if digit < 1 || digit > len(joints.Bendings) {
		return d.f.Answer(joints.NotSure)
	}
	return d.f.Answer(joints.Bendings[digit-1])
}

func (d flexDrill) result() (drillResult, error) {
	r := drillResult{title: "All joints are steady", entry: record.FromFlex(d.f)}
	for _, l := range d.f.Findings() {
		r.title = "Loose joints"
		r.here = append(r.here, bothSides(l.Joint)...)
		r.lines = append(r.lines, told{text: l.Text})
		for i, x := range l.Remedy {
			r.lines = append(r.lines, told{fmt.Sprintf("%d. ", i+1), x})
		}
	}
	if open := d.f.Open(); len(open) > 0 {
		if r.title == "All joints are steady" {
			r.title = "Steady, as far as bent"
		}
		r.lines = append(r.lines, tell("Not tested: "+strings.Join(open, ", ")+".")...)
	}
	r.bent = r.entry.Verdict != record.Stopped && len(d.f.Open()) == 0
	if r.entry.Verdict == record.Pass {
		r.lines = tell("Every joint was bent, and the light stayed steady at each.")
	}
	return r, nil
}

// bothSides are the pixels before and behind a joint.
func bothSides(j prop.Joint) []show.Span {
	out := []show.Span{{First: j.FirstPixel, Last: j.FirstPixel}}
	if j.LastPixel >= 0 {
		out = append(out, show.Span{First: j.LastPixel, Last: j.LastPixel})
	}
	return out
}
