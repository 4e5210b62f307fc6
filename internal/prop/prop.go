// Package prop describes the prop on the bench: its runs in wiring order, chip, supply,
// feeds and address, read from one hand-edited file.
//
// Units: metres, volts, amps. Pixels count from 0 in data order across all runs.
// Universes have the standard's numbers 1 to 63999. Slots count from 1 in files, on
// screens and in text, and from 0 inside; this package converts.
package prop

import (
	"fmt"
	"sort"
)

// A Chip is a kind of addressable pixel.
type Chip struct {
	Name           string  // as the maker prints it, "WS2812B"
	Volts          float64 // nominal supply
	MinVolts       float64 // lowest supply at which it works
	Order          Order   // wire order; its length is the slots a pixel takes
	LightsPerMetre float64 // LEDs on a metre of strip
	LightsPerPixel int     // LEDs one address drives: 1, or 3 on grouped 12 V strip
	IdleAmps       float64 // current of a dark pixel
	ChannelAmps    float64 // current of one channel at 255
}

// PixelsPerMetre is the density in addresses, not in LEDs.
func (c Chip) PixelsPerMetre() float64 {
	if c.LightsPerPixel < 1 {
		return c.LightsPerMetre
	}
	return c.LightsPerMetre / float64(c.LightsPerPixel)
}

// A ShapeKind is the shape of a run.
type ShapeKind string

// The shapes a run can have.
const (
	Line    ShapeKind = "line"
	Ring    ShapeKind = "ring"
	Star    ShapeKind = "star"
	Outline ShapeKind = "outline" // straight stretches between points
	String  ShapeKind = "string"  // pixels on cords, each at a point of its own
)

// A Point is a position on the drawing, in metres, x to the right and y up, as seen
// from in front of the lit face.
type Point struct{ X, Y float64 }

// A Shape is how a run lies on the drawing.
type Shape struct {
	Kind     ShapeKind
	Centre   Point
	Diameter float64 // ring, star: of the circle its outer points touch
	Points   int     // star: number of points
	Start    float64 // ring, star: degrees clockwise from the top where data enters
	Angle    float64 // line: degrees, 0 to the right, 90 up
	Corners  []Point // outline; a line given by its ends; the pixels of a string
}

// A Run is one continuous piece of strip.
type Run struct {
	Name    string
	Pixels  int     // always set: given, or worked out from the cut
	Cut     float64 // metres of strip; 0 when only a count is known
	Shape   Shape
	Reverse bool    // data travels against the drawing: clockwise is forward on a ring
	LeadIn  float64 // metres of wire before and after it
	LeadOut float64
	Closed  bool // supply rails of its two ends are joined, as on a ring fed from both
	Apart   bool // its plus rail is not joined to the run before it; ground and data still are

	JointOhms float64 // extra resistance of each rail at the joint to the run before it, ohms; 0 for a good joint
}

// A Part is a named range of pixels that belong together.
type Part struct {
	Name        string
	First, Last int  // pixels from 0 in data order, both included
	Empty       bool // gives no light: no LED there, or one kept dark and hidden
}

// A Supply is the power supply of the prop.
type Supply struct {
	Volts      float64
	Amps       float64 // rating on its plate
	Continuous float64 // share of the rating for continuous load; 0.8 unless given
}

// ContinuousShare is the share of a supply's rating for continuous load when the file
// gives none (common practice; 1/1.25, as in sizing for 125 % of a load of three hours
// or more).
const ContinuousShare = 0.8

// Share is the share of the rating for continuous load.
func (s Supply) Share() float64 {
	if s.Continuous == 0 {
		return ContinuousShare
	}
	return s.Continuous
}

// A Feed is a point where supply wires enter.
type Feed struct {
	Name      string
	Pixel     int     // pixel where the wires join the rails; its last pixel for the end of a run
	WireMetre float64 // one-way length of wire
	Wire      Wire
	FuseAmps  float64 // 0 when none is given
}

// A Wire is a conductor by gauge or by area; exactly one is set.
type Wire struct {
	AWG   int     // 0 when given by area
	MM2   float64 // 0 when given by gauge
	Solid bool    // one thick strand; hook-up wire is stranded
	Clad  bool    // copper-clad aluminium, as much cheap LED wire is
}

// A Packing is how pixels fill universes.
type Packing string

// The two packings.
const (
	Whole    Packing = "whole"    // a pixel never straddles two universes: 170 RGB, 128 RGBW
	Straddle Packing = "straddle" // all 512 slots are used
)

// An Address is where the prop listens.
type Address struct {
	Host      string  // name or IP address; empty means multicast
	Port      uint16  // 0 means 5568 (ANSI E1.31-2018 9.1.1)
	Interface string  // empty lets the system choose
	Universe  uint16  // of the first slot, 1 to 63999
	Slot      int     // first slot, from 0 inside, from 1 in files and on screens
	Packing   Packing // empty means Whole
	Priority  uint8   // 0 to 200
	Sync      uint16  // synchronization address; 0 means none
}

