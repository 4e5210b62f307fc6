package eyes

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// A Verdict is how a place compares with the plan.
type Verdict string

// The verdicts.
const (
	Right    Verdict = "right"       // the planned slot and order
	Other    Verdict = "other"       // another slot or another order
	Lost     Verdict = "colour lost" // as planned, but a colour is dark
	NoLight  Verdict = "dark"
	Always   Verdict = "stuck" // lit in the black look
	Unknown  Verdict = "unread"
	Nothing  Verdict = "empty"    // planned to light nothing, and dark
	Unsteady Verdict = "unsteady" // as planned, but the light flickers
)

// Verdict compares a place with the plan.
func (s *Scene) Verdict(place int, p Place) Verdict {
	x := p.Reading
	switch {
	case place < len(s.Empty) && s.Empty[place] && p.State == Dark && p.Unsteady == 0:
		return Nothing
	case p.State == Dark:
		return NoLight
	case p.State == Stuck:
		return Always
	case p.State != Read:
		return Unknown
	case x.Slot != place*s.Slots || x.Chip != s.Slots || !fitsOrder(x.Order, s.Order):
		return Other
	case strings.Contains(x.Order, "."):
		return Lost
	case p.Unsteady > 0:
		return Unsteady
	}
	return Right
}

// fitsOrder reports whether an order is the planned one, apart from colours that
// are dark.
func fitsOrder(seen, planned string) bool {
	if len(seen) != len(planned) {
		return false
	}
	for i := range seen {
		if seen[i] != planned[i] && seen[i] != '.' {
			return false
		}
	}
	return true
}

// A Stretch is a row of neighbouring places of a run with the same verdict and
// continuing data.
type Stretch struct {
	Run         int // from 0
	First, Last int // places in the run, from 0, both included
	Verdict     Verdict
	Slot        int    // slot that arrives at the first place, from 0
	Step        int    // slots from one place to the next, negative when data runs the other way; 0 for a single place
	Chip        int    // slots a pixel takes
	Order       string // colours in wire order
	Strength    float64
	Unsteady    bool // the light flickers while a look is held
}

// AsBuilt joins the places into stretches, run by run.
func AsBuilt(s *Scene, places []Place) []Stretch {
	var out []Stretch
	at := 0
	for r, run := range s.Runs {
		from := len(out)
		for i := range run.Places {
			one := s.stretch(r, i, at, places[at])
			if n := len(out); n > from && out[n-1].takes(one) {
				out[n-1].grow(one)
			} else {
				out = append(out, one)
			}
			at++
		}
	}
	return out
}

func (s *Scene) stretch(run, i, place int, p Place) Stretch {
	out := Stretch{Run: run, First: i, Last: i, Verdict: s.Verdict(place, p), Unsteady: p.Unsteady > 0}
	if p.State == Read {
		out.Slot, out.Chip, out.Order, out.Strength = p.Reading.Slot, p.Reading.Chip, p.Reading.Order, slices.Max(p.Reading.Strength[:])
	}
	return out
}

// takes reports whether a place continues a stretch.
func (t Stretch) takes(one Stretch) bool {
	if t.Verdict != one.Verdict || t.Order != one.Order || t.Chip != one.Chip || t.Unsteady != one.Unsteady {
		return false
	}
	step := one.Slot - t.Slot - t.Step*(t.Last-t.First)
	switch {
	case t.Chip == 0: // no data
		return true
	case t.First == t.Last:
		return step == t.Chip || step == -t.Chip
	}
	return step == t.Step
}

func (t *Stretch) grow(one Stretch) {
	n := float64(t.Last - t.First + 1)
	if t.First == t.Last && t.Chip > 0 {
		t.Step = one.Slot - t.Slot
	}
	t.Strength = (t.Strength*n + one.Strength) / (n + 1)
	t.Last++
}

// Text is the stretch as a line, with places, pixels and slots from 1.
func (s *Scene) Text(t Stretch) string {
	head := fmt.Sprintf("%s, places %d to %d: ", s.Runs[t.Run].Name, t.First+1, t.Last+1)
	if t.First == t.Last {
		head = fmt.Sprintf("%s, place %d: ", s.Runs[t.Run].Name, t.First+1)
	}
	if t.Unsteady {
		return head + s.shows(t) + ", but its light comes and goes while it should stay as it is"
	}
	return head + s.shows(t)
}

// shows is the state of a stretch in words, with pixels and slots from 1.
func (s *Scene) shows(t Stretch) string {
	switch t.Verdict {
	case Right, Unsteady:
		return "as planned" + s.dim(t)
	case NoLight:
		return "dark"
	case Always:
		return "lit though black is sent"
	case Unknown:
		return "unread"
	case Nothing:
		return "dark, as planned"
	}
	return s.arrives(t) + s.dim(t)
}

// arrives is the data and the colours of a stretch in words.
func (s *Scene) arrives(t Stretch) string {
	if t.Verdict == Lost {
		return "as planned, but " + lostWords(t.Order, s.Order)
	}
	last := t.Slot + t.Step*(t.Last-t.First)
	out := "shows the data of " + s.dataName(t.Slot)
	if t.First != t.Last {
		out += " to " + s.dataName(last)
	}
	if t.Step < 0 {
		out += ", against the plan's direction"
	}
	if t.Chip != s.Slots {
		out += fmt.Sprintf(", %d slots a pixel where %d were planned", t.Chip, s.Slots)
	}
	if !fitsOrder(t.Order, s.Order) {
		out += fmt.Sprintf(", colour order %s where %s was planned", t.Order, s.Order)
	} else if strings.Contains(t.Order, ".") {
		out += ", " + lostWords(t.Order, s.Order)
	}
	return out
}

// dataName names a slot of the data by its pixel, and by its slot of the pixel
// when that is not the first.
func (s *Scene) dataName(slot int) string {
	if slot%s.Slots == 0 {
		return fmt.Sprintf("pixel %d", slot/s.Slots+1)
	}
	return fmt.Sprintf("pixel %d from its slot %d on", slot/s.Slots+1, slot%s.Slots+1)
}

var colourWords = map[byte]string{'R': "red", 'G': "green", 'B': "blue", 'W': "white"}

func lostWords(seen, planned string) string {
	var lost []string
	for i := range seen {
		if seen[i] == '.' && i < len(planned) {
			lost = append(lost, colourWords[planned[i]])
		}
	}
	if len(lost) == 0 {
		return "a colour does not show"
	}
	return strings.Join(lost, " and ") + " does not show"
}

// dim is the brightness of a stretch in words where it differs by 40 % or more
// from most; else empty.
func (s *Scene) dim(t Stretch) string {
	if t.Strength == 0 || math.Abs(t.Strength-1) < 0.4 {
		return ""
	}
	return fmt.Sprintf(", %.1f times as bright as most", t.Strength)
}

// Counts is the number of places with each verdict.
func (s *Scene) Counts(places []Place) map[Verdict]int {
	out := map[Verdict]int{}
	for i, p := range places {
		out[s.Verdict(i, p)]++
	}
	return out
}
