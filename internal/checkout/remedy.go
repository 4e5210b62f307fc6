package checkout

import (
	"fmt"

	"example.org/ringout/internal/strip"
)

// remedies is what to do about each kind of fault, in the order in which a
// person would try causes that look alike: what costs least comes first
// (common practice). Power off before any joint is touched.
var remedies = []struct {
	kind   strip.Kind
	remedy string
}{
	{strip.NoSupply, "Measure the supply's voltage at the first pixel; check switch, fuse and polarity. The mains side is for licensed people."},
	{strip.WrongAddress, "Compare host and universe with the controller's own setting."},
	{strip.SlotShift, "Set the start slot in the controller, or in the prop file, so that both say the same."},
	{strip.WrongEnd, "Power off. Follow the arrows printed on the strip: the data wire goes to the end they point away from."},
	{strip.WrongOrder, "Set the colour order in the controller or in the prop file; if it changes inside the prop, the strip from there on is of another kind: replace it."},
	{strip.Grouped, "Set the lights per address in the prop file, or use strip with one address a light."},
	{strip.Count, "Count the run again by roll call and correct the prop file, or cut or add strip."},
	{strip.Mirrored, "Feed data into the other end, or turn the order of the runs round in the prop file."},
	{strip.RunMirrored, "Power off and turn the run round, or set its direction in the prop file."},
	{strip.RunsSwapped, "Change the order of the runs in the prop file, or re-solder their leads."},
	{strip.RunBackwards, "Power off. Follow the arrows on the run: its input end must meet the output of the run before it. Turn it round."},
	{strip.OpenJoint, "Power off. Re-solder the data joint there: ground first, then data, then plus; tug at it, and check for a bridge."},
	{strip.RailLost, "Measure the voltage just before and just behind the place; power off and re-solder plus and ground."},
	{strip.DeadStop, "Power off. Cut out the pixel and put a new one in; if that changes nothing, replace the one before it, whose output may be dead."},
	{strip.DeadPixel, "Replace the pixel; data passes through it, so it can wait."},
	{strip.DeadChannel, "Replace the pixel; one of its lights is dead."},
	{strip.WrongChip, "The strip from there on is of another kind: replace it, or set the planned chip to what is on the reel."},
	{strip.Flicker, "Power off and re-solder the joint or lead there; hold it still with glue or tape. Look for a loose ground, a long data lead, a weak supply, and a second source on the universe."},
	{strip.Sag, "Add a feed at the far end, use thicker wire, or lower the level."},
}

// order is where a kind stands in the list.
func order(k strip.Kind) int {
	for i, r := range remedies {
		if r.kind == k {
			return i
		}
	}
	return len(remedies)
}

// easiness sorts causes: one fault before two, then by the list.
func easiness(c Cause) int {
	n := 0
	for _, f := range c.Faults {
		n += 100 + order(f.Kind)
	}
	return n
}

func (f *field) remedy(ft strip.Fault) string {
	if i := order(ft.Kind); i < len(remedies) {
		return remedies[i].remedy
	}
	return ""
}

// where says the place: run, pixel from the data end, and joint.
func (f *field) where(ft strip.Fault) string {
	sp, ok := f.placeOf(ft)
	if !ok {
		return ""
	}
	run, at := f.prop.Find(sp.First)
	switch {
	case sp.First == sp.Last || ft.Kind == strip.WrongOrder || ft.Kind == strip.WrongChip:
		text := strip.Spot(f.prop, sp.First)
		if at == 0 && run > 0 {
			text += fmt.Sprintf(", at the joint of %s and %s", f.runText(run-1), f.runText(run))
		}
		return text
	case ft.Kind == strip.RunsSwapped:
		return f.runText(ft.Run) + " and " + f.runText(ft.Run2)
	}
	return f.runText(run)
}
