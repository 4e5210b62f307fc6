package record

import (
	"fmt"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// Bring is what to have at hand for the remedy of a fault (common practice).
// Faults that are put right in a setting need nothing.
func Bring(k strip.Kind, c prop.Chip) []string {
	joint := []string{"solder and iron", "3-wire lead", "heat-shrink"}
	switch k {
	case strip.OpenJoint, strip.WrongEnd, strip.RunBackwards, strip.RunMirrored, strip.RunsSwapped, strip.Mirrored, strip.Flicker:
		return joint
	case strip.DeadStop, strip.DeadPixel, strip.DeadChannel:
		return append([]string{fmt.Sprintf("a few pixels of %s", c.Name)}, joint...)
	case strip.RailLost, strip.NoSupply, strip.Sag, strip.Resistance:
		return []string{"voltmeter", "fuse and fuse holder", "supply wire", "solder and iron", "heat-shrink"}
	case strip.WrongChip:
		return append([]string{fmt.Sprintf("strip of %s", c.Name)}, joint...)
	case strip.Count:
		return append([]string{fmt.Sprintf("a few pixels of %s, if the count is to be as planned", c.Name)}, joint...)
	}
	return nil
}
