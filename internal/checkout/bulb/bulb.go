// Package bulb checks a bulb that has a host and a universe of its own and four
// or five slots: which slot drives which light, whether it goes fully dark and
// fades smoothly, and what it does when the stream ends.
//
// One slot at a time is lit and the builder says what is seen. Slots count
// from 0 in values and from 1 in text. Nothing here reads a clock or a socket.
package bulb

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A Sight is an answer of the builder: what is seen.
type Sight string

// The sights. Those offered depend on the question.
const (
	NotSure Sight = "not sure"
	Red     Sight = "red"
	Green   Sight = "green"
	Blue    Sight = "blue"
	Warm    Sight = "white, or warm white"
	Cool    Sight = "cool white"
	Nothing Sight = "nothing"
	Other   Sight = "several of them, or something else"

	Differs   Sight = "something else" // where every slot is 0
	FullyDark Sight = "fully dark"
	Glows     Sight = "it still glows"
	Smooth    Sight = "smoothly, from dark and back"
	Steps     Sight = "in steps that can be seen"
	Late      Sight = "it stays dark at first, then comes on"
	Jumps     Sight = "it jumps or flickers"
	StaysDark Sight = "it stays dark"
	OwnLook   Sight = "it lights up by itself"
	Holds     Sight = "it holds the last light"
	GoesDark  Sight = "it goes dark after a while"
	Skipped   Sight = "not tried"
)

// A Step is one part of the check.
type Step string

// The steps, in this order.
const (
	SlotAlone Step = "slot"   // one slot is lit
	Master    Step = "master" // a slot that lights nothing alone, together with one that does
	Black     Step = "black"
	Fade      Step = "fade"
	Ended     Step = "ended"     // black was sent and the stream was ended
	Unplugged Step = "unplugged" // the builder takes the network away while it is lit
)

// A Probe is what the bulb shows together with the question about it.
type Probe struct {
	Step     Step
	Slot     int // of SlotAlone and Master
	Show     patterns.FrameFunc
	Level    float64
	End      bool // the caller ends the stream before the question, and starts it again after
	Question string
	Answers  []Sight // on keys 1 and up; NotSure is always allowed, on key 0
}

// A Session is one bulb's check.
type Session struct {
	order []patterns.Channel // the planned channel of each slot
	said  []answer
}

type answer struct {
	step Step
	slot int
	saw  Sight
}

// New begins the check of a prop with one pixel of four or five slots.
func New(p *prop.Prop) (*Session, error) {
	n := p.Chip.Order.Slots()
	if p.Pixels() != 1 {
		return nil, fmt.Errorf("%q has %d pixels: this check is for a bulb of one pixel; use the check-out", p.Name, p.Pixels())
	}
	if n < 4 {
		return nil, fmt.Errorf("%q has %d slots: this check is for bulbs of 4 or 5; use the check-out", p.Name, n)
	}
	return &Session{order: p.Chip.Order.Channels()}, nil
}

// Next is the probe to show now; false when the check is done.
func (s *Session) Next() (Probe, bool) {
	for slot := range s.order {
		if s.needs(slot) {
			return s.slotProbe(slot), true
		}
	}
	if slot, ok := s.maybeMaster(); ok && !s.asked(Master) {
		return s.masterProbe(slot), true
	}
	for _, p := range []Probe{s.blackProbe(), s.fadeProbe(), s.endedProbe(), s.unpluggedProbe()} {
		if !s.asked(p.Step) {
			return p, true
		}
	}
	return Probe{}, false
}

// Answer records an answer to the probe that Next returned. It refuses one that was not
// offered; NotSure is always allowed.
func (s *Session) Answer(saw Sight) error {
	p, more := s.Next()
	if !more {
		return fmt.Errorf("the check is done: there is no question to answer")
	}
	if saw != NotSure && !slices.Contains(p.Answers, saw) {
		return fmt.Errorf("%q is not among the answers: give one of %s", saw, list(p.Answers))
	}
	s.said = append(s.said, answer{p.Step, p.Slot, saw})
	return nil
}

func list(sights []Sight) string {
	var out []string
	for _, x := range sights {
		out = append(out, string(x))
	}
	return strings.Join(out, ", ")
}

// Undo removes the last answer; false when there is none.
func (s *Session) Undo() bool {
	if len(s.said) == 0 {
		return false
	}
	s.said = s.said[:len(s.said)-1]
	return true
}

func (s *Session) asked(step Step) bool {
	return slices.ContainsFunc(s.said, func(a answer) bool { return a.step == step })
}

