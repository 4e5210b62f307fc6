package strip

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
)

// runRows are the faults of a run, or of two.
var runRows = []*row{
	// A chip takes data at its input pin alone, so nothing enters at the output end:
	// dark from the run's first pixel on, as with the arrows turned round (common
	// practice).
	{
		kind: RunBackwards, reads: fieldRun, sample: "run-backwards run 2", atEnd: true,
		large: ofRun("backwards"),
		Facts: Facts{Scope: OneRun, Name: "run soldered in backwards", Effort: 100, Chance: 3, bring: bringJoint,
			Remedy: "Power off. Follow the arrows on the run: its input end must meet the output of the run before it. Turn it round."},
		remedy: func(f Fault, _ *prop.Prop) string {
			if f.Run == 0 {
				return "Power off. Follow the arrows on the run: its input end must meet the lead from the controller. Turn it round."
			}
			return ""
		},
		sentence: func(f Fault, p *prop.Prop) string {
			return words.Capital(p.RunText(f.Run)) + " is soldered in by its output end: no data gets into it or past it."
		},
		every:  eachRun,
		effect: effect{stop: func(b *builder, f Fault) int { return b.pieces[b.of[f.Run]].first }},
	},
	// The data passes the run's pixels from the last on the drawing to the first;
	// all other runs are as planned.
	{
		kind: RunMirrored, reads: fieldRun, sample: "run-mirrored run 2", atEnd: true,
		large: wrongEnd,
		Facts: Facts{Scope: OneRun, Name: "run fed from its other end", Effort: 80, Chance: 4, bring: bringJoint,
			Remedy: "Power off and turn the run round, or set its direction in the prop file."},
		sentence: func(f Fault, p *prop.Prop) string {
			return words.Capital(p.RunText(f.Run)) + " is fed from its other end."
		},
		every: eachRun,
		built: func(out *prop.Found, p *prop.Prop, f Fault) {
			out.Reverse = put(out.Reverse, f.Run, !p.Runs[f.Run].Reverse)
		},
		effect: effect{wire: func(w *wiring, f Fault) { w.back[f.Run] = !w.back[f.Run] }},
	},
	// Each of the two runs shows the data of the other; with unequal counts the runs
	// between them are shifted too.
	{
		kind: RunsSwapped, reads: fieldRun | fieldRun2, sample: "runs-swapped run 1 run 2", eitherWay: true,
		large: ofRuns("swapped"),
		Facts: Facts{Scope: TwoRuns, Name: "two runs swapped", Effort: 90, Chance: 4, bring: bringJoint,
			Remedy: "Power off and re-solder their leads, or change their order in the prop file."},
		sentence: func(f Fault, p *prop.Prop) string {
			return fmt.Sprintf("%s and %s have changed places in the wiring.", words.Capital(p.RunText(f.Run)), p.RunText(f.Run2))
		},
		check: checkTwoRuns, every: twoRuns,
		built: func(out *prop.Found, p *prop.Prop, f Fault) {
			out.Runs = inOrder(len(p.Runs))
			out.Runs[f.Run], out.Runs[f.Run2] = out.Runs[f.Run2], out.Runs[f.Run]
		},
		effect: effect{wire: func(w *wiring, f Fault) {
			a, b := slices.Index(w.seq, f.Run), slices.Index(w.seq, f.Run2)
			w.seq[a], w.seq[b] = w.seq[b], w.seq[a]
		}},
	},
	// Two inputs on one output repeat the same section (common practice). Run2 reads
	// the data of Run, and the next run continues after Run2.
	{
		kind: RunsParallel, reads: fieldRun | fieldRun2, sample: "runs-parallel run 1 run 2",
		large: ofRuns("in parallel"),
		Facts: Facts{Scope: TwoRuns, Name: "two runs on one data line", Effort: 95, Chance: 2, bring: bringJoint,
			Remedy: "Power off. The second run's data input must meet the output of the run before it. It meets another's input: move the lead."},
		sentence: func(f Fault, p *prop.Prop) string {
			return fmt.Sprintf("%s and %s are fed side by side by one data line.", words.Capital(p.RunText(f.Run)), p.RunText(f.Run2))
		},
		check: checkTwoRuns, every: twoRuns,
		effect: effect{wire: func(w *wiring, f Fault) { w.like[f.Run2] = f.Run }},
	},
	// N pixels more, or fewer when negative. The pixels after the run are shifted by
	// N. At the very end added pixels are dark.
	{
		kind: Count, reads: fieldRun | fieldN | fieldOrMore, optional: fieldOrMore, sample: "count run 2 by -1",
		large: countTexts,
		Facts: Facts{Scope: OneRun, Name: "more or fewer pixels than planned", Many: "counts", Effort: 60, Chance: 6, Counted: true,
			bring:  append([]string{"a few pixels of " + chipName + ", if the count is to be as planned"}, bringJoint...),
			Remedy: "Count the run again by roll call. Correct the prop file, or power off and take the surplus pixels off."},
		remedy: func(f Fault, _ *prop.Prop) string {
			const begin = "Count the run again by roll call. Correct the prop file, or power off and "
			switch {
			case f.N == -1:
				return begin + "add the pixel that is missing."
			case f.N < 0:
				return begin + "add the pixels that are missing."
			case f.N == 1 && !f.OrMore:
				return begin + "take the surplus pixel off."
			}
			return ""
		},
		sentence: countSentence, check: checkCount, every: counts, weight: smallLikelier, draw: drawSigned(3),
		built: func(out *prop.Found, p *prop.Prop, f Fault) {
			if !f.OrMore { // with OrMore the number is not known
				out.Pixels = put(out.Pixels, f.Run, p.Runs[f.Run].Pixels+f.N)
			}
		},
		effect: effect{wire: func(w *wiring, f Fault) { w.sizes[f.Run] += f.N }},
	},
	// WrongOrder in one run: a reel of another batch between two others.
	{
		kind: RunOrder, reads: fieldRun | fieldOrder, sample: "run-order run 2 order RGB",
		large: func(p *prop.Prop, f Fault) []string {
			return append(ofRun(fmt.Sprintf("has %s, not %s", f.Order, p.Chip.Order))(p, f), fmt.Sprintf("Run %d has %s", f.Run+1, f.Order))
		},
		Facts: Facts{Scope: OneRun, Name: "one run with another colour order", Many: "cases", Effort: 42, Chance: 3, bring: bringStrip,
			Remedy: "The run is of another kind of strip. Power off and replace it, or give it an output with its own colour order."},
		built: func(out *prop.Found, p *prop.Prop, f Fault) {
			if len(p.Runs) == 1 { // the run is the prop
				out.Order = f.Order
			}
		},
		sentence: func(f Fault, p *prop.Prop) string {
			return fmt.Sprintf("The chips of %s have the colour order %s instead of %s; those after it are as planned.", p.RunText(f.Run), f.Order, p.Chip.Order)
		},
		every: func(p *prop.Prop) []Fault { return inEachRun(p, orderFaults(p)) }, weight: whitesRare, draw: drawOrder,
		effect: effect{looks: func(c *chip, f Fault) {
			if c.run == f.Run && f.Order.Slots() == c.order.Slots() {
				c.order, c.orderFrom = f.Order, math.MaxInt
			}
		}},
	},
	// WrongChip in one run: after it the stream is shifted by N less the planned
	// slots, for each of its pixels.
	{
		kind: RunChip, reads: fieldRun | fieldN | fieldOrder, optional: fieldOrder, sample: "run-chip run 2 slots 4",
		large: func(p *prop.Prop, f Fault) []string {
			return append(ofRun(fmt.Sprintf("has %d slots, not %d", f.N, p.Chip.Order.Slots()))(p, f), fmt.Sprintf("Run %d has %d slots", f.Run+1, f.N))
		},
		Facts: Facts{Scope: OneRun, Name: "one run with chips of another kind", Effort: 151, Chance: 3, bring: bringStrip,
			Remedy: "The run is of another kind of strip. Power off and replace it, or give it an output of its own."},
		sentence: func(f Fault, p *prop.Prop) string {
			return fmt.Sprintf("The chips of %s take %d slots instead of %d; those after it are as planned.", p.RunText(f.Run), f.N, p.Chip.Order.Slots())
		},
		check: checkChip, every: func(p *prop.Prop) []Fault { return inEachRun(p, chipFaults(p)) },
		draw: func(_ *plan, f *Fault, rng *rand.Rand) { f.N = 3 + rng.IntN(2) },
		effect: effect{chips: func(c *chip, f Fault) {
			if c.run == f.Run {
				c.order, c.chipFrom = otherChip(c.planned, f), math.MaxInt
			}
		}},
	},
	// The whole run lacks one colour: a reel without it, or a supply too low for green,
	// blue and white, which need 3.0 to 3.4 V (WS2812B datasheet).
	{
		kind: RunChannel, reads: fieldRun | fieldChannel, sample: "run-channel run 2 colour red",
		large: func(p *prop.Prop, f Fault) []string { return ofRun("lacks "+f.Channel.String())(p, f) },
		Facts: Facts{Scope: OneRun, Name: "one run that lacks a colour", Many: "cases", Effort: 152, Chance: 2, bring: bringStrip,
			Remedy: "One colour is dead all along the run: measure its supply, and look whether the strip has that colour at all. Then power off and replace it."},
		sentence: func(f Fault, p *prop.Prop) string {
			return fmt.Sprintf("%s has no %s in any of its pixels.", words.Capital(p.RunText(f.Run)), f.Channel)
		},
		check: checkChannel, every: func(p *prop.Prop) []Fault { return inEachRun(p, channelFaults(p)) },
		effect: effect{looks: func(c *chip, f Fault) {
			if c.run == f.Run {
				c.lost |= 1 << f.Channel
			}
		}},
	},
	// N in milliohms, 1 to 1,000,000. At 0.1 A, 1 Ω costs 0.1 V, which the light does
	// not show: the load test finds it with a meter.
	{
		kind: Resistance, reads: fieldRun | fieldN, sample: "resistance run 2 by 1000", inJoint: true,
		large: func(_ *prop.Prop, f Fault) []string {
			much := words.Figure(float64(f.N)/1000) + " ohm too much"
			return []string{fmt.Sprintf("Joint %d: %s", f.Run+1, much), much}
		},
		Facts: Facts{Scope: OneRun, Name: "too much resistance", Effort: 190, Unlit: true, bring: bringSupply,
			Remedy: "Power off. Solder the supply wires there again, with thicker wire if they are thin."},
		sentence: func(f Fault, p *prop.Prop) string {
			return fmt.Sprintf("There are %s too much in %s.", words.Ohms(float64(f.N)/1000), copperName(p, f.Run))
		},
		check: func(pl *plan, f Fault) error { return checkResistance(pl.prop, f) },
		every: func(*prop.Prop) []Fault { return nil },
		effect: effect{supply: func(s *Strip, _ Fault) { s.metered = true },
			feeds: func(c *copper, p *prop.Prop, f Fault) { c.addOhms(p, f) }},
	},
}

