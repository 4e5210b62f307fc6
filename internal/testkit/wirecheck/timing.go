package wirecheck

import (
	"bytes"
	"time"
)

func checkSequence(c *capture, w Want) {
	for u, is := range c.universes() {
		c.counts(w, is, 111, "universe", u)
	}
	syncs := map[int][]int{}
	c.each(kindSync, func(i int, b []byte) { syncs[u16(b, 45)] = append(syncs[u16(b, 45)], i) })
	for _, a := range sorted(syncs) {
		c.counts(w, syncs[a], 44, "synchronization address", a)
	}
}

// counts checks that octet at increases by one from packet to packet, modulo 256.
func (c *capture) counts(w Want, is []int, at int, what string, number int) {
	for k := 1; k < len(is); k++ {
		last, next := c.packets[is[k-1]].Octets[at], c.packets[is[k]].Octets[at]
		step := next - last // sequence numbers wrap (6.2.5)
		if step == 1 || w.Lossy && step > 0 && step < 128 {
			continue
		}
		c.fault(is[k], "%s %d: sequence (octet %d) goes from %d to %d", what, number, at, last, next)
	}
}

// checkRate checks each gap, and the mean of each 44 gaps in a row, which delays of a
// busy machine affect less than a single gap.
func checkRate(c *capture, w Want) {
	period := time.Duration(float64(time.Second) / w.MaxRate)
	for u, is := range c.universes() {
		for k := range is {
			if k >= 1 && c.gap(is[k-1], is[k]) < period-w.Tolerance && !c.rush(w, is[k]) {
				c.fault(is[k], "universe %d: %v after the packet before, want %v", u, c.gap(is[k-1], is[k]), period)
			}
			const run = 44
			if k >= run && c.gap(is[k-run], is[k]) < run*period-w.Tolerance && !c.rush(w, is[k]) {
				c.fault(is[k], "universe %d: 44 gaps in %v, want %v", u, c.gap(is[k-run], is[k]), run*period)
			}
		}
	}
}

// rush reports whether the gap before packet to may be short because the universe
// ends.
func (c *capture) rush(w Want, to int) bool { return w.Rush && c.terminated(to) }

// The limits of 6.6.2.
const (
	keepAliveMin = 800 * time.Millisecond
	keepAliveMax = 1000 * time.Millisecond
	// repeats is the number of packets with new values before suppression. "Three
	// packets of non-changing values" may include the first or not, so the fourth
	// may come early or late.
	repeats = 3
)

// checkSuppression checks sequences of packets that differ only in the sequence
// number. START codes other than 0 are exempt (6.6.2).
func checkSuppression(c *capture, w Want) {
	for _, is := range c.universes() {
		run := 1 // packets with these values so far
		var last []byte
		before := -1
		for _, i := range is {
			b := c.packets[i].Octets
			if b[125] != 0 {
				continue
			}
			same := before >= 0 && !c.terminated(before) && equalButSequence(last, b)
			if before >= 0 && !c.terminated(before) {
				c.checkGap(w, before, i, same, run)
			}
			if run++; !same {
				run = 1
			}
			before, last = i, b
		}
	}
}

// checkGap checks the gap before packet i. run is the number of packets so far with
// the values of the one before it; same, whether packet i repeats them.
func (c *capture) checkGap(w Want, before, i int, same bool, run int) {
	gap, u := c.gap(before, i), u16(c.packets[i].Octets, 113)
	switch {
	case gap > keepAliveMax+w.Tolerance:
		c.fault(i, "universe %d: silent for %v, want at most %v", u, gap, keepAliveMax)
	case c.terminated(i) || w.Steady:
		return
	case run < repeats && gap > keepAliveMin/2+w.Tolerance:
		c.fault(i, "universe %d: new values sent %d times, then %v of silence; want %d times first", u, run, gap, repeats)
	case same && run > repeats && gap < keepAliveMin-w.Tolerance:
		c.fault(i, "universe %d: the same values for the %dth time after only %v, want at least %v", u, run+1, gap, keepAliveMin)
	}
}

// equalButSequence compares two data packets except octet 111, the sequence number.
func equalButSequence(a, b []byte) bool {
	return bytes.Equal(a[:111], b[:111]) && bytes.Equal(a[112:], b[112:])
}

// checkTermination requires three terminated packets at the end of a universe. The
// universe may start again after them.
func checkTermination(c *capture, w Want) {
	c.checkDarkEnd(w)
	for u, is := range c.universes() {
		ending := 0 // terminated packets in a row so far
		for _, i := range is {
			ends := c.terminated(i)
			switch {
			case !ends && ending != 0 && ending != 3:
				c.fault(i, "universe %d: data after %d terminated packets, want three", u, ending)
			case ends && ending >= 3:
				c.fault(i, "universe %d: terminated packet number %d, want three", u, ending+1)
			}
			if ending++; !ends {
				ending = 0
			}
		}
		if last := is[len(is)-1]; ending < 3 && (!w.Unended || ending > 0) {
			c.fault(last, "universe %d: the capture ends after %d terminated packets, want three", u, ending)
		}
	}
}

// checkDarkEnd requires black before the terminated packets if w.Black is set.
func (c *capture) checkDarkEnd(w Want) {
	for u, is := range c.universes() {
		for k, i := range is[1:] {
			if before := is[k]; w.Black && c.terminated(i) && !c.terminated(before) && !c.black(before) {
				c.fault(before, "universe %d: slots are not all 0 in the last packet before the end", u)
			}
		}
	}
}

// black reports whether all slots, from octet 126 on, are 0.
func (c *capture) black(i int) bool {
	return len(bytes.Trim(c.packets[i].Octets[126:], "\x00")) == 0
}