// saw is the newest answer about a slot alone, and the number of times it was asked.
func (s *Session) saw(slot int) (last Sight, times int) {
	for _, a := range s.said {
		if a.step == SlotAlone && a.slot == slot {
			last, times = a.saw, times+1
		}
	}
	return last, times
}

// needs reports whether a slot must be shown: for the first time, or once more because
// another slot had the same answer or the builder was not sure.
func (s *Session) needs(slot int) bool {
	last, times := s.saw(slot)
	if times == 0 {
		return true
	}
	if times > 1 {
		return false
	}
	if last == NotSure || last == Other {
		return true
	}
	for other := range s.order {
		seen, asked := s.saw(other)
		if asked == 0 {
			return false // show all slots once first
		}
		if other != slot && seen == last && last != Nothing {
			return true
		}
	}
	return false
}

// maybeMaster is the first slot that lights nothing alone while others do: it may be a
// master dimmer of the others. It is false when there is none.
func (s *Session) maybeMaster() (slot int, ok bool) {
	slot, lit := -1, false
	for i := range s.order {
		switch seen, _ := s.saw(i); seen {
		case Nothing:
			if slot < 0 {
				slot = i
			}
		case NotSure, Other:
		default:
			lit = true
		}
	}
	// A master dimmer also explains why every slot alone is dark.
	return slot, slot >= 0 && (lit || s.allNothing())
}

func (s *Session) allNothing() bool {
	for i := range s.order {
		if seen, _ := s.saw(i); seen != Nothing {
			return false
		}
	}
	return true
}

// level is the level of the light, 0 to 1: low, since the builder is close to the bulb.
const level = 0.2

func (s *Session) slots(on ...int) patterns.FrameFunc {
	var c patterns.Colour
	for _, i := range on {
		c = c.With(s.order[i], 255)
	}
	return func(dst patterns.Frame, pixels int, _ time.Duration) patterns.Frame {
		for range pixels {
			dst = append(dst, c)
		}
		return dst
	}
}

func (s *Session) slotProbe(slot int) Probe {
	again := ""
	if _, times := s.saw(slot); times > 0 {
		again = "Once more, to be sure. "
	}
	return Probe{Step: SlotAlone, Slot: slot, Show: s.slots(slot), Level: level,
		Question: fmt.Sprintf("%sSlot %d of %d is lit, all others are dark. What do you see?", again, slot+1, len(s.order)),
		Answers:  []Sight{Red, Green, Blue, Warm, Cool, Nothing, Other}}
}

func (s *Session) masterProbe(slot int) Probe {
	with := (slot + 1) % len(s.order)
	for i := range s.order {
		if seen, _ := s.saw(i); i != slot && seen != Nothing {
			with = i
			break
		}
	}
	return Probe{Step: Master, Slot: slot, Show: s.slots(slot, with), Level: level,
		Question: fmt.Sprintf("Slot %d shows nothing alone. Now it is lit together with slot %d. What do you see?", slot+1, with+1),
		Answers:  []Sight{Red, Green, Blue, Warm, Cool, Nothing, Other}}
}

func (s *Session) blackProbe() Probe {
	return Probe{Step: Black, Show: s.slots(), Level: level, Question: "Every slot is sent 0. What do you see?",
		Answers: []Sight{FullyDark, Glows, Differs}}
}

// fadeSeconds is the duration of one fade from dark to level and back.
const fadeSeconds = 8.0

func (s *Session) fadeProbe() Probe {
	order := s.order
	return Probe{Step: Fade, Level: 0.1, Question: "It fades from dark to a low level and back, every 8 seconds. How does it look?",
		Answers: []Sight{Smooth, Steps, Late, Jumps, Nothing},
		Show: func(dst patterns.Frame, pixels int, t time.Duration) patterns.Frame {
			share := t.Seconds() / fadeSeconds
			share -= float64(int(share))
			v := uint8(255 * (1 - math.Abs(2*share-1)))
			var c patterns.Colour
			for _, ch := range order {
				c = c.With(ch, v)
			}
			for range pixels {
				dst = append(dst, c)
			}
			return dst
		}}
}

func (s *Session) endedProbe() Probe {
	return Probe{Step: Ended, Show: s.slots(), Level: level, End: true,
		Question: "Black was sent and the stream has ended. Wait ten seconds. What does it do?",
		Answers:  []Sight{StaysDark, OwnLook, Differs, Skipped}}
}

func (s *Session) unpluggedProbe() Probe {
	return Probe{Step: Unplugged, Show: s.slots(0), Level: level,
		Question: "Slot 1 is lit. Take the network away: pull the cable, or switch the wireless off. Wait ten seconds. What does it do?",
		Answers:  []Sight{Holds, GoesDark, OwnLook, Skipped}}
}