func eachRun(p *prop.Prop) []Fault { return inEachRun(p, []Fault{{}}) }

// inEachRun are the given faults, each in every run.
func inEachRun(p *prop.Prop, faults []Fault) []Fault {
	var out []Fault
	for r := range p.Runs {
		for _, f := range faults {
			f.Run = r
			out = append(out, f)
		}
	}
	return out
}

func twoRuns(p *prop.Prop) []Fault {
	var out []Fault
	for _, ab := range pairs(len(p.Runs)) {
		out = append(out, Fault{Run: ab[0], Run2: ab[1]})
	}
	return out
}

// orders are the other permutations of the letters of an order, sorted.
func orders(o prop.Order) []prop.Order {
	var out []prop.Order
	var grow func(head, rest string)
	grow = func(head, rest string) {
		if rest == "" && head != string(o) {
			out = append(out, prop.Order(head))
		}
		for i := range rest {
			grow(head+rest[i:i+1], rest[:i]+rest[i+1:])
		}
	}
	grow("", string(o))
	slices.Sort(out)
	return out
}

// manyOrders is the number of letters from which only some orders are listed: the
// whites in place, or two letters exchanged. Five letters have 119 others.
const manyOrders = 5

func orderFaults(p *prop.Prop) []Fault {
	var out []Fault
	for _, o := range orders(p.Chip.Order) {
		if len(o) < manyOrders || movedLetters(p.Chip.Order, o) <= 2 || whitesStay(p.Chip.Order, o) {
			out = append(out, Fault{Order: o})
		}
	}
	return out
}

