package plan

import (
	"cmp"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/words"
)

// powerOff stands before everything that is cut, soldered or joined: common practice.
const powerOff = "Power off before you cut, solder, join or change a fuse. The mains side is for licensed people, by local codes."

// outermostFirst sorts by diameter; rings of equal size keep file order.
func outermostFirst(n []Nest) {
	sorting.Stable(n, func(a, b Nest) int { return cmp.Compare(b.Diameter, a.Diameter) })
}

// Text is the plan for a terminal of the given width, or for paper, in the order of
// work: cut, drill, solder, feed and fuse, address; then the figures behind it.
func (pl *Plan) Text(width int) string {
	w := &writer{width: max(width, 40)}
	p := pl.Prop
	w.line("%s: %s of %s in %s", p.Name, words.Count(p.Pixels(), "pixel"), p.Chip.Name, words.Count(len(p.Runs), "run"))
	if r := pl.Power; r.Lights < r.Pixels {
		w.line("%d of them give light; %d in empty parts stay dark in every pattern and are not counted as lit", r.Lights, r.Pixels-r.Lights)
	}
	w.WriteString("\n")
	w.item(powerOff)
	if text := pl.Power.WireText(); text != "" {
		w.item("%s", text)
	}
	if pl.String != nil {
		w.WriteString(pl.String.Text(width))
	}
	pl.writeCounts(w)
	pl.writeFeeds(w)
	pl.writeSupplies(w)
	pl.writeAddresses(w)
	pl.writePower(w)
	pl.writeHeat(w)
	pl.writeData(w)
	w.header("Warnings")
	for _, s := range pl.Power.Cautions {
		w.item("%s", s)
	}
	return w.String()
}

func (pl *Plan) writeAddresses(w *writer) {
	own := pl.Prop.Address.Packing
	w.header("Address")
	w.raw(prop.RowsText(pl.Rows))
	w.item("Packing is %s.", own.About())
	switch {
	case pl.Other == nil:
		w.item("With packing %s it needs more slots than universe %d holds.", own.Other().About(), prop.MaxUniverse)
	case prop.SameSlots(pl.Rows, pl.Other):
		w.item("The other packing gives the same slots here.")
	default:
		w.item("With packing %s:", own.Other().About())
		w.raw(prop.RowsText(pl.Other))
	}
}

// Counts is the part of Text about pixels, cuts, rings, joints and wire, for a part of a page.
func (pl *Plan) Counts(width int) string {
	w := &writer{width: max(width, 24)}
	pl.writeCounts(w)
	pl.writeFeeds(w)
	pl.writeSupplies(w)
	pl.writeHeat(w)
	pl.writeData(w)
	return strings.TrimLeft(w.String(), "\n")
}

func (pl *Plan) writeCounts(w *writer) {
	pl.writeLengths(w)
	pl.writeCuts(w)
	pl.writeNest(w)
	pl.writeJoints(w)
}

func (pl *Plan) length(metres float64) string { return prop.FormatLength(metres, pl.Prop.Inches) }

// writeLengths writes how each length was counted, and where the file differs.
func (pl *Plan) writeLengths(w *writer) {
	if len(pl.Fits) == 0 {
		return
	}
	w.header("Cut: counts from lengths")
	for _, f := range pl.Fits {
		r := pl.Prop.Runs[f.Run]
		line := fmt.Sprintf("%s, %s: %s", r.Name, pl.length(f.Length), f.Say(pl.Prop.Inches))
		if r.Pixels != f.Whole {
			line += fmt.Sprintf("; the file says %d", r.Pixels)
		}
		w.item("%s", line)
	}
	w.item("Rounded down to whole pixels, since strip is cut only at its pads.")
	w.item("%s of tube in all", pl.length(pl.Tube))
}

func (pl *Plan) writeCuts(w *writer) {
	pl.writeStock(w, "Cut: strip", "reel", pl.Strip, pl.StripErr)
	pl.writeStock(w, "Cut: tube", "coil", pl.Coil, pl.CoilErr)
}

