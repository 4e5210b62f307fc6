package strip

import (
	"encoding/binary"
	"slices"

	"example.org/ringout/patterns"
)

// A Piece is one or more neighbouring lights of one colour.
type Piece struct {
	Colour patterns.Colour
	Lights int
}

// Pieces is a Light with equal neighbours joined: for each run of the plan its
// pieces, from the end where the plan says data enters; neighbours differ. A
// picture of a few stretches is a few pieces on almost every strip, however many
// pixels there are, so this is the quickest form for thousands of hypotheses.
type Pieces struct {
	Runs  [][]Piece
	light Light // memory for strips whose light is made pixel by pixel
}

// PiecesInto is ShineInto as pieces, in the memory of p.
func (s *Strip) PiecesInto(p *Pieces, d *SlotFrame) { s.pieces(p, d, len(s.spans)) }

// PiecesOpen is ShineOpen as pieces, in the memory of p.
func (s *Strip) PiecesOpen(p *Pieces, d *SlotFrame) {
	if s.sparks {
		p.light = s.ShineOpen(p.light, d)
		p.split(p.light)
		return
	}
	s.pieces(p, d, s.firstLoose())
}

// split makes pieces of a light.
func (p *Pieces) split(l Light) {
	p.resize(len(l))
	for r, run := range l {
		for _, c := range run {
			p.Runs[r] = join(p.Runs[r], c, 1)
		}
	}
}

// pieces lights the spans before upto; the rest is dark.
func (s *Strip) pieces(p *Pieces, d *SlotFrame, upto int) {
	if s.sag != nil || s.copper != nil {
		p.light = s.fromSent(p.light, d, upto)
		p.split(p.light)
		return
	}
	p.resize(len(s.sizes))
	for from := 0; from < len(s.spans); {
		to := s.endOfRun(from)
		s.runPieces(p, d, from, to, upto)
		from = to
	}
}

// runPieces adds the spans from..to-1, which make one run, in the order of its
// places.
func (s *Strip) runPieces(p *Pieces, d *SlotFrame, from, to, upto int) {
	row := p.Runs[s.spans[from].run]
	for k := range to - from {
		i := s.inPlace(from, to, k)
		sp := &s.spans[i]
		switch {
		case sp.dark || i >= upto:
			row = join(row, patterns.Colour{}, int(sp.lights))
		case sp.asPlanned():
			row = sp.framePieces(row, d)
		case sp.stuck != 0:
			row = sp.stuckPieces(row, d)
		default:
			row = sp.slotPieces(row, d)
		}
	}
	p.Runs[s.spans[from].run] = row
}

// endOfRun is the span after the last of the run that begins at a span.
func (s *Strip) endOfRun(from int) int {
	to := from
	for to < len(s.spans) && s.spans[to].run == s.spans[from].run {
		to++
	}
	return to
}

// inPlace is the index of the k-th of the spans from..to-1 of a run, in the order
// of its places.
func (s *Strip) inPlace(from, to, k int) int {
	if s.spans[from].back() {
		return to - 1 - k
	}
	return from + k
}

// resize empties the pieces of so many runs and keeps their memory.
func (p *Pieces) resize(runs int) {
	for len(p.Runs) < runs {
		p.Runs = append(p.Runs, nil)
	}
	p.Runs = p.Runs[:runs]
	for i := range p.Runs {
		p.Runs[i] = p.Runs[i][:0]
	}
}

// join adds lights of a colour to a row.
func join(row []Piece, c patterns.Colour, lights int) []Piece { return joinFrom(row, 0, c, lights) }

// joinFrom adds lights of a colour, but does not join them to a piece before
// index at.
func joinFrom(row []Piece, at int, c patterns.Colour, lights int) []Piece {
	if n := len(row); n > at && row[n-1].Colour == c {
		row[n-1].Lights += lights
		return row
	}
	return append(row, Piece{c, lights})
}

// lightsOf is the number of lights of the chips from..to-1 of the span.
func (s *span) lightsOf(from, to int) int {
	return min(to*int(s.group), int(s.lights)) - from*int(s.group)
}

// framePieces adds a span whose chips show the frame's colours.
func (s *span) framePieces(row []Piece, d *SlotFrame) []Piece {
	first, n := int(s.pixel), s.chips()
	if !s.back() {
		for i := 0; i < n; {
			to := min(int(d.equalTo[first+i])-first, n)
			row = join(row, d.frame[first+i], s.lightsOf(i, to))
			i = to
		}
		return row
	}
	for i := n; i > 0; {
		from := max(int(d.equalFrom[first+i-1])-first, 0)
		row = join(row, d.frame[first+i-1], s.lightsOf(from, i))
		i = from
	}
	return row
}

// stuckPieces adds a span with channels that are always lit, chip by chip.
func (s *span) stuckPieces(row []Piece, d *SlotFrame) []Piece {
	at := len(row)
	for i := range s.chips() {
		row = joinFrom(row, at, s.drives(d, s.placeOf(i*int(s.group))), s.lightsOf(i, i+1))
	}
	return joinReversed(row, at, s.back())
}

