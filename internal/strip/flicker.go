package strip

import (
	"time"

	"example.org/ringout/patterns"
)

// A loose joint opens once in every looseEvery, at a pseudo-random moment, for
// looseOpen. With these figures there are fewer than three flashes in any second,
// as WCAG 2.3.1 requires of a screen.
const (
	looseEvery = 700 * time.Millisecond
	looseOpen  = 130 * time.Millisecond
)

// looseContact is a place where contact comes and goes.
type looseContact struct {
	span  int // index of the first span that goes dark
	pixel int // of the plan; seed of its moments
}

// Flickers reports whether the light changes while the slots do not.
func (s *Strip) Flickers() bool { return len(s.loose) > 0 || s.sparks }

// LightOpen is LightInto in the moments when every loose contact is open and random
// flashes show.
func (s *Strip) LightOpen(dst Light, slots [][]byte) Light {
	return s.addSparks(s.fromSlots(dst, slots, s.firstLoose()), 0)
}

// ShineOpen is ShineInto in the moments when every loose contact is open and
// random flashes show.
func (s *Strip) ShineOpen(dst Light, d *SlotFrame) Light {
	return s.addSparks(s.fromSent(dst, d, s.firstLoose()), 0)
}

// Sparks reports whether pixels flash in random colours.
func (s *Strip) Sparks() bool { return s.sparks }

// Random flashes show once in every sparkEvery, for sparkFor: fewer than three in
// any second, as WCAG 2.3.1 requires of a screen.
const (
	sparkEvery = 500 * time.Millisecond
	sparkFor   = 250 * time.Millisecond
)

// addSparks gives the first pixel and a quarter of the others a random colour if
// the strip has the fault Sparkle; turn counts the flashes. Bit errors show as
// random flashes at every level (common practice); the quarter is a choice.
func (s *Strip) addSparks(l Light, turn uint64) Light {
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

// sparkColours are the colours of pixels with bit errors: one or two channels at
// full, since an error in a high bit shows most (a choice).
var sparkColours = [...]patterns.Colour{{R: 255}, {G: 255}, {B: 255}, {R: 255, G: 255}, {G: 255, B: 255}, {R: 255, B: 255}}

// sparkAt adds the random flashes of a moment.
func (s *Strip) sparkAt(l Light, t time.Duration) Light {
	if t < 0 || t%sparkEvery >= sparkFor {
		return l
	}
	return s.addSparks(l, uint64(t/sparkEvery))
}

// firstLoose is the first span after a loose contact.
func (s *Strip) firstLoose() int {
	first := len(s.spans)
	for _, l := range s.loose {
		first = min(first, l.span)
	}
	return first
}

// spansInContact is the number of spans before the first contact that is open at
// t.
func (s *Strip) spansInContact(t time.Duration) int {
	held := len(s.spans)
	for _, l := range s.loose {
		if l.isOpen(t) {
			held = min(held, l.span)
		}
	}
	return held
}

// isOpen reports whether the contact is open t after the start, once within each
// looseEvery; never before the start.
func (l looseContact) isOpen(t time.Duration) bool {
	if t < 0 {
		return false
	}
	turn := uint64(t / looseEvery)
	room := uint64(looseEvery - looseOpen)
	start := time.Duration(scatter(turn<<20^uint64(l.pixel)) % room)
	in := t % looseEvery
	return in >= start && in < start+looseOpen
}

// scatter mixes the bits of x, as in the splitmix64 generator (Steele, Lea and
// Flood 2014).
func scatter(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}