// A Prop is a whole prop as its file describes it.
type Prop struct {
	Name    string
	Chip    Chip
	Runs    []Run
	Parts   []Part
	Supply  Supply
	Feeds   []Feed
	Reel    float64 // metres of strip on one reel; 0 when not given
	Coil    float64 // metres of tube on one coil; 0 when not given
	Address Address
	Sign    *Sign // plate of holes for its string; nil for none
	Inches  bool  // the file uses inches, so the output does

	RailOhms float64 // per metre of one supply rail of the strip; 0 when not given
	LeadWire Wire    // of the leads between runs; zero when not given

	WireCelsius float64 // temperature of feeds and leads, °C; 0 when not given, which means 20
}

// DefaultRailOhms is the resistance of one supply rail of a strip, ohms per
// metre, when the file gives none: a published measurement of 5 m of WS2812B
// strip at 60 a metre gave 1 ohm a rail.
const DefaultRailOhms = 0.2

// DefaultLeadWire is the wire of leads when the file gives none (common
// practice).
var DefaultLeadWire = Wire{AWG: 20}

// Pixels is the count over all runs.
func (p *Prop) Pixels() int {
	n := 0
	for i := range p.Runs { // by index: a Run is large to copy
		n += p.Runs[i].Pixels
	}
	return n
}

// Lights reports for each pixel whether it gives light: false in empty parts. lit is
// the number that do.
func (p *Prop) Lights() (on []bool, lit int) {
	on = make([]bool, p.Pixels())
	for i := range on {
		on[i] = true
	}
	for _, t := range p.Parts {
		if t.Empty {
			clear(on[min(max(t.First, 0), len(on)):max(0, min(t.Last+1, len(on)))])
		}
	}
	for _, l := range on {
		if l {
			lit++
		}
	}
	return on, lit
}

// Starts returns the first pixel of each run in one pass.
func (p *Prop) Starts() []int {
	out := make([]int, len(p.Runs))
	at := 0
	for i := range p.Runs {
		out[i] = at
		at += p.Runs[i].Pixels
	}
	return out
}

// A Finder finds the runs of many pixels by binary search, where Prop.Find walks over
// all runs. The prop's runs must not change while it is used.
type Finder struct {
	prop   *Prop
	starts []int
}

// Finder returns a Finder for the prop.
func (p *Prop) Finder() Finder { return Finder{p, p.Starts()} }

// Find does the same as Prop.Find.
func (f Finder) Find(i int) (run, at int) {
	run = sort.SearchInts(f.starts, i+1) - 1 // the last run that begins at or before i; a run without pixels shares the start of the next
	if i < 0 || run < 0 || i-f.starts[run] >= f.prop.Runs[run].Pixels {
		return -1, 0
	}
	return run, i - f.starts[run]
}

// RunName is the name of run i, or "run 2" if it has none.
func (p *Prop) RunName(i int) string {
	if p.hasName(i) {
		return p.Runs[i].Name
	}
	return spotName("run", i)
}

// OwnFeedName is the name that the file gives feed i (from 0); "" if it has none or there is
// no such feed.
func (p *Prop) OwnFeedName(i int) string {
	if i >= len(p.Feeds) || p.Feeds[i].Name == spotName("feed", i) {
		return ""
	}
	return p.Feeds[i].Name
}

// hasName reports whether there is a run i with a name of its own.
func (p *Prop) hasName(i int) bool { return i >= 0 && i < len(p.Runs) && p.Runs[i].Name != "" }

// QuotedRun is RunName for sentences, with a given name in quotes: `"inner ring"`, or
// "run 2".
func (p *Prop) QuotedRun(i int) string {
	name := p.RunName(i)
	if p.hasName(i) {
		return fmt.Sprintf("%q", name)
	}
	return name
}

// RunText is RunName with the word run: `run "inner ring"`, or "run 2".
func (p *Prop) RunText(i int) string {
	if p.hasName(i) {
		return "run " + p.QuotedRun(i)
	}
	return p.RunName(i)
}

// FirstPixel is the index in data order of the first pixel of run i.
func (p *Prop) FirstPixel(i int) int {
	n := 0
	for k := range i {
		n += p.Runs[k].Pixels
	}
	return n
}

// Find returns the run that contains pixel i and the pixel's index in that run, both
// from 0; -1, 0 for a pixel the prop does not have.
func (p *Prop) Find(i int) (run, at int) {
	if i < 0 {
		return -1, 0
	}
	for r := range p.Runs {
		if i < p.Runs[r].Pixels {
			return r, i
		}
		i -= p.Runs[r].Pixels
	}
	return -1, 0
}
