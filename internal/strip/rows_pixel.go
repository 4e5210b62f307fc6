package strip

import (
	"fmt"
	"math/rand/v2"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// otherFlicker is what to look for where light flickers and no joint is loose.
const otherFlicker = "Look for a loose ground, a long data lead, a weak supply, and a second source on the universe."

// insideRun is the remedy at a place inside a run, where the strip has no joint.
func insideRun(text string) func(Fault, *prop.Prop) string {
	return func(f Fault, p *prop.Prop) string {
		if run, at := p.Find(f.Pixel); run < 0 || at == 0 {
			return ""
		}
		return text
	}
}

// atJoint is the name of a fault at a joint or the lead of the prop.
func atJoint(name string) func(Fault, *prop.Prop) string {
	return func(f Fault, p *prop.Prop) string {
		if _, at := p.Find(f.Pixel); at > 0 {
			return ""
		}
		return name
	}
}

// pixelRows are the faults at a pixel, or from one on.
var pixelRows = []*row{
	// A joint, the output of the chip before or the input of this one: all three
	// look the same. The pixels after it stay dark after power-up, as here, or keep
	// their last frame if it broke while lit (common practice).
	{
		kind: OpenJoint, reads: fieldPixel, sample: "open-joint pixel 37", alias: "open-line", aliasSample: "open-line pixel 60",
		large: fromPixel("Dark"),
		Facts: Facts{Scope: FromPixel, Name: "data line open", Effort: 110, Chance: 10, bring: bringJoint,
			Remedy: "Power off. Re-solder the data joint there: minus first, then data, plus last; tug at it, and check for a bridge."},
		named:  atJoint("data joint open"),
		remedy: insideRun("Power off. Solder a wire over the data trace. Or cut there and join: minus first, then data, plus last."),
		sentence: func(f Fault, p *prop.Prop) string {
			return "No data reaches " + Spot(p, f.Pixel) + Before(p, f.Pixel) + "."
		},
		effect: effect{stop: (*builder).faultChip},
	},
	// No supply after the place, so no chip there passes data. A real chip may glow
	// faintly, fed by the data line (common practice); here it is dark.
	{
		kind: RailLost, reads: fieldPixel, sample: "rail-lost pixel 37",
		large: fromPixel("Dark"),
		Facts: Facts{Scope: FromPixel, Name: "supply lost", Effort: 120, Chance: 3, bring: bringSupply,
			Remedy: "Measure the voltage just before and just after the place. Power off and re-solder the joint: minus first, plus last."},
		remedy:   insideRun("Measure the voltage just before and just after the place. Power off and solder wires over the broken rails: minus first, plus last."),
		sentence: func(f Fault, p *prop.Prop) string { return "The supply is lost from " + Spot(p, f.Pixel) + " on." },
		effect: effect{stop: (*builder).faultChip,
			feeds: func(c *copper, _ *prop.Prop, f Fault) { c.fed = min(c.fed, f.Pixel) }},
	},
	// Colours are exchanged at every pixel and white stays white, as the bytes
	// give. All six orders of RGB are sold, and batches of one chip differ (common
	// practice).
	{
		kind: WrongOrder, reads: fieldPixel | fieldOrder, optional: fieldPixel, sample: "wrong-order pixel 1 order RGB",
		large: orderFrom,
		Facts: Facts{Scope: ChipsFrom, Name: "colour order not as planned", Many: "cases", Effort: 40, Chance: 8,
			Remedy: "Set the colour order in the controller or in the prop file. Does it change inside the prop? The strip from there on is of another kind. Power off and replace it."},
		sentence: func(f Fault, p *prop.Prop) string {
			return fmt.Sprintf("The chips have the colour order %s instead of %s%s.", f.Order, p.Chip.Order, from(Spot(p, f.Pixel), f.Pixel))
		},
		every: orderFaults, weight: whitesRare, draw: drawOrder,
		check: func(_ *plan, f Fault) error { _, err := prop.ParseOrder(string(f.Order)); return err },
		built: func(out *prop.Found, _ *prop.Prop, f Fault) {
			if f.Pixel == 0 {
				out.Order = f.Order
			}
		},
		effect: effect{looks: func(c *chip, f Fault) {
			if f.Pixel <= c.pixel && f.Pixel > c.orderFrom && f.Order.Slots() == c.order.Slots() {
				c.order, c.orderFrom = f.Order, f.Pixel
			}
		}},
	},
	// N is 3, 4 or 5 slots a chip. As planned up to Pixel, a cycle of colours after
	// it, and an end that is short or long, as the bytes give.
	{
		kind: WrongChip, reads: fieldPixel | fieldN | fieldOrder, optional: fieldPixel | fieldOrder, sample: "wrong-chip pixel 37 slots 4",
		large: chipsFrom,
		Facts: Facts{Scope: ChipsFrom, Name: "chips of another kind", Effort: 150, Chance: 4, bring: bringStrip,
			Remedy: "The strip from there on is of another kind. Power off and replace it, or plan with the chip on the reel."},
		sentence: func(f Fault, p *prop.Prop) string {
			return fmt.Sprintf("The chips take %d slots instead of %d%s.", f.N, p.Chip.Order.Slots(), from(Spot(p, f.Pixel), f.Pixel))
		},
		check: checkChip, every: chipFaults,
		draw: func(pl *plan, f *Fault, rng *rand.Rand) {
			f.N = 3 + rng.IntN(2)
			drawReel(pl, f, rng)
		},
		effect: effect{chips: func(c *chip, f Fault) {
			if f.Pixel <= c.pixel && f.Pixel > c.chipFrom {
				c.order, c.chipFrom = otherChip(c.planned, f), f.Pixel
			}
		}},
	},
	// Light that changes with movement or heat means a loose feed or joint (common
	// practice). A loose data joint and a loose supply joint look the same.
	{
		kind: Flicker, reads: fieldPixel, sample: "flicker pixel 37",
		large: fromPixel("Flickers"),
		Facts: Facts{Scope: FromPixel, Name: "loose contact", Effort: 160, Chance: 5, Unsteady: true, bring: bringJoint,
			Remedy: "Power off and re-solder the joint or lead there; hold it still with glue or tape. " + otherFlicker},
		remedy: insideRun("Power off and solder wires over the crack: minus first, then data, plus last. Hold the place still with glue or tape. " + otherFlicker),
		sentence: func(f Fault, p *prop.Prop) string {
			return "The light flickers from " + Spot(p, f.Pixel) + " on."
		},
		effect: effect{loose: true},
	},
	// Looks like a break before the pixel (common practice). A chip with a backup
	// line lets its neighbour read past it.
	{
		kind: DeadStop, reads: fieldPixel, sample: "dead-stop pixel 20",
		large: fromPixel("Dark"),
		Facts: Facts{Scope: AtPixel, Name: "dead pixel that stops the data", Effort: 130, Chance: 5, bring: bringPixels,
			Remedy: "Power off. Cut out the pixel and put a new one in; if that changes nothing, replace the one before it, whose output may be dead."},
		sentence: func(f Fault, p *prop.Prop) string {
			return words.Capital(Spot(p, f.Pixel)) + " is dead: it passes no data on."
		},
		effect: effect{stop: (*builder).deadStop, looks: darken},
	},
	// One dark pixel and all after it right (common practice): the chip still passes
	// data on, its LEDs or their supply do not work.
	{
		kind: DeadPixel, reads: fieldPixel, sample: "dead-pixel pixel 20",
		large: atPixel("dark"),
		Facts: Facts{Scope: AtPixel, Name: "dark pixel", Effort: 140, Chance: 6, bring: bringPixels,
			Remedy: "Power off and replace the pixel; data passes through it, so it can wait."},
		sentence: func(f Fault, p *prop.Prop) string {
			return words.Capital(Spot(p, f.Pixel)) + " is dark; data passes through it."
		},
		effect: effect{looks: darken},
	},
	// The pixel lacks one colour in every pattern: one LED die is dead (common
	// practice).
	{
		kind: DeadChannel, reads: fieldPixel | fieldChannel, sample: "dead-channel pixel 20 colour blue",
		large: channelLost,
		Facts: Facts{Scope: AtPixel, Name: "pixel that lacks a colour", Many: "cases", Effort: 145, Chance: 5, bring: bringPixels,
			Remedy: "Power off and replace the pixel; one of its lights is dead."},
		sentence: func(f Fault, p *prop.Prop) string {
			return fmt.Sprintf("%s has no %s.", words.Capital(Spot(p, f.Pixel)), f.Channel)
		},
		check: checkChannel, every: channelFaults,
		effect: effect{looks: func(c *chip, f Fault) {
			if c.is(f) {
				c.lost |= 1 << f.Channel
			}
		}},
	},
	// Every channel at 255 whatever is sent: shorted outputs, or a chip damaged by a
	// voltage spike (from memory).
	{
		kind: StuckOn, reads: fieldPixel, sample: "stuck-on pixel 20",
		large: atPixel("stuck on"),
		Facts: Facts{Scope: AtPixel, Name: "pixel stuck on", Effort: 146, Chance: 2, bring: bringPixels,
			Remedy: "Power off and replace the pixel; it stays lit whatever is sent, and data passes through it."},
		sentence: func(f Fault, p *prop.Prop) string {
			return words.Capital(Spot(p, f.Pixel)) + " is fully lit whatever is sent; data passes through it."
		},
		sameLight: stuckWhites,
		effect: effect{looks: func(c *chip, f Fault) {
			if c.is(f) {
				c.stuck = 1<<8 - 1
			}
		}},
	},
	// One channel at 255 whatever is sent, the others as sent (from memory).
	{
		kind: StuckChannel, reads: fieldPixel | fieldChannel, sample: "stuck-channel pixel 20 colour red",
		large: atPixel("stuck on"),
		Facts: Facts{Scope: AtPixel, Name: "pixel with one colour stuck on", Many: "cases", Effort: 147, Chance: 2, bring: bringPixels,
			Remedy: "Power off and replace the pixel; one of its lights stays on."},
		sentence: func(f Fault, p *prop.Prop) string {
			return fmt.Sprintf("The %s of %s is always full.", f.Channel, Spot(p, f.Pixel))
		},
		check: checkChannel, every: colourFaults,
		effect: effect{looks: func(c *chip, f Fault) {
			if c.is(f) {
				c.stuck |= 1 << f.Channel
			}
		}},
	},
}

// darken is a pixel that gives no light.
func darken(c *chip, f Fault) {
	if c.is(f) {
		c.dark = true
	}
}

// checkChannel refuses a channel that the chips do not have.
func checkChannel(pl *plan, f Fault) error {
	for _, ch := range pl.channels {
		if ch == f.Channel {
			return nil
		}
	}
	return fmt.Errorf("the chips take %s and have no %s to lose: name one of their colours", pl.order, f.Channel)
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
