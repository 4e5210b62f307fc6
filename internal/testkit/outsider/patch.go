package outsider

// slotsOf is the number of slots of a universe (ANSI E1.31-2018 7.7).
const slotsOf = 512

// A Patch maps pixels to slots of universes.
type Patch struct {
	Slot     int  // of the first pixel, from 1
	PerPixel int  // slots of a pixel
	Straddle bool // a pixel may span two universes; else it stays in one
}

// Lay distributes octets in data order over universes.
func (p Patch) Lay(octets []byte) (universes [][]byte) {
	p.walk(len(octets), func(at, universe, slot int) {
		for len(universes) <= universe {
			universes = append(universes, make([]byte, slotsOf))
		}
		universes[universe][slot] = octets[at]
	})
	return universes
}

// walk calls do for each of n octets in data order with its universe and slot,
// both from 0.
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

// A Controller reads universes by the planned patch with possible setting errors.
type Controller struct {
	Patch     Patch // of the plan
	Shift     int   // slots by which its start is too high
	Later     int   // universes by which its start is too high
	Straddles bool  // it uses the other packing
	Swapped   bool  // its first two universes are exchanged
}

// read returns n octets in data order; slots not sent are 0.
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