// writeStock writes how to cut reels or coils and whether fewer would do; why is the
// reason if there is no plan.
func (pl *Plan) writeStock(w *writer, head, stock string, cuts *prop.CutPlan, why error) {
	if cuts == nil && why == nil {
		return
	}
	w.header(head)
	if why != nil {
		w.item("%s.", words.Capital(why.Error()))
		return
	}
	for i, r := range cuts.Reels {
		var parts []string
		for _, c := range r.Pieces {
			parts = append(parts, fmt.Sprintf("%s %s", c.Name, pl.length(c.Metres)))
		}
		w.item("%s %d: %s; %s left", stock, i+1, strings.Join(parts, ", "), pl.length(r.Left))
	}
	for _, p := range cuts.TooLong {
		w.item("%s.", cuts.SayTooLong(p))
	}
	if len(cuts.Reels) == 0 {
		return
	}
	proof := fmt.Sprintf("no plan needs fewer %ss", stock)
	if !cuts.Proven {
		proof = fmt.Sprintf("at least %d are needed whatever the plan; fewer than this might do", cuts.AtLeast)
	}
	n := len(cuts.Reels)
	w.item("%d %s of %s; %s.", n, words.Plural(n, stock, stock+"s"), pl.length(cuts.Reel), proof)
}

func (pl *Plan) writeNest(w *writer) {
	if len(pl.Nest) == 0 {
		return
	}
	w.header("Drill: nested rings")
	length := prop.SameUnit(pl.Nest[0].Diameter, pl.Prop.Inches) // one unit for all, since they are measured along one rule
	for _, n := range pl.Nest {
		line := fmt.Sprintf("%s: %s across, %s around", pl.Prop.Runs[n.Run].Name, length(n.Diameter), length(n.Around))
		if n.Gap > 0 {
			line += fmt.Sprintf("; %s to the next ring in", length(n.Gap))
		}
		w.item("%s", line)
	}
	var marks []string
	for _, m := range pl.Backbone {
		marks = append(marks, fmt.Sprintf("%s (%s)", length(m.At), pl.Prop.Runs[pl.Nest[m.Ring].Run].Name))
	}
	w.item("on a straight backbone, mark and drill at %s", strings.Join(marks, ", "))
}

func (pl *Plan) writePower(w *writer) {
	r := pl.Power
	w.header(fmt.Sprintf("Power at level %s", words.Percent(r.Level)))
	w.item("%s A of a supply that gives %s for hours on end (%s x %s); %s dark; one pixel %s", r.AmpsText(),
		words.Amps(r.Supply.Limit), words.Given(r.Supply.Rated, "A"), words.WholePercent(r.Supply.Continuous), words.Amps(r.DarkAmps), words.Milliamps(r.PixelAmps))
	w.item("at the bench's start level of %s: %s A", words.WholePercent(StartLevel), pl.Start.AmpsText())
	if c := r.Constant; pl.BulbWireMissing() {
		w.item("the volts at the bulb are not known: the file does not give the wire of %s", r.Feeds[0].Name)
	} else if c.Dead == 0 && len(c.Amps) > 0 {
		w.item("lowest voltage %s at %s at worst, likely about %s. %s works from %s: %s%s",
			words.Volts(c.Lowest), power.PlaceName(pl.Prop, c.At), words.Volts(r.Sagging.Lowest), pl.Prop.Chip.Name, words.Volts(r.MinVolts), r.HoldText(), saggingLevel(r))
	}
	for _, s := range r.Findings {
		w.item("%s", s)
	}
	if r.Pixels > 1 {
		w.header("Voltage along the pixels")
		w.raw(strings.Join(r.Chart(min(w.width, 100)-2, 12), "\n") + "\n")
	}
	w.header("Assumed")
	for _, s := range r.Assumed {
		w.item("%s", s)
	}
}

