package strip

import "example.org/ringout/internal/prop"

// A stretch is a part of the controller's byte stream whose bytes come from
// neighbouring slots of one universe.
type stretch struct {
	at  int // first byte of the stream, from 0
	len int // bytes, 512 at the most
	// First slot, counted from slot 0 of the plan's first universe, 512 a
	// universe; below 0 for a universe before it.
	flat int
}

// stream is the byte stream that a controller sends down the wire: the n slots of
// each pixel in turn, from slot first of its first universe on, which lies
// universe universes above the plan's. A universe has 512 slots (E1.31 7.6): 170
// pixels of three and two slots of the next, or 128 of four.
func stream(pixels, n, universe, first int, packing prop.Packing) []stretch {
	size := prop.SlotsPerUniverse
	if packing != prop.Straddle {
		return wholeStream(pixels, n, universe, first)
	}
	var out []stretch
	for at, flat := 0, universe*size+first; at < pixels*n; {
		take := min(pixels*n-at, size-mod(flat, size))
		out = append(out, stretch{at, take, flat})
		at, flat = at+take, flat+take
	}
	return out
}

// wholeStream is a stream of pixels that never straddle two universes: 510 slots
// are used with three a pixel, and slots 510 and 511 drive nothing.
func wholeStream(pixels, n, universe, first int) []stretch {
	size := prop.SlotsPerUniverse
	var out []stretch
	for done := 0; done < pixels; universe, first = universe+1, 0 {
		take := min(pixels-done, (size-first)/n)
		if take > 0 {
			out = append(out, stretch{done * n, take * n, universe*size + first})
		}
		done += take
	}
	return out
}

// swapUniverses exchanges two universes, counted from the plan's first one.
func swapUniverses(all []stretch, a, b int) {
	for i := range all {
		at := mod(all[i].flat, prop.SlotsPerUniverse)
		switch u := (all[i].flat - at) / prop.SlotsPerUniverse; u {
		case a:
			all[i].flat = b*prop.SlotsPerUniverse + at
		case b:
			all[i].flat = a*prop.SlotsPerUniverse + at
		}
	}
}

// mod is the remainder from 0 to b-1, also for negative a.
func mod(a, b int) int { return (a%b + b) % b }
