package strip

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/prop"
)

// check refuses faults that cannot be, alone or together.
func check(pl *plan, faults []Fault) error {
	for i, f := range faults {
		if err := checkOne(pl, f); err != nil {
			return err
		}
		for _, g := range faults[:i] {
			if err := clash(pl, g, f); err != nil {
				return err
			}
		}
	}
	return checkTogether(pl, faults)
}

// checkOne refuses a fault that no strip of this prop can have.
func checkOne(pl *plan, f Fault) error {
	p := pl.prop
	switch {
	case !f.Kind.known():
		return fmt.Errorf("there is no fault %q; choose one of %s", f.Kind, kindList())
	case f.Kind.reads(fieldPixel) && (f.Pixel < 0 || f.Pixel >= pl.pixels):
		return fmt.Errorf("%s at pixel %d: the prop has pixels 1 to %d", f.Kind, f.Pixel+1, pl.pixels)
	case f.Kind.reads(fieldRun) && (f.Run < 0 || f.Run >= len(p.Runs)):
		return fmt.Errorf("%s of run %d: the prop has runs 1 to %d", f.Kind, f.Run+1, len(p.Runs))
	case f.Kind.reads(fieldRun2) && (f.Run2 < 0 || f.Run2 >= len(p.Runs)):
		return fmt.Errorf("%s of run %d: the prop has runs 1 to %d", f.Kind, f.Run2+1, len(p.Runs))
	}
	return checkValues(pl, f)
}

// checkValues refuses a value that its kind of fault cannot have.
func checkValues(pl *plan, f Fault) error {
	p := pl.prop
	switch f.Kind {
	case RunsSwapped:
		if f.Run == f.Run2 {
			return fmt.Errorf("%s cannot change places with itself: name two runs", runName(p, f.Run))
		}
	case Count:
		if n := p.Runs[f.Run].Pixels; f.N == 0 || n+f.N < 1 || n+f.N > prop.MaxPixels {
			return fmt.Errorf("%s has %d pixels planned: give a change that leaves 1 to %d, and not 0", runName(p, f.Run), n, prop.MaxPixels)
		}
	case DeadChannel:
		if !hasChannel(pl, f) {
			return fmt.Errorf("the chips take %s and have no %s to lose: name one of their colours", pl.order, f.Channel)
		}
	case WrongOrder:
		_, err := prop.ParseOrder(string(f.Order))
		return err
	case WrongChip:
		return checkChip(pl, f)
	case WrongAddress:
		u := int(p.Address.Universe)
		if f.N == 0 || u+f.N < 1 || u+f.N > prop.MaxUniverse {
			return fmt.Errorf("universe %d moved by %d: give a change other than 0 that leaves 1 to %d", u, f.N, prop.MaxUniverse)
		}
	case SlotShift:
		s := p.Address.Slot
		if f.N == 0 || s+f.N < 0 || s+f.N >= prop.SlotsPerUniverse {
			return fmt.Errorf("slot %d moved by %d: give a change other than 0 that leaves 1 to %d", s+1, f.N, prop.SlotsPerUniverse)
		}
	case WrongPacking:
		other := stream(pl.pixels, len(pl.channels), 0, p.Address.Slot, otherPacking(p.Address.Packing))
		if slices.Equal(other, pl.stream) {
			return fmt.Errorf("the slots of this prop lie the same whether or not pixels may straddle universes: it cannot be packed wrongly")
		}
	case Grouped:
		if f.N < 2 || f.N > prop.MaxPixels {
			return fmt.Errorf("grouped by %d: give 2 or more lights to an address", f.N)
		}
	case Resistance:
		return checkResistance(p, f)
	case Sag:
		if f.N < 0 || f.N > 1_000_000 {
			return fmt.Errorf("sag by %d: give the milliohms of a metre of strip, there and back, up to 1000000", f.N)
		}
	}
	return nil
}

// hasChannel reports whether any chip of the plan has the channel.
func hasChannel(pl *plan, f Fault) bool {
	for _, ch := range pl.channels {
		if ch == f.Channel {
			return true
		}
	}
	return false
}

