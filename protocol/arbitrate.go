package protocol

// output works out who drives each slot, if anything has changed.
func (tb *table) output() *Output {
	if !tb.stale {
		return &tb.out
	}
	tb.stale = false
	o := Output{Sources: make([]CID, 0, len(tb.accounts)), Lost: tb.lost && len(tb.accounts) == 0}
	var live []*account
	for _, a := range tb.accounts {
		o.Held = o.Held || a.waits
		o.Frozen = o.Frozen || a.frozen
		if a.levels == nil || a.options&Preview != 0 {
			continue
		}
		live = append(live, a)
		o.Sources = append(o.Sources, a.cid)
		o.Ranks = append(o.Ranks, a.priority)
		o.PerSlot = o.PerSlot || a.slotPriority != nil
	}
	for i := range o.Owner {
		o.Owner[i] = NoOwner
	}
	if o.PerSlot {
		o.arbitrateSlots(live)
	} else {
		o.arbitrate(live)
	}
	tb.out = o
	return &tb.out
}

// arbitrate gives the universe to the highest packet priority. Sources with
// equal priority merge: the highest value of each slot wins, and between equal
// values the first source (6.2.3, 6.2.3.2).
func (o *Output) arbitrate(live []*account) {
	for _, a := range live {
		o.Priority = max(o.Priority, a.priority)
	}
	for who, a := range live {
		if a.priority != o.Priority {
			continue
		}
		for i, v := range a.levels[:a.count] {
			if o.Owner[i] == NoOwner || v > o.Slots[i] {
				o.Owner[i], o.Slots[i] = int8(who), v
			}
		}
		o.Count = max(o.Count, a.count)
	}
}

// arbitrateSlots does the same slot by slot, for sources that send START code
// 0xdd; a source without it has its packet priority on each slot it sends.
func (o *Output) arbitrateSlots(live []*account) {
	var best [MaxSlots]int
	for who, a := range live {
		for i, v := range a.levels[:a.count] {
			p := a.slotRank(i)
			if p == undriven || o.Owner[i] != NoOwner && (p < best[i] || p == best[i] && v <= o.Slots[i]) {
				continue
			}
			o.Owner[i], o.Slots[i], best[i] = int8(who), v, p
			o.Count = max(o.Count, i+1)
			o.Priority = max(o.Priority, uint8(p))
		}
	}
}

const undriven = -1

// slotRank is the source's priority for slot i, from 0; undriven if the source
// does not drive it.
func (a *account) slotRank(i int) int {
	if a.slotPriority == nil {
		return int(a.priority)
	}
	if p := a.slotPriority[i]; p > 0 && p <= MaxPriority {
		return int(p)
	}
	return undriven
}
