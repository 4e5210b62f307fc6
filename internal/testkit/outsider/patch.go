package outsider

// slotsOf is how many slots a universe has (ANSI E1.31-2018 7.7).
const slotsOf = 512

// A Patch is where the pixels are in the universes.
type Patch struct {
	Slot     int  // of the first pixel, from 1
	PerPixel int  // slots of a pixel
	Straddle bool // all slots are used; else a pixel stays in one universe
}

// Lay puts octets in data order into universes.
func (p Patch) Lay(octets []byte) (universes [][]byte) {
	p.walk(len(octets), func(at, universe, slot int) {
		for len(universes) <= universe {
			universes = append(universes, make([]byte, slotsOf))
		}
		universes[universe][slot] = octets[at]
	})
	return universes
}

// walk calls do for n octets in data order with the universe, from 0, and the
// slot, from 0, of each.
func (p Patch) walk(n int, do func(at, universe, slot int)) {
	universe, slot := 0, p.Slot-1
	for at := range n {
		if slot >= slotsOf || !p.Straddle && at%p.PerPixel == 0 && slot+p.PerPixel > slotsOf {
			universe, slot = universe+1, 0
		}
		do(at, universe, slot)
		slot++
	}
}

// A Controller reads universes, perhaps by another patch than the plan's.
type Controller struct {
	Patch     Patch // of the plan
	Shift     int   // slots that it begins too far on
	Later     int   // universes that it begins too far on
	Straddles bool  // it has the other packing
	Swapped   bool  // its first two universes are exchanged
}

// read takes n octets in data order. What is never sent is 0.
func (c Controller) read(universes [][]byte, n int) []byte {
	own := c.Patch
	own.Slot += c.Shift
	own.Straddle = own.Straddle != c.Straddles
	out := make([]byte, n)
	own.walk(n, func(at, universe, slot int) {
		if c.Swapped && universe < 2 {
			universe = 1 - universe
		}
		universe += c.Later
		if universe >= 0 && universe < len(universes) && slot >= 0 {
			out[at] = universes[universe][slot]
		}
	})
	return out
}
