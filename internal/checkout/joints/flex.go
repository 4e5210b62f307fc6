// Package joints tests the joints of a prop: a flex test, in which the builder
// bends one joint after another under steady light, and a load test, in which
// voltmeter readings at rising levels are compared with the prop's ladder.
//
// Units: levels 0 to 1, volts, pixels from 0 in values and from 1 in text.
// Nothing here reads a clock or a socket.
package joints

import (
	"fmt"
	"time"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A Bending is what a joint does when it is bent.
type Bending string

// The bendings.
const (
	NotSure   Bending = "not sure"
	Steady    Bending = "steady"
	FromHere  Bending = "it flickers after the joint"
	OneColour Bending = "colours change"
	AllOfIt   Bending = "all of it flickers"
)

// Bendings are the answers on keys 1 and up; NotSure is on key 0. The first joint does not
// have the last one.
var Bendings = []Bending{Steady, FromHere, OneColour, AllOfIt}

// offered are the answers of one joint. Before the first pixel "all of it" and "from here
// on" are the same.
func offered(j prop.Joint) []Bending {
	if j.LastPixel < 0 {
		return Bendings[:len(Bendings)-1]
	}
	return Bendings
}

// A Bend is one joint to be bent.
type Bend struct {
	ID       int // from 1
	Joint    prop.Joint
	Name     string // "inner ring to middle ring"
	Show     patterns.FrameFunc
	Marks    []prop.Span // the pixels on both sides of it
	Question string
	Brief    string    // the question in few words
	Answers  []Bending // on keys 1 and up
}

// A Flex is a flex test under way.
type Flex struct {
	prop   *prop.Prop
	joints []prop.Joint
	said   []Bending
}

// NewFlex begins a flex test of all joints, the controller's lead among them.
func NewFlex(p *prop.Prop) (*Flex, error) {
	if p.Pixels() < 1 {
		return nil, fmt.Errorf("%q has no pixels: give its runs a count first", p.Name)
	}
	return &Flex{prop: p, joints: prop.Joints(p)}, nil
}

// Joints is the number of joints.
func (f *Flex) Joints() int { return len(f.joints) }

// Level is the level of the light, 0 to 1: low, since the builder looks at it for long.
const Level = 0.1

// The colours of the steady light, and of the marks on both sides of a joint.
var (
	steadyLight = patterns.Colour{R: 90, G: 90, B: 90}
	beforeMark  = patterns.Colour{G: 255} // as the last sound pixel of a finding
	afterMark   = patterns.Colour{R: 255} // as its first bad one
)

// Next is the joint to bend now; false when all were.
func (f *Flex) Next() (Bend, bool) {
	if len(f.said) == len(f.joints) {
		return Bend{}, false
	}
	j := f.joints[len(f.said)]
	b := Bend{ID: len(f.said) + 1, Joint: j, Answers: offered(j), Name: j.Name(f.prop), Show: f.prop.Unlit(marked(j)), Marks: []prop.Span{{First: j.FirstPixel, Last: j.FirstPixel}}}
	where, short := fmt.Sprintf("between the green pixel %d and the red pixel %d", j.LastPixel+1, j.FirstPixel+1), "between green and red"
	if j.LastPixel < 0 {
		where, short = fmt.Sprintf("in front of the red pixel %d", j.FirstPixel+1), "before the red pixel"
	} else {
		b.Marks = append([]prop.Span{{First: j.LastPixel, Last: j.LastPixel}}, b.Marks...)
	}
	b.Question = fmt.Sprintf("Bend the joint \"%s\" and its lead a little each way: %s. What does the light do?", b.Name, where)
	b.Brief = fmt.Sprintf("Bend joint %d and its lead, %s, each way. What does the light do?", b.ID, short)
	return b, true
}

// marked is steady light with both sides of a joint marked.
func marked(j prop.Joint) patterns.FrameFunc {
	return func(dst patterns.Frame, pixels int, _ time.Duration) patterns.Frame {
		for i := range pixels {
			switch i {
			case j.LastPixel:
				dst = append(dst, beforeMark)
			case j.FirstPixel:
				dst = append(dst, afterMark)
			default:
				dst = append(dst, steadyLight)
			}
		}
		return dst
	}
}

// Answer records what the joint did. It refuses an answer that was not offered.
func (f *Flex) Answer(b Bending) error {
	now, more := f.Next()
	if !more {
		return fmt.Errorf("every joint was bent: there is no question to answer")
	}
	for _, known := range append([]Bending{NotSure}, now.Answers...) {
		if b == known {
			f.said = append(f.said, b)
			return nil
		}
	}
	return fmt.Errorf("%q is not among the answers", b)
}

// Undo removes the last answer; false when there is none.
func (f *Flex) Undo() bool {
	if len(f.said) == 0 {
		return false
	}
	f.said = f.said[:len(f.said)-1]
	return true
}

// A FlexResult is a joint that did not stay steady.
type FlexResult struct {
	ID    int // of its Bend, from 1
	Joint prop.Joint
	Name  string
	Does  Bending
}

// Findings are the joints that did not stay steady. Joints that were not bent
// or not sure are not among them; see Open.
func (f *Flex) Findings() []FlexResult {
	var out []FlexResult
	for i, b := range f.said {
		if _, loose := faults[b]; loose {
			out = append(out, FlexResult{ID: i + 1, Joint: f.joints[i], Name: f.joints[i].Name(f.prop), Does: b})
		}
	}
	return out
}

// faults are what a bending means, with %s for the joints, and what to do, in the order to
// try.
var faults = map[Bending]struct {
	text   string
	remedy []string
}{
	FromHere: {"Data or supply comes and goes at %s.",
		[]string{"Power off. Solder the pads on both sides again: minus first, then data, plus last.", "Replace the lead: a wire may be broken inside.", "Take the pressure off it: fix the lead before it reaches the pads."}},
	OneColour: {"Data is disturbed at %s, but not cut.",
		[]string{"Power off. Solder the pads again: minus first, then data.", "Keep the data lead short and away from mains."}},
	AllOfIt: {"The supply of the whole prop comes and goes when you bend %s.",
		[]string{"Power off. Look for a loose plug, screw or feed, and for bare wires that touch.", "Solder this joint again: minus first, plus last."}},
}

// Sentence says what is wrong at a place, such as "joint 2".
func (b Bending) Sentence(at string) string { return fmt.Sprintf(faults[b].text, at) }

// Quoted is the name of the joint in quotes.
func (r FlexResult) Quoted() string { return `"` + r.Name + `"` }

// Remedy is what to do about it, in the order to try.
func (b Bending) Remedy() []string { return faults[b].remedy }

// Open lists the joints without a certain answer.
func (f *Flex) Open() []string {
	var out []string
	for i, j := range f.joints {
		if i >= len(f.said) || f.said[i] == NotSure {
			out = append(out, j.Name(f.prop))
		}
	}
	return out
}
