package power

import (
	"fmt"
	"math"
	"sort"

	"example.org/ringout/internal/words"
)

// Rails is a resistance, or a current, in the plus and in the minus conductor.
type Rails struct{ Plus, Minus float64 }

// Broken is a conductor that is cut.
var Broken = math.Inf(1)

// A Tap is a pair of supply wires that enters at a pixel. Rails are the ohms from
// the supply to the rails there: 0 for no wire, Broken for a wire that is off.
type Tap struct {
	Pixel int
	Rails
}

// A Loop joins the rails of pixel Last to those of pixel First through Rails.
type Loop struct {
	First, Last int
	Rails
}

// A Network is the copper of a prop: pixels in data order, two rails between
// neighbours, and wires from one supply. The supply itself has no resistance,
// so that taps do not couple pixels and the ladder can be folded pixel by pixel.
//
// Plus and minus have figures of their own, since one rail may be cut or one
// joint bad.
type Network struct {
	Volts float64 // of the supply
	Links []Rails // ohms between pixel i and i+1; one fewer than the pixels
	Taps  []Tap
	Loops []Loop // may not overlap
}

// Pixels is the number of pixels.
func (n *Network) Pixels() int { return len(n.Links) + 1 }

// leastOhms replaces a resistance of 0: a millionth of an ohm changes no reading
// and keeps every conductance finite.
const leastOhms = 1e-6

// conductance turns ohms into siemens: 0 for a cut, a million at most.
func conductance(ohms float64) float64 {
	return 1 / math.Max(ohms, leastOhms)
}

func badOhms(r Rails) bool { return !(r.Plus >= 0 && r.Minus >= 0) }

// Check refuses an impossible network: a supply without volts, a resistance
// below zero or NaN, a pixel that does not exist, or loops that share a pixel.
func (n *Network) Check() error {
	if !(n.Volts > 0) || math.IsInf(n.Volts, 0) {
		return fmt.Errorf("the supply has %s: give its voltage, such as 5 or 12", words.Given(n.Volts, "V"))
	}
	for i, l := range n.Links {
		if badOhms(l) {
			return fmt.Errorf("the rails between pixel %d and %d have %g and %g ohms: resistance is never below zero", i+1, i+2, l.Plus, l.Minus)
		}
	}
	for i, t := range n.Taps {
		if t.Pixel < 0 || t.Pixel >= n.Pixels() {
			return fmt.Errorf("feed %d enters at pixel %d, but there are only %d pixels", i+1, t.Pixel+1, n.Pixels())
		}
		if badOhms(t.Rails) {
			return fmt.Errorf("the wires of feed %d have %g and %g ohms: resistance is never below zero", i+1, t.Plus, t.Minus)
		}
	}
	return n.checkLoops()
}

func (n *Network) checkLoops() error {
	loops := n.sortedLoops()
	end := -1
	for _, l := range loops {
		switch {
		case l.First < 0 || l.Last >= n.Pixels() || l.First > l.Last:
			return fmt.Errorf("a closed run from pixel %d to %d does not fit %d pixels", l.First+1, l.Last+1, n.Pixels())
		case l.First <= end:
			return fmt.Errorf("two closed runs share pixel %d: each pixel can lie in one only", l.First+1)
		case badOhms(l.Rails):
			return fmt.Errorf("the closing joint at pixel %d has %g and %g ohms: resistance is never below zero", l.Last+1, l.Plus, l.Minus)
		}
		end = l.Last
	}
	return nil
}

func (n *Network) sortedLoops() []Loop {
	loops := append([]Loop(nil), n.Loops...)
	sort.Slice(loops, func(i, j int) bool { return loops[i].First < loops[j].First })
	return loops
}

// clone copies the network so that taps and links can be changed.
func (n *Network) clone() *Network {
	c := *n
	c.Links = append([]Rails(nil), n.Links...)
	c.Taps = append([]Tap(nil), n.Taps...)
	c.Loops = append([]Loop(nil), n.Loops...)
	return &c
}