// checkChip refuses a wrong chip that is the planned one or no chip at all.
func checkChip(pl *plan, f Fault) error {
	if f.N < 3 || f.N > 5 || f.N == pl.order.Slots() {
		return fmt.Errorf("chips of %d slots instead of %d: give 3, 4 or 5, and not the planned number", f.N, pl.order.Slots())
	}
	if f.Order == "" {
		return nil
	}
	if _, err := prop.ParseOrder(string(f.Order)); err != nil {
		return err
	}
	if f.Order.Slots() != f.N {
		return fmt.Errorf("chips of %d slots cannot have the colour order %s: give %d letters", f.N, f.Order, f.N)
	}
	return nil
}

// clash refuses two faults that rule each other out.
func clash(pl *plan, a, b Fault) error {
	same := a.Kind == b.Kind
	once := same && !a.Kind.reads(fieldPixel) && !a.Kind.reads(fieldRun)
	samePixel := a.Kind.reads(fieldPixel) && b.Kind.reads(fieldPixel) && a.Pixel == b.Pixel
	sameRun := a.Kind.reads(fieldRun) && b.Kind.reads(fieldRun) && a.Run == b.Run
	switch {
	case a == b || once:
		return fmt.Errorf("%s is given twice: give it once", a.Kind)
	case same && a.Kind == Count && sameRun, same && a.Kind == WrongOrder && samePixel, same && a.Kind == WrongChip && samePixel:
		return fmt.Errorf("%s is given twice for the same place with different values: give it once", a.Kind)
	case samePixel && isDead(a.Kind) && isDead(b.Kind):
		return fmt.Errorf("pixel %d is dead already: it cannot have %s and %s", a.Pixel+1, a.Kind, b.Kind)
	case sameRun && either(a, b, RunBackwards, RunMirrored):
		return fmt.Errorf("%s cannot be soldered in by its output end and be fed rightly from its other end", runName(pl.prop, a.Run))
	case same && a.Kind == RunsSwapped && a.Run == b.Run2 && a.Run2 == b.Run:
		return fmt.Errorf("%s and %s are swapped twice, which is no fault: give it once", runName(pl.prop, a.Run), runName(pl.prop, a.Run2))
	}
	return nil
}

// isDead reports whether the kind makes one pixel dark or partly dark.
func isDead(k Kind) bool { return k == DeadPixel || k == DeadStop || k == DeadChannel }

// either reports whether the two faults are of these two kinds.
func either(a, b Fault, k, l Kind) bool {
	return a.Kind == k && b.Kind == l || a.Kind == l && b.Kind == k
}

// checkTogether refuses faults at pixels that other faults took away, and
// orders that do not fit the chips they are said of.
func checkTogether(pl *plan, faults []Fault) error {
	if len(faults) < 2 {
		return checkOrders(pl, faults)
	}
	for _, c := range faults {
		if c.Kind != Count || c.N > 0 {
			continue
		}
		left := pl.prop.Runs[c.Run].Pixels + c.N
		for _, f := range faults {
			run, at := pl.prop.Find(f.Pixel)
			if f.Kind.reads(fieldPixel) && run == c.Run && at >= left {
				return fmt.Errorf("%s at pixel %d: %s has only %d pixels then", f.Kind, f.Pixel+1, runName(pl.prop, run), left)
			}
		}
	}
	return checkOrders(pl, faults)
}

// checkOrders refuses a colour order with another number of letters than the
// chips it is said of have slots, and one that is no change.
func checkOrders(pl *plan, faults []Fault) error {
	b := builder{plan: pl, faults: faults}
	for _, f := range faults {
		if f.Kind != WrongOrder {
			continue
		}
		run, at := pl.prop.Find(f.Pixel)
		without := builder{plan: pl, faults: wrongChips(faults)}
		had := without.orderAt(run, at)
		if had.Slots() != f.Order.Slots() {
			return fmt.Errorf("the chips at pixel %d take %d slots: the colour order %s does not fit them", f.Pixel+1, had.Slots(), f.Order)
		}
		if b.orderAt(run, at) == pl.order && len(faults) == 1 {
			return fmt.Errorf("the colour order %s is the planned one: give another", f.Order)
		}
	}
	return nil
}

// wrongChips are the faults that change the slots of chips.
func wrongChips(faults []Fault) []Fault {
	var out []Fault
	for _, f := range faults {
		if f.Kind == WrongChip {
			out = append(out, f)
		}
	}
	return out
}