// saggingLevel returns, in brackets, the highest level at which every pixel still gets
// MinVolts when the current falls with the voltage, as in real strip; empty if there is
// none.
func saggingLevel(r *power.Report) string {
	if level := power.FloorPercent(r.HoldSagging); level > 0 {
		return fmt.Sprintf(" (likely about %d %%)", level)
	}
	return ""
}

// BulbWireMissing reports whether the prop is a bulb whose wire is not in the file, so that no
// one can tell what volts reach it.
func (pl *Plan) BulbWireMissing() bool {
	feeds := pl.Power.Feeds
	return pl.Prop.Bulb() && len(feeds) > 0 && feeds[0].NoWire
}

// writeSupplies writes the pixels and feeds of each supply, if one supply is not
// enough.
func (pl *Plan) writeSupplies(w *writer) {
	if pl.Power.Supplies == nil {
		return
	}
	w.header("Supplies for full level")
	w.item("%s", pl.Power.CutsText(pl.Prop))
	for i, s := range pl.Power.Supplies {
		var feeds []string
		for _, f := range s.Feeds {
			feeds = append(feeds, fmt.Sprintf("%s at %s, %s", f.Name, f.Place, f.LoadText()))
		}
		w.item("supply %d: pixels %d to %d, %s; %s", i+1, s.First+1, s.Last+1, words.Amps(s.Amps), strings.Join(feeds, "; "))
	}
}

// A writer prints lines and wraps them.
type writer struct {
	strings.Builder
	width int
}

func (w *writer) line(format string, args ...any) {
	fmt.Fprintf(w, format+"\n", args...)
}

func (w *writer) header(s string) { fmt.Fprintf(w, "\n%s\n", s) }

func (w *writer) raw(s string) {
	for l := range strings.Lines(s) {
		w.WriteString("  " + l)
	}
}

// item prints a paragraph with a dash, wrapped at spaces.
func (w *writer) item(format string, args ...any) {
	lead := "  - "
	for _, line := range filled(together(strings.Fields(fmt.Sprintf(format, args...))), w.width-len(lead)) {
		w.WriteString(lead + strings.Join(line, " ") + "\n")
		lead = "    "
	}
}

// unit matches what stands after a figure and is never on the line below it.
var unit = regexp.MustCompile(`^([kmµ]?[AVW]|ohms?|Ω|mm2?|cm|m|in|ft|AWG|%|deg|ms)[.,;:)]*$`)

// together joins each figure with its unit.
func together(words []string) (out []string) {
	for _, word := range words {
		if last := len(out) - 1; last >= 0 && unit.MatchString(word) && strings.ContainsAny(out[last][len(out[last])-1:], "0123456789") {
			out[last] += " " + word
			continue
		}
		out = append(out, word)
	}
	return out
}

// filled puts words into lines of a width. A last line of one word or under a third of it takes words from
// the line before, while that stays the longer one, or the last has one word only.
func filled(all []string, width int) (lines [][]string) {
	length := func(line []string) int { return utf8.RuneCountInString(strings.Join(line, " ")) }
	for _, word := range all {
		if n := len(lines) - 1; n >= 0 && length(lines[n])+1+utf8.RuneCountInString(word) <= width {
			lines[n] = append(lines[n], word)
			continue
		}
		lines = append(lines, []string{word})
	}
	alone := func(line []string) bool { return len(line) == 1 && !strings.Contains(line[0], " ") }
	for n := len(lines) - 1; n > 0 && (3*length(lines[n]) < width || alone(lines[n])); {
		before := lines[n-1]
		last := len(before) - 1
		longer := length(append([]string{before[last]}, lines[n]...))
		if last == 0 || longer > width || length(before[:last]) <= longer && (!alone(lines[n]) || alone(before[:last])) {
			break
		}
		lines[n-1], lines[n] = before[:last], append([]string{before[last]}, lines[n]...)
	}
	return lines
}
