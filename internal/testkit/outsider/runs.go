package outsider

import (
	"fmt"
	"math"
	"slices"
)

// Faults of a run, and of the whole prop.

func runOrder(d draft) []string {
	at, order := d.anyRun(0, 1), d.otherOrder()
	if len(d.Plan.Runs) == 1 {
		return nil
	}
	for i := range d.Runs[at].Chips {
		d.Runs[at].Chips[i].Order = order
	}
	return names("run-order run %d order %s", at+1, order)
}

func runChip(d draft) []string {
	at, order := d.anyRun(0, 1), d.otherChip()
	if len(d.Plan.Runs) == 1 {
		return nil
	}
	for i := range d.Runs[at].Chips {
		d.Runs[at].Chips[i].Order = order
	}
	return names("run-chip run %d slots %d", at+1, len(order))
}

func runColour(d draft) []string {
	at, c := d.anyRun(0, 2), d.Order[d.IntN(len(d.Order))]
	if at < 0 {
		return nil
	}
	for i := range d.Runs[at].Chips {
		d.Runs[at].Chips[i].Lacks = c
	}
	return names("run-channel run %d colour %s", at+1, colours[c])
}

func reversed(d draft) []string {
	at := d.anyRun(0, 2)
	if at < 0 {
		return nil
	}
	d.Runs[at].Backwards = true
	return names("run-mirrored run %d", at+1)
}

func exchanged(d draft) []string {
	if len(d.Plan.Runs) < 2 {
		return nil
	}
	two := d.Perm(len(d.Plan.Runs))[:2]
	slices.Sort(two)
	d.Wiring[two[0]], d.Wiring[two[1]] = d.Wiring[two[1]], d.Wiring[two[0]]
	return names("runs-swapped run %d run %d", two[0]+1, two[1]+1)
}

// parallel connects a run's data input to that of an earlier run. Later runs get
// the data that this run passes on.
func parallel(d draft) []string {
	at := d.anyRun(1, 1)
	if at < 0 {
		return nil
	}
	d.Runs[at].Beside = d.IntN(at)
	return names("runs-parallel run %d run %d", d.Runs[at].Beside+1, at+1)
}

func fewer(d draft) []string {
	at, n := d.anyRun(0, 8), 1+d.IntN(3)
	if at < 0 {
		return nil
	}
	chips := d.Runs[at].Chips
	d.Runs[at].Chips = chips[:len(chips)-n]
	return names("count run %d by -%d", at+1, n)
}

func more(d draft) []string {
	at, n := d.anyRun(0, 8), 1+d.IntN(3)
	if at < 0 {
		return nil
	}
	chip := Chip{Order: d.Order, LEDs: 1}
	d.Runs[at].Chips = append(d.Runs[at].Chips, slices.Repeat([]Chip{chip}, n)...)
	return names("count run %d by %d", at+1, n)
}

func hiddenFirst(d draft) []string {
	if d.Plan.Total() < 2 {
		return nil
	}
	first := Chip{Order: d.Order, LEDs: 1, Hidden: true}
	d.Runs[0].Chips = slices.Insert(d.Runs[0].Chips, 0, first)
	return names("hidden-first")
}

func wrongStart(d draft) []string {
	d.Shift = []int{-2, -1, 1, 2, 3}[d.IntN(5)]
	if d.Slot+d.Shift < 1 {
		return nil
	}
	return names("slot-shift by %d", d.Shift)
}

func wrongUniverse(d draft) []string {
	d.Later = 1
	return names("wrong-address by 1")
}

// severalUniverses reports whether the plan needs more than one universe.
func (d draft) severalUniverses() bool {
	return len(d.Design.Patch().Lay(make([]byte, d.Plan.Total()*len(d.Order)))) > 1
}

func exchangedUniverses(d draft) []string {
	if !d.severalUniverses() {
		return nil
	}
	d.Swapped = true
	return names("universes-swapped universe %d universe %d", d.Universe, d.Universe+1)
}

func otherPacking(d draft) []string {
	if !d.severalUniverses() {
		return nil
	}
	d.Straddles = true
	return names("wrong-packing")
}

// noData has several causes that look the same.
func noData(d draft) []string {
	d.NoData = true
	return []string{"no-supply", "wrong-end", "wrong-address", "open-joint pixel 1", "dead-stop pixel 1", "rail-lost pixel 1"}
}

// grouped makes a strip whose chips light three places each.
func grouped(d draft) []string {
	if d.Plan.Total() < 9 {
		return nil
	}
	for i, n := range d.Plan.Runs {
		if n%3 != 0 {
			return nil
		}
		d.Runs[i].Chips = slices.Repeat([]Chip{{Order: d.Order, LEDs: 3}}, n/3)
	}
	return names("grouped by 3")
}

// sagging is the start of the name of any sag. Its figure depends on the dimming
// of the chips.
const sagging = "sag by"

// sags sets a random resistance of the rails, out and back, from 0.4 ohm per metre,
// as measured on strip with 60 pixels per metre, to sixteen times that.
func sags(d draft) []string {
	if d.Plan.Total() < 9 {
		return nil
	}
	d.Sag = 0.4 / 60 * math.Pow(2, 4*d.Float64())
	return []string{sagging, fmt.Sprintf("(%.4f ohm a pixel)", d.Sag)}
}

func sparkle(d draft) []string {
	d.Crackle = true
	return names("sparkle")
}

// runsInCircle rotates three runs: data reaches the second first and the first
// last. As faults this is two swaps, one after the other.
func runsInCircle(d draft) []string {
	if len(d.Plan.Runs) < 3 {
		return nil
	}
	copy(d.Wiring, []int{1, 2, 0})
	return []string{
		unknown,
		"runs-swapped run 1 run 2, runs-swapped run 1 run 3",
		"runs-swapped run 2 run 3, runs-swapped run 1 run 2",
		"runs-swapped run 1 run 3, runs-swapped run 2 run 3",
	}
}
