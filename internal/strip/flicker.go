package strip

import (
	"time"

	"example.org/ringout/patterns"
)

// A loose joint lets go once in every looseEvery, at a moment that looks
// accidental, for looseOut. So short a dip and so long an interval keep it
// under three flashes in any second, as WCAG 2.3.1 asks of a screen.
const (
	looseEvery = 700 * time.Millisecond
	looseOut   = 130 * time.Millisecond
)

// looseContact is a place where contact comes and goes.
type looseContact struct {
	span  int // index of the first one that goes dark with it
	pixel int // of the plan; seeds its own moments
}

// Flickers reports whether the light of the strip changes while the slots do
// not.
func (s *Strip) Flickers() bool { return len(s.loose) > 0 || s.sparks }

// LetGo is LightInto in the moments when every loose contact is open and random
// flashes show.
func (s *Strip) LetGo(dst Light, slots [][]byte) Light {
	return s.spoilt(s.fromSlots(dst, slots, s.firstLoose()), 0)
}

// ShineOpen is ShineInto in the moments when every loose contact is open and
// random flashes show.
func (s *Strip) ShineOpen(dst Light, d *SlotFrame) Light {
	return s.spoilt(s.fromSent(dst, d, s.firstLoose()), 0)
}

// Sparks reports whether pixels flash in random colours.
func (s *Strip) Sparks() bool { return s.sparks }

// Random flashes show once in every sparkEvery, for sparkFor: under three in
// any second, as WCAG 2.3.1 asks of a screen.
const (
	sparkEvery = 500 * time.Millisecond
	sparkFor   = 250 * time.Millisecond
)

// spoilt gives a quarter of the pixels a random colour, and the first one
// always, if the data is spoilt; turn counts the flashes. Spoilt data shows as
// random sparkles at every level (common practice); the quarter is a choice.
func (s *Strip) spoilt(l Light, turn uint64) Light {
	if !s.sparks {
		return l
	}
	seed := turn << 32
	for _, run := range l {
		for i := range run {
			if x := scatter(seed); x&3 == 0 || seed == turn<<32 {
				run[i] = sparkColours[x>>8%uint64(len(sparkColours))]
			}
			seed++
		}
	}
	return l
}

// sparkColours are what a pixel makes of a word with some bits wrong: one or two
// colours at full, since the bits that count most are sent first (WS2812B
// datasheet: high bit first) and show most.
var sparkColours = [...]patterns.Colour{{R: 255}, {G: 255}, {B: 255}, {R: 255, G: 255}, {G: 255, B: 255}, {R: 255, B: 255}}

// sparkAt adds the random flashes of a moment.
func (s *Strip) sparkAt(l Light, t time.Duration) Light {
	if t < 0 || t%sparkEvery >= sparkFor {
		return l
	}
	return s.spoilt(l, uint64(t/sparkEvery))
}

// firstLoose is the first span after a loose contact.
func (s *Strip) firstLoose() int {
	first := len(s.spans)
	for _, l := range s.loose {
		first = min(first, l.span)
	}
	return first
}

// heldAt is the number of spans that have contact at t.
func (s *Strip) heldAt(t time.Duration) int {
	held := len(s.spans)
	for _, l := range s.loose {
		if l.out(t) {
			held = min(held, l.span)
		}
	}
	return held
}

// out reports whether contact is lost t after the start; before it never.
// Within each looseEvery it is out once.
func (l looseContact) out(t time.Duration) bool {
	if t < 0 {
		return false
	}
	turn := uint64(t / looseEvery)
	room := uint64(looseEvery - looseOut)
	start := time.Duration(scatter(turn<<20^uint64(l.pixel)) % room)
	in := t % looseEvery
	return in >= start && in < start+looseOut
}

// scatter mixes the bits of x, as in the splitmix64 generator (Steele, Lea and
// Flood 2014).
func scatter(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}
