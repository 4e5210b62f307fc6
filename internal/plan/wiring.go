package plan

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/shopping"
	"example.org/ringout/internal/words"
)

// A LeadConductor is one conductor to solder: its colour and the pads at its ends.
type LeadConductor struct {
	Joint  int     `json:"joint"` // from 1, as J1 in the text: 1 is the lead from the controller
	Colour string  `json:"colour"`
	From   string  `json:"from"`
	To     string  `json:"to"`
	Metres float64 `json:"length_m"`
}

// wiring lists the conductors, joint by joint.
func wiring(p *prop.Prop, joints []prop.Joint) []LeadConductor {
	var out []LeadConductor
	clocked := prop.Clocked(p.Chip)
	for i, j := range joints {
		to := p.Runs[j.To].Name
		for _, c := range shopping.Colours(j, clocked) {
			out = append(out, LeadConductor{i + 1, c.Colour, wireFrom(p, j, c.Pad), fmt.Sprintf("%s in of %s, pixel %d", c.Pad, to, j.FirstPixel+1), j.Lead})
		}
	}
	return out
}

// wireFrom is the pad where a conductor of a joint starts.
func wireFrom(p *prop.Prop, j prop.Joint, pad string) string {
	switch {
	case j.From >= 0:
		return fmt.Sprintf("%s out of %s, pixel %d", pad, p.Runs[j.From].Name, j.LastPixel+1)
	case pad == shopping.Plus:
		return "plus of the supply, through its fuse"
	}
	return pad + " of the controller"
}

// writeJoints lists what to solder, joint by joint; J1 is the lead from the
// controller: the numbers are those of the flex test and of the sheet.
func (pl *Plan) writeJoints(w *writer) {
	if pl.Prop.Bulb() {
		w.header("Data")
		w.item("nothing to solder: the network reaches the bulb")
		return
	}
	w.header("Power off, then solder: joint by joint")
	if len(pl.Prop.Runs) > 1 {
		w.item("pixels have their numbers in the whole prop")
	}
	rows := pl.Wiring
	wide := 0
	for _, r := range rows {
		wide = max(wide, utf8.RuneCountInString(r.From))
	}
	for i, j := range pl.Joints {
		apart := ""
		switch {
		case j.SupplyApart && i == 0:
			apart = "; no plus: the feeds bring the supply"
		case j.SupplyApart:
			apart = "; plus stays apart"
		}
		long := " of " + pl.length(j.Lead)
		if j.Lead == 0 {
			long = ", no length in the file"
		}
		w.item("J%d %s: %s%s, %s%s", i+1, j.Name(pl.Prop), words.Count(j.Conductors, "wire"), long, leadName(pl.Prop), apart)
		for len(rows) > 0 && rows[0].Joint == i+1 {
			w.raw(fmt.Sprintf("  %-6s  %s%s  →  %s\n", rows[0].Colour, rows[0].From, strings.Repeat(" ", wide-utf8.RuneCountInString(rows[0].From)), rows[0].To))
			rows = rows[1:]
		}
	}
	for i, r := range pl.Prop.Runs {
		if r.Closed {
			w.item("%s is closed: power off, then join plus and ground of its end to those of its start; never the data (run %d)%s", r.Name, i+1, pl.openPlus(i))
		}
	}
	for _, s := range pl.Materials.Wires {
		w.item("%s of %s for %s, all conductors end to end", pl.length(s.Metres), s.Wire, s.For)
	}
	w.item("heat-shrink: %s thin for %d pads, %s wide for strip ends (common practice; add a reserve)",
		pl.length(pl.Materials.PadSleeves), pl.Materials.SolderPads, pl.length(pl.Materials.EndSleeves))
}

// openPlus says that the closing joint of a run is left open in plus where several
// supplies share the run.
func (pl *Plan) openPlus(run int) string {
	if slices.Contains(pl.Power.CutRings(pl.Prop), run) {
		return "; with several supplies join ground alone there"
	}
	return ""
}

func leadName(p *prop.Prop) string {
	if p.LeadWire == (prop.Wire{}) {
		return power.WireName(prop.DefaultLeadWire)
	}
	return power.WireName(p.LeadWire)
}

// writeFeeds writes what to solder at the supply: wire, fuse and place of each feed,
// with its current.
func (pl *Plan) writeFeeds(w *writer) {
	w.header("Power off, then feed and fuse")
	for _, f := range pl.Power.Feeds {
		if pl.Prop.Bulb() && len(pl.Prop.Feeds) == 0 { // its wires are not known
			w.item("%s: %s; %s: %s; %s", f.Name, words.Amps(f.Amps), f.Check.FuseText(), f.Check.Word(), f.Check.ShortText())
			continue
		}
		w.item("%s, at %s, %s: %s (likely about %s), %s lost in its wires; %s: %s; %s", f.Name, f.Place, f.Wire, f.Check.LoadText(), words.Amps(f.Sagging), words.Volts(f.Drop),
			f.Check.FuseText(), f.Check.Word(), f.Check.ShortText())
	}
	w.item("red from the supply's plus through the fuse, black from its minus; the mains side is for licensed people and local codes")
}