// movedLetters is the number of places at which two orders differ.
func movedLetters(a, b prop.Order) (n int) {
	for i := range a {
		if a[i] != b[i] {
			n++
		}
	}
	return n
}

func whitesStay(a, b prop.Order) bool {
	for i := range a {
		if strings.ContainsRune("WC", rune(a[i])) && a[i] != b[i] {
			return false
		}
	}
	return true
}

// whitesRare is the weight of an order: 0.1 when it moves a white (common
// practice), else 1.
func whitesRare(p *prop.Prop, f Fault) float64 {
	if whitesStay(p.Chip.Order, f.Order) {
		return 1
	}
	return 0.1
}

// chipFaults is the chip most easily mistaken for the planned one: RGBW for RGB
// and the reverse, both sold at 60 a metre (common practice).
func chipFaults(p *prop.Prop) []Fault {
	if p.Chip.Order.Slots() == 4 {
		return []Fault{{N: 3}}
	}
	return []Fault{{N: 4}}
}

func channelFaults(p *prop.Prop) []Fault {
	var out []Fault
	for _, ch := range allChannels(p) {
		out = append(out, Fault{Channel: ch})
	}
	return out
}

// colourFaults are the StuckChannel faults of red, green and blue. A stuck white
// looks the same as a pixel with all channels stuck, see stuckWhites.
func colourFaults(p *prop.Prop) []Fault {
	return slices.DeleteFunc(channelFaults(p), func(f Fault) bool { return f.Channel >= patterns.White })
}

// stuckWhites are the stuck white channels that have the same light as f.
func stuckWhites(p *prop.Prop, f Fault) []Fault {
	var out []Fault
	for _, ch := range allChannels(p) {
		if ch >= patterns.White {
			out = append(out, Fault{Kind: StuckChannel, Pixel: f.Pixel, Channel: ch})
		}
	}
	return out
}

// drawOrder draws an order. In half of the cases a fault from a pixel on begins
// at the first of a run, since whole reels are wrong more often than pieces.
func drawOrder(pl *plan, f *Fault, rng *rand.Rand) {
	b := []byte(pl.order)
	rng.Shuffle(len(b), func(i, j int) { b[i], b[j] = b[j], b[i] })
	f.Order = prop.Order(b)
	drawReel(pl, f, rng)
}

func drawReel(pl *plan, f *Fault, rng *rand.Rand) {
	if f.Kind.reads(fieldPixel) && rng.IntN(2) == 0 {
		f.Pixel = pl.first[rng.IntN(len(pl.first))]
	}
}

func checkTwoRuns(pl *plan, f Fault) error {
	if f.Run == f.Run2 {
		return fmt.Errorf("%s cannot be joined or exchanged with itself: name two runs", pl.prop.RunText(f.Run))
	}
	return nil
}
