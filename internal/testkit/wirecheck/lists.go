package wirecheck

import (
	"slices"
	"time"
)

// checkSync requires a synchronization packet after data packets that name its
// address, before the end of the capture or the keep-alive limit.
func checkSync(c *capture, w Want) {
	named := map[int]int{} // by address: the first data packet that waits for it
	used := map[int]bool{}
	c.each(kindData, func(_ int, b []byte) { used[u16(b, 109)] = true })
	for i, p := range c.packets {
		switch kind(p.Octets) {
		case kindData:
			a := u16(p.Octets, 109)
			if _, waits := named[a]; a != 0 && !waits && !c.terminated(i) {
				named[a] = i
			}
		case kindSync:
			a := u16(p.Octets, 45)
			if !used[a] {
				c.fault(i, "synchronization for address %d, which no data packet names", a)
			}
			delete(named, a)
		}
		for _, a := range sorted(named) {
			if from := named[a]; c.gap(from, i) > keepAliveMax+w.Tolerance {
				c.fault(from, "data for synchronization address %d waits %v without a synchronization packet", a, c.gap(from, i))
				delete(named, a)
			}
		}
	}
}

// interval is E131_UNIVERSE_DISCOVERY_INTERVAL, 10 s (appendix A).
const interval = 10 * time.Second

// A set is all pages of one discovery list.
type set struct {
	first, last int // indexes of packets
	universes   []int
}

func checkDiscovery(c *capture, w Want) {
	sets := c.sets()
	if w.Discovery && len(sets) == 0 {
		c.fault(-1, "no universe discovery in the capture")
	}
	for k, s := range sets {
		for n := 1; n < len(s.universes); n++ {
			if s.universes[n] <= s.universes[n-1] {
				c.fault(s.last, "universe %d listed after %d, want ascending", s.universes[n], s.universes[n-1])
			}
		}
		if k > 0 {
			if gap := c.gap(sets[k-1].first, s.first); gap > interval+w.Tolerance+interval/100 {
				c.fault(s.first, "%v after the list before, want %v", gap, interval)
			}
		}
		c.checkList(s)
	}
	if w.Discovery && len(sets) > 0 {
		c.checkEdges(w, sets)
	}
	c.checkHaste(w, sets)
}

// checkEdges requires a list within an interval of the first and last packet.
func (c *capture) checkEdges(w Want, sets []set) {
	most := interval + w.Tolerance + interval/100
	if gap := c.gap(0, sets[0].first); gap > most {
		c.fault(sets[0].first, "the first list comes %v after the first packet, want %v", gap, interval)
	}
	last := sets[len(sets)-1]
	if gap := c.gap(last.first, len(c.packets)-1); gap > most {
		c.fault(last.first, "no list in the last %v of the capture, want one each %v", gap, interval)
	}
}

// checkHaste allows one more list within an interval if the list changed (4.3).
func (c *capture) checkHaste(w Want, sets []set) {
	for k := 1; k < len(sets); k++ {
		early := c.gap(sets[k-1].first, sets[k].first) < interval-interval/100-w.Tolerance
		if early && slices.Equal(sets[k-1].universes, sets[k].universes) {
			c.fault(sets[k].first, "the same list again after %v, want %v", c.gap(sets[k-1].first, sets[k].first), interval)
		}
		if k > 1 && c.gap(sets[k-2].first, sets[k].first) < interval-interval/100-w.Tolerance {
			c.fault(sets[k].first, "three lists within %v, want at most two", interval)
		}
	}
}

// sets joins the pages of each list. Octet 118 is the page, 119 the last page; the
// universes start at octet 120.
func (c *capture) sets() []set {
	var sets []set
	want := 0 // next page expected
	c.each(kindDiscovery, func(i int, b []byte) {
		if int(b[118]) != want {
			c.fault(i, "page %d, want %d", b[118], want)
		}
		if b[118] == 0 || len(sets) == 0 {
			sets = append(sets, set{first: i})
		}
		s := &sets[len(sets)-1]
		s.last = i
		for at := 120; at+1 < len(b); at += 2 {
			s.universes = append(s.universes, u16(b, at))
		}
		if want = int(b[118]) + 1; b[118] == b[119] {
			want = 0
		}
	})
	return sets
}

// checkList compares a list with the traffic around it. A universe with data or
// synchronization before and after it, and no terminated packet between, must be
// listed. One not used for two intervals must not be (12.2).
func (c *capture) checkList(s set) {
	before, after, recent := map[int]bool{}, map[int]bool{}, map[int]bool{}
	for i, p := range c.packets {
		for _, u := range uses(p.Octets) {
			near := max(c.gap(s.first, i), c.gap(i, s.first))
			if near <= 2*interval {
				recent[u] = true
			}
			switch {
			case near > 3*time.Second: // too far from the list to decide
			case i < s.first:
				before[u] = kind(p.Octets) == kindSync || !c.terminated(i)
			case i > s.last:
				after[u] = true
			}
		}
	}
	for _, u := range sorted(before) {
		if before[u] && after[u] && !slices.Contains(s.universes, u) {
			c.fault(s.last, "universe %d is being sent but not listed", u)
		}
	}
	for _, u := range s.universes {
		if !recent[u] {
			c.fault(s.last, "universe %d is listed but not being sent", u)
		}
	}
}

// uses returns the universes that a packet uses.
func uses(b []byte) []int {
	switch kind(b) {
	case kindData:
		return []int{u16(b, 113)}
	case kindSync:
		return []int{u16(b, 45)}
	default:
		return nil
	}
}
