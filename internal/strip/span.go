package strip

import "example.org/ringout/patterns"

// none is the index of a byte of chipBytes that is always 0, for channels without
// a byte.
const none = 7

// chipBytes are the bytes of one chip, in wire order, and none.
type chipBytes [none + 1]byte

// A span is a row of neighbouring chips along the wire that are all dark, or all
// fed from neighbouring slots in the same way. A strip has few spans however many
// pixels it has, so a strip with another fault is made quickly.
type span struct {
	run int32
	// The place in the run of the first light, and which way the data runs
	// through the places: +1 or -1.
	place, step int32
	// Lights of the span, and of one chip: 1 but where an address drives several.
	lights, group int32
	dark          bool
	// The plan's pixel whose colour the first chip shows unchanged, or -1.
	pixel int32

	// Where the first chip reads: index of the patch's universe, outside which no
	// data arrives, and slot, 0 to 511.
	universe, slot int32
	// Bytes a chip takes off the stream: 3 to 5.
	slots int32
	// Channels that are fully lit whatever is sent, bit k for patterns.Channel k.
	stuck uint8
	// Which byte of a chip drives the channel, or none.
	at [patterns.NumChannels]uint8
	// One chip fed from two places: flat slot of each byte, -1 for no byte.
	splitBytes *[patterns.NumChannels]int32
}

// chips is the number of chips of the span; the last may have fewer lights, as
// strip is cut anywhere.
func (s *span) chips() int { return int((s.lights + s.group - 1) / s.group) }

// put lights the i-th chip of the span, all of its lights.
func (s *span) put(row []patterns.Colour, i int, c patterns.Colour) {
	if s.group == 1 {
		row[s.placeOf(i)] = c
		return
	}
	from := i * int(s.group)
	for k := range s.lightsOf(i, i+1) {
		row[s.placeOf(from+k)] = c
	}
}

// placeOf is the place of the k-th light of the span along the wire.
func (s *span) placeOf(k int) int { return int(s.place) + k*int(s.step) }

// back reports whether the data runs through the places from the last on.
func (s *span) back() bool { return s.step < 0 }

// asPlanned reports whether the chips show colours of the frame unchanged.
func (s *span) asPlanned() bool { return s.pixel >= 0 }

// universeSlots are the slots of the universe that the span reads; nil when no
// data arrives there.
func (s *span) universeSlots(slots [][]byte) []byte {
	if s.universe < 0 || int(s.universe) >= len(slots) {
		return nil
	}
	return slots[s.universe]
}

// low is the smallest place the span covers.
func (s *span) low() int {
	if s.back() {
		return int(s.place - s.lights + 1)
	}
	return int(s.place)
}

// blacken makes the whole span dark.
func (s *span) blacken(row []patterns.Colour) {
	clear(row[s.low() : s.low()+int(s.lights)])
}

// forced is a colour with the channels that are always lit.
func (s *span) forced(c patterns.Colour) patterns.Colour {
	for ch := patterns.Channel(0); ch < patterns.NumChannels; ch++ {
		if s.stuck>>ch&1 != 0 {
			c = c.With(ch, 255)
		}
	}
	return c
}

// force lights the stuck channels.
func (s *span) force(row []patterns.Colour) {
	for i := s.low(); i < s.low()+int(s.lights); i++ {
		row[i] = s.forced(row[i])
	}
}

// fromSlots lights the span from the slots of all universes.
func (s *span) fromSlots(row []patterns.Colour, slots [][]byte) {
	s.sentSlots(row, slots)
	if s.stuck != 0 {
		s.force(row)
	}
}

// sentSlots lights the span from the slots, without stuck channels.
func (s *span) sentSlots(row []patterns.Colour, slots [][]byte) {
	if s.splitBytes != nil {
		s.put(row, 0, s.splitColour(slots))
		return
	}
	buf := s.universeSlots(slots)
	n, m := s.chips(), int(s.slots)
	full := min(n, max(0, len(buf)-int(s.slot))/m)
	switch {
	case full == 0:
	case s.group == 1 && m == 3:
		s.threeSlots(row, buf[s.slot:], full)
	case s.group == 1 && m == 4:
		s.fourSlots(row, buf[s.slot:], full)
	default:
		s.anySlots(row, buf[s.slot:], full)
	}
	for i := full; i < n; i++ {
		s.put(row, i, s.short(buf, int(s.slot)+i*m))
	}
}

// threeSlots lights n chips of three slots, one light each: anySlots for the usual
// strip, written for speed.
func (s *span) threeSlots(row []patterns.Colour, b []byte, n int) {
	var px chipBytes
	r, g, bl, at, step := s.at[0]&7, s.at[1]&7, s.at[2]&7, int(s.place), int(s.step)
	for i := 0; i < n && len(b) >= 3; i++ {
		px[0], px[1], px[2] = b[0], b[1], b[2]
		b = b[3:]
		row[at] = patterns.Colour{R: px[r], G: px[g], B: px[bl]}
		at += step
	}
}

// fourSlots is threeSlots for chips of four slots.
func (s *span) fourSlots(row []patterns.Colour, b []byte, n int) {
	var px chipBytes
	r, g, bl, w, c := s.at[0]&7, s.at[1]&7, s.at[2]&7, s.at[3]&7, s.at[4]&7
	at, step := int(s.place), int(s.step)
	for i := 0; i < n && len(b) >= 4; i++ {
		px[0], px[1], px[2], px[3] = b[0], b[1], b[2], b[3]
		b = b[4:]
		row[at] = patterns.Colour{R: px[r], G: px[g], B: px[bl], W: px[w], C: px[c]}
		at += step
	}
}

// anySlots lights n chips of any kind.
func (s *span) anySlots(row []patterns.Colour, b []byte, n int) {
	var px chipBytes
	m := int(s.slots)
	for i := range n {
		copy(px[:none], b[i*m:i*m+m])
		s.put(row, i, s.colour(&px))
	}
}

// colour sorts a chip's bytes into its channels.
func (s *span) colour(px *chipBytes) patterns.Colour {
	return patterns.Colour{R: px[s.at[0]&7], G: px[s.at[1]&7], B: px[s.at[2]&7], W: px[s.at[3]&7], C: px[s.at[4]&7]}
}

// short is the light of a chip for which the slots end early: missing slots are
// 0. A source may send fewer than 512 slots (E1.31 7.6).
func (s *span) short(buf []byte, at int) patterns.Colour {
	var px chipBytes
	for k := range int(s.slots) {
		if at+k < len(buf) {
			px[k] = buf[at+k]
		}
	}
	return s.colour(&px)
}

// splitColour is the light of a chip whose bytes lie in two stretches.
func (s *span) splitColour(slots [][]byte) patterns.Colour {
	var px chipBytes
	for k, flat := range s.splitBytes {
		if flat >= 0 {
			u, at := int(flat)/512, int(flat)%512
			if u < len(slots) && at < len(slots[u]) {
				px[k] = slots[u][at]
			}
		}
	}
	return s.colour(&px)
}

// fromFrame lights the span from colours in data order, which it shows
// unchanged. The frame has no channels the chip lacks.
func (s *span) fromFrame(row []patterns.Colour, f patterns.Frame) {
	src := f[s.pixel : int(s.pixel)+s.chips()]
	if s.group == 1 && !s.back() {
		copy(row[s.place:], src)
		return
	}
	for i, c := range src {
		s.put(row, i, c)
	}
}
