package checkout

import (
	"fmt"
	"time"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/patterns"
)

// A FlexTest goes from joint to joint under steady light: the builder bends
// each one and says whether anything flickered.
type FlexTest struct {
	prop   *prop.Prop
	Joints []FlexJoint
	At     int // the joint being bent; len(Joints) when all are done
}

// A FlexJoint is one place to bend.
type FlexJoint struct {
	Name  string     `json:"name"`
	Pixel int        `json:"pixel"` // the first one behind it, from 0
	State FlexResult `json:"state"`
}

// A FlexResult is what bending a joint showed. Not bent differs from held.
type FlexResult string

// The results.
const (
	NotBent   FlexResult = "not bent"
	Held      FlexResult = "held"
	Flickered FlexResult = "flickered"
)

// NewFlexTest lists the joints of a prop: the lead from the controller, and the
// joint before every further run.
func NewFlexTest(p *prop.Prop) (*FlexTest, error) {
	if p == nil || len(p.Runs) == 0 || p.Pixels() < 1 {
		return nil, fmt.Errorf("the prop has no pixels to light: give it a run first")
	}
	f := &FlexTest{prop: p}
	for r := range p.Runs {
		name := "the lead from the controller to " + runName(p, 0)
		if r > 0 {
			name = "the joint between " + runName(p, r-1) + " and " + runName(p, r)
		}
		f.Joints = append(f.Joints, FlexJoint{Name: name, Pixel: p.FirstPixel(r), State: NotBent})
	}
	return f, nil
}

// Show is steady white with every joint marked: blue just before it, green just
// behind it, and at the joint being bent three pixels each way. It reads At
// once, so ask for it anew after Mark.
func (f *FlexTest) Show() show.FrameFunc {
	pt := newPainter(f.prop.Pixels(), HueWhite)
	for i, j := range f.Joints {
		reach := 1
		if i == f.At {
			reach = 3
		}
		pt.span(j.Pixel-reach, j.Pixel-1, HueBlue)
		pt.span(j.Pixel, j.Pixel+reach-1, HueGreen)
	}
	frame := pt.paint().frame(nil, len(pt))
	return func(dst patterns.Frame, _ int, _ time.Duration) patterns.Frame {
		return append(dst[:0], frame...)
	}
}

// Question tells what to bend.
func (f *FlexTest) Question() string {
	if f.At >= len(f.Joints) {
		return "All joints were bent."
	}
	return fmt.Sprintf("Bend %s, where blue meets green. Does anything flicker?", f.Joints[f.At].Name)
}

// Mark notes the result of the joint being bent and goes on to the next.
func (f *FlexTest) Mark(r FlexResult) error {
	if f.At >= len(f.Joints) {
		return fmt.Errorf("all %d joints were bent: go back to change one", len(f.Joints))
	}
	if r != Held && r != Flickered && r != NotBent {
		return fmt.Errorf("%q is no result: give held, flickered or not bent", r)
	}
	f.Joints[f.At].State = r
	f.At++
	return nil
}

// Back goes to the joint before; false at the first one.
func (f *FlexTest) Back() bool {
	if f.At == 0 {
		return false
	}
	f.At--
	return true
}

// Findings are the joints that flickered, or that all held.
func (f *FlexTest) Findings() []Finding {
	var out []Finding
	left := 0
	for _, j := range f.Joints {
		switch j.State {
		case NotBent:
			left++
		case Flickered:
			out = append(out, Finding{Title: "The light comes and goes when " + j.Name + " is bent.", Sure: Certain, Share: 1,
				Pixels: []show.Span{{First: j.Pixel, Last: j.Pixel}},
				Causes: []Cause{{Text: "Loose contact at " + j.Name + ".", Where: j.Name,
					Remedy: "Power off, re-solder it and hold it still with glue or shrink tube; then bend it again."}}})
		}
	}
	if len(out) == 0 && left == 0 {
		out = append(out, Finding{Good: true, Title: fmt.Sprintf("All %d joints held when bent.", len(f.Joints)), Sure: Certain, Share: 1})
	}
	return out
}
