package strip

import (
	"fmt"
)

// check refuses faults that are impossible, alone or together.
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
	if err := checkShort(pl, faults); err != nil {
		return err
	}
	return checkOrders(pl, faults)
}

// checkOne refuses a fault that no strip of this prop can have.
func checkOne(pl *plan, f Fault) error {
	r, p := rowOf(f.Kind), pl.prop
	switch {
	case r == noRow:
		return fmt.Errorf("there is no fault %q; choose one of %s", f.Kind, kindList())
	case r.reads&fieldPixel != 0 && (f.Pixel < 0 || f.Pixel >= pl.pixels):
		return fmt.Errorf("%s at pixel %d: the prop has pixels 1 to %d", f.Kind, f.Pixel+1, pl.pixels)
	case r.reads&fieldRun != 0 && (f.Run < 0 || f.Run >= len(p.Runs)):
		return fmt.Errorf("%s of run %d: the prop has runs 1 to %d", f.Kind, f.Run+1, len(p.Runs))
	case r.reads&fieldRun2 != 0 && (f.Run2 < 0 || f.Run2 >= len(p.Runs)):
		return fmt.Errorf("%s of run %d: the prop has runs 1 to %d", f.Kind, f.Run2+1, len(p.Runs))
	case r.check == nil:
		return nil
	}
	return r.check(pl, f)
}

// clash refuses two faults that exclude each other.
func clash(pl *plan, a, b Fault) error {
	if a.Kind == b.Kind {
		return clashSameKind(pl, a, b)
	}
	switch {
	case a.Pixel == b.Pixel && onPixel(a.Kind) && onPixel(b.Kind):
		return fmt.Errorf("pixel %d can have one fault of its own: not both %s and %s", a.Pixel+1, a.Kind, b.Kind)
	case a.Run == b.Run && rowOf(a.Kind).atEnd && rowOf(b.Kind).atEnd:
		return fmt.Errorf("%s cannot be soldered in by its output end and fed from the other", pl.prop.RunText(a.Run))
	}
	return nil
}

// clashSameKind refuses two faults of one kind that are the same fault, or that
// cannot be at the same place.
func clashSameKind(pl *plan, a, b Fault) error {
	placed, ofRun := a.Kind.reads(fieldPixel), a.Kind.reads(fieldRun)
	pairs := a.Kind.reads(fieldRun2)
	samePlace := placed && a.Pixel == b.Pixel || ofRun && !pairs && a.Run == b.Run
	switch {
	case a == b || !placed && !ofRun:
		return fmt.Errorf("%s is given twice: give it once", a.Kind)
	case samePlace && !a.Kind.reads(fieldChannel):
		return fmt.Errorf("%s is given twice for the same place with different values: give it once", a.Kind)
	case pairs && a.Run == b.Run2 && a.Run2 == b.Run:
		return fmt.Errorf("%s and %s are named twice, which is no fault: give it once", pl.prop.RunText(a.Run), pl.prop.RunText(a.Run2))
	}
	return nil
}

// onPixel reports whether a fault of the kind concerns one pixel only.
func onPixel(k Kind) bool { return rowOf(k).Scope == AtPixel }

// checkShort refuses faults at pixels that a Count fault removes.
func checkShort(pl *plan, faults []Fault) error {
	for _, c := range faults {
		if !rowOf(c.Kind).Counted || c.N > 0 {
			continue
		}
		left := pl.prop.Runs[c.Run].Pixels + c.N
		for _, f := range faults {
			run, at := pl.prop.Find(f.Pixel)
			if f.Kind.reads(fieldPixel) && run == c.Run && at >= left {
				return fmt.Errorf("%s at pixel %d: %s has only %d pixels then", f.Kind, f.Pixel+1, pl.prop.RunText(run), left)
			}
		}
	}
	return nil
}

// checkOrders refuses a colour order that does not have one letter for each slot
// of its chips, and one equal to the planned order.
func checkOrders(pl *plan, faults []Fault) error {
	var b *builder
	for _, f := range faults {
		r := rowOf(f.Kind)
		if r.reads&fieldOrder == 0 || r.chips != nil {
			continue
		}
		if b == nil {
			b = &builder{plan: pl, faults: faults}
			for _, g := range faults {
				b.rows = append(b.rows, &row{effect: effect{chips: rowOf(g.Kind).chips}})
			}
		}
		run, place := f.Run, 0
		if r.reads&fieldPixel != 0 {
			run, place = pl.prop.Find(f.Pixel)
		}
		had := b.chipAt(0, run, place).order
		if had.Slots() != f.Order.Slots() {
			return fmt.Errorf("the chips of %s take %d slots: the colour order %s does not fit them", f.place(pl.prop), had.Slots(), f.Order)
		}
		if f.Order == pl.order && len(faults) == 1 {
			return fmt.Errorf("the colour order %s is the planned one: give another", f.Order)
		}
	}
	return nil
}
