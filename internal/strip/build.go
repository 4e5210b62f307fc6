package strip

import (
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A builder adds the chips along the wire, span by span, and gives them the bytes
// of the controller's stream in turn.
type builder struct {
	*plan
	wiring
	faults []Fault
	rows   []*row // of each fault
	// The whole stream that the controller sends, the rest of it from the stretch
	// with the next byte on, and the number of bytes used.
	whole, stream []stretch
	at            int
	// The controller sends the stream of the plan.
	planned bool
	// The first chip along the wire that no data or supply reaches; the number of
	// chips when there is none.
	stop  int
	spans []span
}

// build makes the spans of a strip with faults that were checked.
func build(pl *plan, faults []Fault) *Strip {
	d := Draft{Strip: Strip{faults: faults}}
	d.build(pl)
	s := d.Strip // a copy, so that the rest of the draft is freed
	return &s
}

// A Draft is a strip whose memory is reused for the next one, for many strips
// that are not kept. Its zero value is ready to use.
type Draft struct {
	Strip
	b     builder
	edges []int // the chips before which something changes
}

// Draft makes d the strip of the same prop with these faults, as With does. The
// strip that d was before is no longer valid.
func (s *Strip) Draft(d *Draft, faults ...Fault) error {
	if err := check(s.plan, faults); err != nil {
		return err
	}
	d.faults = append(d.faults[:0], faults...)
	d.build(s.plan)
	return nil
}

func (d *Draft) build(pl *plan) {
	b := &d.b
	b.plan, b.faults, b.stream, b.whole, b.planned = pl, d.faults, pl.stream, pl.stream, true
	b.rows = b.rows[:0]
	for _, f := range d.faults {
		b.rows = append(b.rows, rowOf(f.Kind))
	}
	b.wire(pl.prop, d.faults, b.rows)
	b.at = b.hiddenChips * len(pl.channels)
	b.control()
	b.stop = b.firstDead()
	d.edges = b.cuts(d.edges[:0])
	b.spans = slices.Grow(d.spans[:0], len(d.edges)+len(b.stream))
	d.plan, d.sizes, d.loose, d.sparks, d.sag, d.copper, d.metered = pl, b.sizes, nil, false, nil, nil, false
	for i, from := range d.edges[:len(d.edges)-1] {
		for k, f := range d.faults {
			if b.rows[k].loose && b.faultChip(f) == from {
				d.loose = append(d.loose, looseContact{span: len(b.spans), pixel: f.Pixel})
			}
		}
		b.addChips(from, d.edges[i+1])
	}
	d.spans = b.spans
	d.finish()
}

// finish adds the effects on the whole strip, once the lights are known. The
// copper is made last, since Sag and Resistance both change it.
func (d *Draft) finish() {
	for k, f := range d.faults {
		r := d.b.rows[k]
		d.sparks = d.sparks || r.sparks
		if r.supply != nil {
			r.supply(&d.Strip, f)
		}
	}
	if d.metered {
		d.copper, _ = newCopper(&d.Strip) // no error: check refuses props without copper
	}
}

// A controller is the set-up of the controller.
type controller struct {
	// Added to the plan's first universe; the first slot in it, 0 to 511.
	universe, slot int
	// Whether a pixel's slots may lie in two universes: 170 whole pixels of three
	// slots fill 510 of the 512.
	packing prop.Packing
	// Universes exchanged, by number, 1 to 63999 (E1.31 6.2.7).
	swaps [][2]int
}

// control makes the stream of a controller that is set up wrongly.
func (b *builder) control() {
	c := controller{slot: b.prop.Address.Slot, packing: b.prop.Address.Packing}
	for k, f := range b.faults {
		if send := b.rows[k].send; send != nil {
			send(&c, f)
			b.planned = false
		}
	}
	if b.planned {
		return
	}
	b.stream = stream(b.pixels, len(b.channels), c.universe, c.slot, c.packing)
	for _, ab := range c.swaps {
		swapUniverses(b.stream, ab[0]-int(b.prop.Address.Universe), ab[1]-int(b.prop.Address.Universe))
	}
	b.whole = b.stream
}

// otherPacking is the packing that the plan does not have.
func otherPacking(p prop.Packing) prop.Packing {
	if p == prop.Straddle {
		return prop.Whole
	}
	return prop.Straddle
}

// faultChip is the chip along the wire that a fault names by its pixel.
func (b *builder) faultChip(f Fault) int {
	run, place := b.prop.Find(f.Pixel)
	return b.chip(run, place)
}

// firstDead is the first chip along the wire that no data or supply reaches, or
// the number of chips.
func (b *builder) firstDead() int {
	stop := b.chips
	for k, f := range b.faults {
		if at := b.rows[k].stop; at != nil {
			stop = min(stop, at(b, f))
		}
	}
	return stop
}

// deadStop is the first chip without data when a pixel passes none on. A backup
// line carries data past one dead chip, not past two, since a chip's second
// input is tied to the output of the chip two before it (common practice).
func (b *builder) deadStop(f Fault) int {
	if c := b.faultChip(f); !b.prop.Chip.BackupLine() || b.has(f.Kind, c-1) {
		return c
	}
	return b.chips
}

// cuts are the chips before which something changes, ascending, from 0 to the
// number of chips, appended to cuts.
func (b *builder) cuts(cuts []int) []int {
	for _, pc := range b.pieces {
		cuts = append(cuts, pc.first)
	}
	cuts = append(cuts, b.stop, b.chips)
	for k, f := range b.faults {
		if b.rows[k].reads&fieldPixel != 0 {
			c := b.faultChip(f)
			cuts = append(cuts, c, c+1)
		}
	}
	slices.Sort(cuts)
	return slices.Compact(cuts)
}

// A chip is a chip along the wire, or several equal ones, as faults change it.
type chip struct {
	b  *builder
	at int // along the wire, from 0
	// Run and pixel of the plan; for pixels beyond it the last planned one of the
	// run.
	run, pixel int
	// The wire order of the plan, and the one that it has.
	planned, order prop.Order
	dark           bool
	// Channels that give no light, or are always at 255: bit k is
	// patterns.Channel k.
	lost, stuck uint8
	// The pixel at which the fault begins that set its kind or order; -1 for none.
	// Of two such faults the one that begins later applies.
	chipFrom, orderFrom int
}

// is reports whether a fault that names a pixel names this chip.
func (c *chip) is(f Fault) bool { return c.b.faultChip(f) == c.at }

// chipAt is chip number at along the wire. Chips belong to the strip, so "from
// pixel k on" means the order of the plan here, not that of the data.
func (b *builder) chipAt(at, run, place int) chip {
	c := chip{b: b, at: at, run: run, pixel: b.first[run] + min(place, b.prop.Runs[run].Pixels-1),
		planned: b.plan.order, order: b.plan.order, chipFrom: -1, orderFrom: -1}
	for k, f := range b.faults { // the number of slots first: an order must fit it
		if set := b.rows[k].chips; set != nil {
			set(&c, f)
		}
	}
	for k, f := range b.faults {
		if set := b.rows[k].looks; set != nil {
			set(&c, f)
		}
	}
	return c
}

// addChips adds the chips from..to-1, which lie in one run and are equal. A dark
// chip before the stop takes its bytes off the stream too.
func (b *builder) addChips(from, to int) {
	i, exact := slices.BinarySearchFunc(b.pieces, from, func(pc piece, c int) int { return pc.first - c })
	if !exact {
		i--
	}
	pc := &b.pieces[i]
	if from == pc.first {
		b.beginRun(pc)
	}
	s := span{run: int32(pc.run), group: int32(b.group), step: 1, pixel: -1}
	if pc.back {
		s.step = -1
	}
	c := b.chipAt(from, pc.run, b.place(*pc, from))
	switch {
	case from >= b.stop:
		b.addDark(s, *pc, from, to)
	case c.dark:
		b.addDark(s, *pc, from, to)
		b.at += (to - from) * c.order.Slots()
	default:
		b.addFed(s, *pc, from, to, &c)
	}
}

// beginRun stores where in the stream a run begins. For a run that is fed
// together with an earlier one it goes back to that run's first byte.
func (b *builder) beginRun(pc *piece) {
	if like := b.like[pc.run]; like >= 0 && b.pieces[b.of[like]].first < pc.first {
		b.at, b.stream = b.pieces[b.of[like]].from, b.whole
	}
	pc.from = b.at
}

// has reports whether a chip has a fault of the kind.
func (b *builder) has(k Kind, chip int) bool {
	for _, f := range b.faults {
		if f.Kind == k && b.faultChip(f) == chip {
			return true
		}
	}
	return false
}

// addDark adds a span without light.
func (b *builder) addDark(s span, pc piece, from, to int) {
	s.dark = true
	b.add(&s, &pc, from, to)
}

// add adds a span with its place and length, and returns it.
func (b *builder) add(s *span, pc *piece, from, to int) *span {
	b.spans = append(b.spans, *s)
	next := &b.spans[len(b.spans)-1]
	next.place = int32(b.place(*pc, from))
	used := (from - pc.first) * b.group
	next.lights = int32(min((to-from)*b.group, pc.lights-used))
	return next
}

// addFed adds chips that take their bytes off the stream: order.Slots() bytes
// each, the first in the chain first (WS2812B datasheet: each keeps its 24 bits
// and passes on the rest). A span ends where its universe's slots do.
func (b *builder) addFed(s span, pc piece, from, to int, c *chip) {
	order := c.order
	s.slots, s.at, s.stuck = int32(order.Slots()), bytesOf(order), c.stuck&channelBits(order)
	for ch := range s.at {
		if c.lost>>ch&1 != 0 {
			s.at[ch] = none
		}
	}
	exact := order == b.plan.order && b.planned && c.lost == 0 && c.stuck == 0
	if exact && b.straight && len(b.sound) > 0 && b.at == from*int(s.slots) {
		b.addSound(from, to)
		b.at = to * int(s.slots)
		return
	}
	for from < to {
		st, ok := b.stretchAt()
		if !ok { // the stream is used up, but stuck channels stay lit
			s.dark, s.universe = s.stuck == 0, -1
			b.add(&s, &pc, from, to)
			return
		}
		fit := min(to-from, (st.at+st.len-b.at)/int(s.slots))
		next := b.add(&s, &pc, from, from+max(1, fit))
		if fit == 0 {
			fit, next.splitBytes = 1, b.splitChip(int(s.slots))
		} else {
			flat := st.flat + b.at - st.at
			next.slot = int32(mod(flat, prop.SlotsPerUniverse))
			next.universe = int32((flat - int(next.slot)) / prop.SlotsPerUniverse)
		}
		if exact && b.at%len(b.channels) == 0 {
			next.pixel = int32(b.at / len(b.channels))
		}
		from, b.at = from+fit, b.at+fit*int(s.slots)
	}
}

// addSound copies the spans of chips from..to-1 from the strip without fault.
func (b *builder) addSound(from, to int) {
	i, exact := slices.BinarySearch(b.starts, from)
	if !exact {
		i--
	}
	n, _ := slices.BinarySearch(b.starts, to)
	first := len(b.spans)
	b.spans = append(b.spans, b.sound[i:n]...)
	last := &b.spans[len(b.spans)-1]
	last.lights = int32(to - b.starts[n-1])
	if skip := int32(from - b.starts[i]); skip > 0 { // never within a span with splitBytes, which is one chip
		sp := &b.spans[first]
		sp.lights -= skip
		sp.place += skip
		if sp.slot += skip * sp.slots; sp.asPlanned() {
			sp.pixel += skip
		}
	}
}

// stretchAt is the stretch the next byte lies in; false when all are used up.
func (b *builder) stretchAt() (stretch, bool) {
	for len(b.stream) > 0 && b.at >= b.stream[0].at+b.stream[0].len {
		b.stream = b.stream[1:]
	}
	if len(b.stream) == 0 {
		return stretch{}, false
	}
	return b.stream[0], true
}

// splitChip are the flat slots of the n bytes of one chip that lie in more than
// one stretch, -1 for missing ones. Channels without a byte are taken as dark
// (assumed: the data sheet does not say what a chip does with half a word).
func (b *builder) splitChip(n int) *[patterns.NumChannels]int32 {
	var src [patterns.NumChannels]int32
	for k := range src {
		src[k] = -1
	}
	for k := range n {
		for _, st := range b.stream {
			if at := b.at + k; at >= st.at && at < st.at+st.len {
				src[k] = int32(max(-1, st.flat+at-st.at))
			}
		}
	}
	return &src
}
