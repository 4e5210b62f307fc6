package record

import (
	"fmt"
	"time"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// A Page is the content of the bench sheet of one prop.
type Page struct {
	Prop    *prop.Prop
	Rows    []prop.Row
	Power   *power.Report // every channel at full, level 100 %
	Last    Entry         // the last check-out
	Checked bool          // whether there was one
	Tests   []Entry       // the last of each single test
	Notes   []string      // warnings about the record, such as a file changed by hand
	Made    time.Time
	Ringout string // version
}

// NewPage collects the content of a page. The error is a sentence that says what to
// correct in the prop file.
func NewPage(p *prop.Prop, h History, made time.Time, version string) (Page, error) {
	rows, err := prop.RowsFor(p)
	if err != nil {
		return Page{}, err
	}
	report, err := power.Plan(p, 1, power.FullWhite())
	if err != nil {
		return Page{}, err
	}
	pg := Page{Prop: p, Rows: rows, Power: report, Made: made, Ringout: version}
	pg.Last, pg.Checked = h.Last()
	pg.Tests = h.Tests()
	for _, t := range h.Troubles {
		pg.Notes = append(pg.Notes, "Bench record: "+t.Error())
	}
	return pg, nil
}

// Label is the text for the strip of one run, for a label printer or a pen:
// "Porthole · middle ring · 48 px · U1 S109-252 · data in >". A bulb has no data in.
func Label(r prop.Row, bulb bool) string {
	to := fmt.Sprint(r.LastSlot)
	if r.LastUniverse != r.FirstUniverse {
		to = fmt.Sprintf("U%d S%d", r.LastUniverse, r.LastSlot)
	}
	text := fmt.Sprintf("%s · %s · %d px · U%d S%d-%s", plain(r.Prop), plain(r.Run), r.Pixels, r.FirstUniverse, r.FirstSlot, to)
	if bulb {
		return text
	}
	return text + " · data in >"
}

// Labels are the labels of all runs.
func (pg Page) Labels() []string {
	var out []string
	for _, r := range pg.Rows {
		out = append(out, Label(r, pg.Prop.Bulb()))
	}
	return out
}

// A fact is one line of a list: a name and its value.
type fact struct{ What, Value string }

// address lists where the prop listens.
func (pg Page) address() []fact {
	a := pg.Prop.Address
	out := []fact{{"Host", a.HostName()}}
	if a.Interface != "" {
		out = append(out, fact{"Interface", a.Interface})
	}
	packing := "whole: no pixel straddles two universes"
	if a.Packing == prop.Straddle {
		packing = "straddle: all 512 slots are used"
	}
	out = append(out, fact{"Packing", packing}, fact{"Priority", fmt.Sprint(a.Priority)})
	if a.Sync != 0 {
		out = append(out, fact{"Synchronization address", fmt.Sprint(a.Sync)})
	}
	return append(out, fact{"Colour order", pg.order()}, fact{"Pixels", pg.pixels()},
		fact{"Slots a pixel", fmt.Sprint(pg.Prop.Chip.Order.Slots())})
}

// pixels is the number of pixels, and how many of them give no light.
func (pg Page) pixels() string {
	all := pg.Prop.Pixels()
	_, lit := pg.Prop.Lights()
	if lit == all {
		return fmt.Sprint(all)
	}
	return fmt.Sprintf("%d, of which %d give light; keep the %d of empty parts black", all, lit, all-lit)
}

// powerFacts are the figures for work at the supply.
func (pg Page) powerFacts() []fact {
	r := pg.Power
	out := []fact{
		{"Supply", fmt.Sprintf("%s, %s; no more than %s for hours on end", words.Given(pg.Prop.Supply.Volts, "V"), words.Given(r.Supply.Rated, "A"), words.Amps(r.Supply.Limit))},
		{"All white at full level", fmt.Sprintf("%s A; %s dark", r.AmpsText(), words.Amps(r.DarkAmps))},
	}
	switch {
	case pg.Prop.Bulb() && len(r.Feeds) > 0 && r.Feeds[0].NoWire:
		out = append(out, fact{"Highest level in white", fmt.Sprintf("%d %% by the supply; the volts at the bulb are not known: its wire is not given", power.FloorPercent(r.SupplyLevel))})
	case r.MinVolts > 0 && r.Constant.Dead == 0:
		out = append(out, fact{"Highest level in white", r.HighestText()})
	}
	for i, f := range r.Feeds {
		out = append(out, fact{pg.feedName(i), fmt.Sprintf("at %s, %s at full, %s, %s: %s; %s",
			plain(f.Place), f.Check.LoadText(), f.Wire, f.Check.FuseText(), f.Check.Word(), f.Check.ShortText())})
	}
	return out
}

// feedName is a feed's mark in the drawing, with its own name if it has one.
func (pg Page) feedName(i int) string {
	mark := fmt.Sprintf("F%d", i+1)
	if name := plain(pg.Prop.OwnFeedName(i)); name != "" {
		return mark + ", " + name
	}
	return mark
}

// order is the planned colour order, and whether the last check-out confirms it.
func (pg Page) order() string {
	planned := string(pg.Prop.Chip.Order)
	switch {
	case !pg.Checked || pg.Last.Order == "":
		return planned
	case !pg.Last.Fits(pg.Prop):
		return planned + " (not checked since the prop file was changed)"
	case pg.Last.Order == planned:
		return planned + " (checked)"
	}
	return fmt.Sprintf("%s planned; the check-out found %s", planned, plain(pg.Last.Order))
}

// verdict says how the last check-out went, then the last of each single test.
func (pg Page) verdict() (head string, lines []string) {
	head = "Not checked out yet"
	if pg.Checked {
		on := pg.Last.At.Format(Day)
		switch pg.Last.Verdict {
		case Pass:
			head = "Passed its check-out on " + on
		case Fail:
			head = "Did not pass its check-out on " + on
		default:
			head = "Check-out stopped half-way on " + on
		}
		head += pg.before(pg.Last)
		lines = append(lines, findings(pg.Last)...)
		lines = append(lines, pg.asFound(pg.Last)...)
		if pg.Last.Notes != "" {
			lines = append(lines, "note: "+plain(pg.Last.Notes))
		}
	}
	for _, e := range pg.Tests {
		lines = append(lines, e.kind()+" of "+e.At.Format(Day)+": "+plain(string(e.Verdict))+pg.before(e))
		lines = append(lines, findings(e)...)
		lines = append(lines, pg.asFound(e)...)
	}
	return head, lines
}

// before says that an entry is of the prop before a change: it does not vouch for what this
// sheet hands over.
func (pg Page) before(e Entry) string {
	switch {
	case e.Edited:
		return ", by a line that was changed after ringout wrote it: check it again"
	case e.Unfiled:
		return ", with other figures than the prop file had: check it again"
	case !e.Fits(pg.Prop):
		return ", before runs, colour order or address were changed: check it again"
	case e.Test == LoadTest && !e.fitsCopper(pg.Prop):
		return ", before supply, feeds, wires or chip were changed: measure it again"
	}
	return ""
}

// findings are the faults of an entry, and whether they were repaired.
func findings(e Entry) (lines []string) {
	for _, f := range e.Findings {
		switch {
		case f.Kind == "good":
		case f.Fixed:
			lines = append(lines, "mended: "+plain(f.Text))
		default:
			lines = append(lines, "open: "+plain(f.Text))
		}
	}
	return lines
}

// cautions are printed on every page.
func (pg Page) cautions() []string {
	return append([]string{"These are estimates for a bench. Local codes, the makers' instructions and licensed people come first."},
		append(pg.Power.Cautions, "Don't stare into a light at full white; light that flashes more than three times a second can set off seizures.")...)
}