// slotPieces adds a span that reads other slots than the plan's.
func (s *span) slotPieces(row []Piece, d *SlotFrame) []Piece {
	at := len(row)
	if s.splitBytes != nil {
		row = join(row, s.splitColour(d.slots), int(s.lights))
		return row
	}
	buf := s.universeSlots(d.slots)
	if buf == nil {
		return join(row, patterns.Colour{}, int(s.lights))
	}
	n, m := s.chips(), int(s.slots)
	full := min(n, max(0, len(buf)-int(s.slot))/m)
	if m != d.chip && full > 0 {
		row = s.eachChip(row, buf[s.slot:], full)
	}
	for i := 0; i < full && m == d.chip; {
		from := int(s.slot) + i*m
		to := min(full, i+1+(int(d.repeats[s.universe][from])-from)/m)
		row = joinFrom(row, at, s.colourAt(buf[from:]), s.lightsOf(i, to))
		i = to
	}
	for i := full; i < n; i++ {
		row = joinFrom(row, at, s.short(buf, int(s.slot)+i*m), s.lightsOf(i, i+1))
	}
	return joinReversed(row, at, s.back())
}

// joinReversed joins the pieces from index at on, at least one, to those before
// them, in reverse order when turn is set.
func joinReversed(row []Piece, at int, turn bool) []Piece {
	if turn {
		slices.Reverse(row[at:])
	}
	if at > 0 && row[at-1].Colour == row[at].Colour {
		row[at-1].Lights += row[at].Lights
		row = slices.Delete(row, at, at+1)
	}
	return row
}

// eachChip adds n chips of another slot count than planned. It is written for
// speed, since few neighbours are equal: chips of four slots in a stream of three
// repeat every 12 bytes, so red sent to all is R, B, dark, G in GRB.
func (s *span) eachChip(row []Piece, buf []byte, n int) []Piece {
	m, used := int(s.slots), s.used()
	r, g, b, w, c := s.at[0]&7*8, s.at[1]&7*8, s.at[2]&7*8, s.at[3]&7*8, s.at[4]&7*8
	var before uint64
	for i := range n {
		chip := word(buf[i*m:]) & used
		if lights := s.lightsOf(i, i+1); i > 0 && chip == before {
			row[len(row)-1].Lights += lights
		} else {
			row = append(row, Piece{patterns.Colour{R: byte(chip >> r), G: byte(chip >> g), B: byte(chip >> b),
				W: byte(chip >> w), C: byte(chip >> c)}, lights})
		}
		before = chip
	}
	return row
}

// used is the mask of the bytes of a chip, read as a word, that drive a channel.
func (s *span) used() (bits uint64) {
	for _, at := range s.at {
		if int32(at) < s.slots {
			bits |= 0xff << (8 * at)
		}
	}
	return bits
}

// word is the first eight bytes as a little-endian number; missing bytes are 0.
func word(b []byte) uint64 {
	if len(b) >= 8 {
		return binary.LittleEndian.Uint64(b)
	}
	var all [8]byte
	copy(all[:], b)
	return binary.LittleEndian.Uint64(all[:])
}

// colourAt is the light of a chip whose bytes are the first of b.
func (s *span) colourAt(b []byte) patterns.Colour {
	var px chipBytes
	copy(px[:none], b[:s.slots])
	return s.colour(&px)
}

// Drives is the colour sent to the light at a place of a run, before any fall
// of the voltage; false when the run has no such place.
func (s *Strip) Drives(d *SlotFrame, run, place int) (patterns.Colour, bool) {
	for i := range s.spans {
		sp := &s.spans[i]
		if int(sp.run) != run {
			continue
		}
		if low := sp.low(); place < low || place >= low+int(sp.lights) {
			continue
		}
		return sp.drives(d, place), true
	}
	return patterns.Colour{}, false
}

// drives is the colour of the light at a place, with stuck channels.
func (s *span) drives(d *SlotFrame, place int) patterns.Colour {
	if s.stuck != 0 && !s.dark {
		return s.forced(s.sent(d, place))
	}
	return s.sent(d, place)
}

// sent is the colour sent to the light at a place.
func (s *span) sent(d *SlotFrame, place int) patterns.Colour {
	i := (place - int(s.place)) * int(s.step) / int(s.group)
	switch {
	case s.dark:
		return patterns.Colour{}
	case s.asPlanned():
		return d.frame[int(s.pixel)+i]
	case s.splitBytes != nil:
		return s.splitColour(d.slots)
	}
	return s.short(s.universeSlots(d.slots), int(s.slot)+i*int(s.slots))
}

// Places is the number of lights a run has.
func (s *Strip) Places(run int) int { return s.sizes[run] }

// PiecesOf is a light as pieces.
func PiecesOf(l Light) Pieces {
	var p Pieces
	p.split(l)
	return p
}
