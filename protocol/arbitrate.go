package protocol

// output works out who drives each slot, if anything has changed.
func (rm *room) output() *Output {
	if !rm.stale {
		return &rm.out
	}
	rm.stale = false
	o := Output{Sources: make([]CID, 0, len(rm.inputs)), Lost: rm.lost && len(rm.inputs) == 0}
	var live []*input
	for _, in := range rm.inputs {
		o.Held = o.Held || in.waits
		o.Frozen = o.Frozen || in.frozen
		if in.levels == nil || in.options&Preview != 0 {
			continue
		}
		live = append(live, in)
		o.Sources = append(o.Sources, in.cid)
		o.Ranks = append(o.Ranks, in.priority)
		o.PerSlot = o.PerSlot || in.slotPriority != nil
	}
	for i := range o.Owner {
		o.Owner[i] = Nobody
	}
	if o.PerSlot {
		o.arbitrateSlots(live)
	} else {
		o.arbitrate(live)
	}
	rm.out = o
	return &rm.out
}

// arbitrate lets the highest packet priority win the universe; ties merge, the
// highest value of each slot winning and the first source keeping a draw
// (6.2.3, 6.2.3.2).
func (o *Output) arbitrate(live []*input) {
	for _, in := range live {
		o.Priority = max(o.Priority, in.priority)
	}
	for who, in := range live {
		if in.priority != o.Priority {
			continue
		}
		for i, v := range in.levels[:in.count] {
			if o.Owner[i] == Nobody || v > o.Slots[i] {
				o.Owner[i], o.Slots[i] = int8(who), v
			}
		}
		o.Count = max(o.Count, in.count)
	}
}

// arbitrateSlots does the same slot by slot, for sources that send START code
// 0xdd; one that does not has its packet priority on each slot it sends.
func (o *Output) arbitrateSlots(live []*input) {
	var best [MaxSlots]int
	for who, in := range live {
		for i, v := range in.levels[:in.count] {
			p := in.slot(i)
			if p == undriven || o.Owner[i] != Nobody && (p < best[i] || p == best[i] && v <= o.Slots[i]) {
				continue
			}
			o.Owner[i], o.Slots[i], best[i] = int8(who), v, p
			o.Count = max(o.Count, i+1)
			o.Priority = max(o.Priority, uint8(p))
		}
	}
}

const undriven = -1

// slot is the source's priority for slot i, from 0; undriven if it leaves it alone.
func (in *input) slot(i int) int {
	if in.slotPriority == nil {
		return int(in.priority)
	}
	if p := in.slotPriority[i]; p > 0 && p <= MaxPriority {
		return int(p)
	}
	return undriven
}
