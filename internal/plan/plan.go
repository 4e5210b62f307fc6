// Package plan combines what the builder must know before soldering: counts, cuts,
// wire, route, addresses and power of one prop or several, for a terminal, as JSON and
// for the screens.
//
// Units are those of packages prop and power; text uses the units of the prop file.
// Nothing here reads a file or a clock.
package plan

import (
	"errors"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// StartLevel is the level at which the bench starts, from 0 to 1.
const StartLevel = 0.2

// A Plan holds all figures of one prop. It is not changed once made.
type Plan struct {
	Prop      *prop.Prop
	Rows      []prop.Row
	Other     []prop.Row // in the packing that the file does not give; nil when it does not fit
	Fits      []RunFit
	Strip     *prop.CutPlan // strip from reels; nil when no reel is given or nothing is cut
	StripErr  error         // why there is no cutting plan
	Tube      float64       // metres of tube over all runs; 0 when the file gives none
	Coil      *prop.CutPlan // tube from coils; nil when no coil is given or nothing is cut
	CoilErr   error         // why there is none, when a coil is given
	Nest      []Nest
	Backbone  []prop.Mark // on a straight bar through nested rings; Ring indexes Nest
	Joints    []prop.Joint
	Wiring    []LeadConductor // every conductor of every joint
	Materials prop.Materials
	Data      *Data         // nil for a bulb, which is on the network itself
	Heat      []RunHeat     // at the requested level
	Power     *power.Report // at the requested level and colour
	Start     *power.Report // the same colour at StartLevel
	String    *StringPlan   // the route of a sign's string; For leaves it nil
	Dead      float64       // watts when the prop is dark
}

// A RunFit is a run whose count was worked out from its length.
type RunFit struct {
	Run int
	prop.Fit
}

// A Nest is one ring of a set of nested rings. Plan.Nest lists them outermost first.
type Nest struct {
	Run      int
	Diameter float64 // metres
	Around   float64 // circumference, metres
	Gap      float64 // metres to the ring inside it, tube to tube; 0 for the innermost
}

// For works out the plan of a prop with every pixel at one colour and level (0 to 1).
// The error is a sentence that says what to correct in the file.
func For(p *prop.Prop, level float64, colour patterns.Colour) (*Plan, error) {
	rows, err := prop.RowsFor(p)
	if err != nil {
		return nil, err
	}
	full, err := power.Plan(p, level, colour)
	if err != nil {
		return nil, err
	}
	start, err := full.AtLevel(p, StartLevel)
	if err != nil {
		return nil, err
	}
	other, err := prop.RowsPacked(p.Address.Packing.Other(), p)
	if err != nil { // straddling takes fewer slots, so only it may fit the last universe
		other = nil
	}
	pl := &Plan{Prop: p, Rows: rows, Other: other, Joints: prop.Joints(p), Materials: prop.MaterialsFor(p),
		Power: full, Start: start, Dead: full.DarkAmps * p.Supply.Volts}
	pl.lengths()
	pl.cuts()
	pl.tubes()
	pl.nest()
	pl.Wiring = wiring(p, pl.Joints)
	pl.Data, pl.Heat = pl.data(), runHeats(p, full)
	return pl, nil
}

// At returns the plan at another level (0 to 1). Only Power and Heat depend on it; the
// copy shares everything else with pl.
func (pl *Plan) At(level float64) (*Plan, error) {
	r, err := pl.Power.AtLevel(pl.Prop, level)
	if err != nil {
		return nil, err
	}
	out := *pl
	out.Power, out.Heat = r, runHeats(pl.Prop, r)
	return &out, nil
}

// lengths adds up the tube and works out the fit of each run that has a length.
func (pl *Plan) lengths() {
	for i, r := range pl.Prop.Runs {
		if r.Cut > 0 {
			pl.Tube += r.Cut
			pl.Fits = append(pl.Fits, RunFit{i, prop.FitLength(r.Cut, pl.Prop.Chip)})
		}
	}
}

// cuts plans the cutting of strip from reels.
func (pl *Plan) cuts() {
	pieces := prop.StripPieces(pl.Prop)
	if len(pieces) == 0 {
		return
	}
	if pl.Prop.Reel <= 0 {
		pl.StripErr = errors.New("the file gives no reel length, so there is no cutting plan")
		return
	}
	cuts, err := prop.PlanCuts(pieces, pl.Prop.Reel)
	if err != nil {
		pl.StripErr = err
		return
	}
	pl.Strip = &cuts
}

// tubes plans the cutting of tube from coils, if the file gives the length of a coil.
func (pl *Plan) tubes() {
	pieces := prop.TubePieces(pl.Prop)
	if len(pieces) == 0 || pl.Prop.Coil <= 0 {
		return
	}
	cuts, err := prop.PlanCuts(pieces, pl.Prop.Coil)
	if err != nil {
		pl.CoilErr = err
		return
	}
	pl.Coil = &cuts
}

// nest works out the spacing of rings that share a centre.
func (pl *Plan) nest() {
	runs, diameters := prop.RingDiameters(pl.Prop)
	var ds []float64
	for k, r := range runs {
		if pl.Prop.Runs[r].Shape.Centre == pl.Prop.Runs[runs[0]].Shape.Centre {
			pl.Nest = append(pl.Nest, Nest{Run: r, Diameter: diameters[k], Around: prop.Circumference(diameters[k])})
		}
	}
	if len(pl.Nest) < 2 {
		pl.Nest = nil
		return
	}
	outermostFirst(pl.Nest)
	for i := range pl.Nest[:len(pl.Nest)-1] {
		pl.Nest[i].Gap = prop.NestSpacing(pl.Nest[i].Around, pl.Nest[i+1].Around)
	}
	for _, n := range pl.Nest {
		ds = append(ds, n.Diameter)
	}
	pl.Backbone = prop.Backbone(ds)
}
