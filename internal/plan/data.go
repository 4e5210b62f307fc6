package plan

import (
	"fmt"
	"math"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// Data is the data timing of one output. A prop is one string of pixels on one output.
// Times are seconds, lengths metres.
type Data struct {
	Line     prop.DataLine
	Known    bool          // the chip is in the table; otherwise typical timing is assumed
	Frame    float64       // time of one frame on the wire: bit time x bits x pixels + reset
	Refresh  float64       // frames a second that this allows
	Most     []OutputLimit // most pixels on one output at usual rates
	Packets  int           // a second at StreamRate, synchronization not counted
	Lead     float64       // controller to first pixel
	NeedHigh float64       // lowest volts the first pixel reads as a one; 0 when not known
	Says     []string      // rates, levels and leads to heed, one sentence each
}

// OutputLimit is the most pixels that one output can refresh at a rate.
type OutputLimit struct {
	Rate   float64 `json:"hertz"`
	Pixels int     `json:"pixels"`
}

// StreamRate is the usual rate of a stream, in packets a second for each universe: that
// of a full universe of DMX512-A, 44 Hz.
const StreamRate = 44

// Levels of the data wire, from the WS2812B datasheet: a one is at least 0.7 of the
// pixel's own supply. Chips for 12 V and more run their input from an internal 5 V (a
// public list of pixel chips corrects their datasheets here).
const (
	highShare     = 0.7
	internalVolts = 5.0
	outputVolts   = 3.3 // high level of many controllers' outputs (common practice)
)

// Lengths of data wire (common practice, from memory; they differ with wire and
// surroundings).
const (
	plainLead  = 3.0  // up to this length a lead needs only a series resistor
	drivenLead = 10.0 // up to this length it needs a 5 V driver near the controller and a resistor
)

// clockedExtra is the number of extra bits for clocked chips: 32 zeros before the
// pixels and half a bit per pixel after them (format documents).
func clockedExtra(pixels int) float64 { return 32 + float64(pixels)/2 }

// frameTime is the time of one frame on the wire, in seconds. A slot is eight bits;
// clocked chips take 32 per pixel, eight of them for their level.
func frameTime(c prop.Chip, d prop.DataLine, pixels int) float64 {
	bits := float64(8*c.Order.Slots()) * float64(pixels)
	if d.Clocked {
		bits = 32*float64(pixels) + clockedExtra(pixels)
	}
	return 1e-6 * (bits*d.BitMicros + d.ResetMicros)
}

// mostPixels is the most pixels that one output can refresh at a rate in hertz; 0 if
// the reset alone takes longer than a frame.
func mostPixels(c prop.Chip, d prop.DataLine, hertz float64) int {
	each := frameTime(c, d, 1) - frameTime(c, d, 0)
	return max(0, int(math.Floor((1/hertz-frameTime(c, d, 0))/each+1e-9)))
}

// data works out the data timing; nil for a bulb, which is on the network itself.
func (pl *Plan) data() *Data {
	p := pl.Prop
	k, known := prop.KnownByName(p.Chip.Name)
	if known && k.Data == (prop.DataLine{}) {
		return nil
	}
	if !known {
		k.Data = prop.DataLine{BitMicros: 1.25, ResetMicros: 300, Source: "the usual 800 kHz and a long reset, from memory"}
	}
	d := &Data{Line: k.Data, Known: known, Lead: p.Runs[0].LeadIn}
	d.Frame = frameTime(p.Chip, d.Line, p.Pixels())
	d.Refresh = 1 / d.Frame
	for _, rate := range []float64{20, 40, 44} {
		d.Most = append(d.Most, OutputLimit{rate, mostPixels(p.Chip, d.Line, rate)})
	}
	d.Packets = len(pl.universes()) * StreamRate
	d.NeedHigh = highShare * min(p.Supply.Volts, internalVolts)
	pl.sayRate(d)
	pl.sayLead(d)
	return d
}

// universes lists the universes in use, ascending.
func (pl *Plan) universes() []int {
	var out []int
	for _, r := range pl.Rows {
		for u := r.FirstUniverse; u <= r.LastUniverse; u++ {
			if len(out) == 0 || out[len(out)-1] < u {
				out = append(out, u)
			}
		}
	}
	return out
}

func (d *Data) say(format string, a ...any) { d.Says = append(d.Says, fmt.Sprintf(format, a...)) }

// sayRate reports that the data line is too slow for StreamRate: WS2812B at 1.25 µs a
// bit and 24 bits a pixel takes 30 µs a pixel, so at most about 755 (datasheet).
func (pl *Plan) sayRate(d *Data) {
	n := pl.Prop.Pixels()
	if d.Refresh >= StreamRate {
		return
	}
	most := d.Most[len(d.Most)-1].Pixels
	outputs := (n + most - 1) / max(most, 1)
	rate := fmt.Sprintf("%d pixels on one output take %.1f ms a frame: no more than %.1f frames a second reach them, whatever is sent.", n, 1000*d.Frame, d.Refresh)
	d.say("%s For %d a second put at most %d on an output: %d outputs, each with a data line of its own.", rate, StreamRate, most, outputs)
}

// sayLead reports on the level at the first pixel, the lead to it and the leads between
// runs.
func (pl *Plan) sayLead(d *Data) {
	p := pl.Prop
	if p.Chip.Volts <= 6 && d.NeedHigh > outputVolts {
		d.say("The first pixel takes a one from %s (0.7 of its %s). An output of %s is short of that: power off; use a level shifter to 5 V at the controller; or feed the first pixel with %s at most (common practice).",
			words.Volts(d.NeedHigh), words.Given(min(p.Supply.Volts, internalVolts), "V"), words.Given(outputVolts, "V"), words.Volts(outputVolts/highShare))
	} else if p.Chip.Volts > 6 {
		d.say("The chip's data input runs from 5 V made inside: it takes a one from %s. An output of %s is short of that: power off, then use a level shifter to 5 V (common practice).", words.Volts(d.NeedHigh), words.Given(outputVolts, "V"))
	}
	d.say("Power off; put 33 to 470 ohms in series with the data at the controller (common practice).")
	if d.Line.Clocked {
		d.say("Data and clock run side by side: both need the level and the resistor.")
	}
	long := func(metres float64) string { return pl.length(metres) }
	switch {
	case d.Lead > drivenLead:
		d.say("%s from controller to first pixel is too long for a bare data wire: carry it as a balanced pair (line driver at the controller, receiver at the pixel); or move the controller (common practice: up to %s plain, to %s with a 5 V driver).",
			long(d.Lead), long(plainLead), long(drivenLead))
	case d.Lead > plainLead:
		d.say("%s from controller to first pixel wants three things: a 5 V driver at the controller, the resistor, ground twisted with data (common practice: plain only up to %s).", long(d.Lead), long(plainLead))
	}
	pl.sayRepeats(d, long)
}

// sayRepeats reports joints whose lead is too long without a repeater. A pixel repeats
// the signal at its own voltage.
func (pl *Plan) sayRepeats(d *Data, long func(float64) string) {
	worst, over := prop.Joint{}, 0
	for _, j := range pl.Joints[1:] {
		if j.Lead > plainLead {
			over++
			if j.Lead > worst.Lead {
				worst = j
			}
		}
	}
	if over == 0 {
		return
	}
	others := ""
	if over > 1 {
		others = fmt.Sprintf(", and %d more %s so", over-1, words.Plural(over-1, "joint is", "joints are"))
	}
	n := int(math.Ceil(worst.Lead/plainLead-1e-9)) - 1
	d.say("%s apart from %s%s: the signal wants repeating every %s; %s on the way do it, kept dark as empty places; or a line driver and receiver (common practice).",
		long(worst.Lead), worst.Name(pl.Prop), others, long(plainLead), words.Count(n, "pixel"))
}

func (pl *Plan) writeData(w *writer) {
	d := pl.Data
	if d == nil {
		return
	}
	w.header("Data")
	frame := fmt.Sprintf("%d x %d bits x %.4g µs + %.4g µs", pl.Prop.Pixels(), 8*pl.Prop.Chip.Order.Slots(), d.Line.BitMicros, d.Line.ResetMicros)
	if d.Line.Clocked {
		frame = fmt.Sprintf("32 bits a pixel and the frame around them at %.4g MHz", 1/d.Line.BitMicros)
	}
	w.item("one frame takes %.2f ms on the wire (%s): up to %.1f frames a second (%s)", 1000*d.Frame, frame, d.Refresh, d.Line.Source)
	w.item("on one output at most %d pixels at 20 frames a second, %d at 40, %d at 44", d.Most[0].Pixels, d.Most[1].Pixels, d.Most[2].Pixels)
	w.item("%s on this output, %d packets a second at %d Hz", words.Count(len(pl.universes()), "universe"), d.Packets, StreamRate)
	for _, s := range d.Says {
		w.item("%s", s)
	}
}

// jsonData is Data in JSON.
type jsonData struct {
	FrameMS   float64       `json:"frame_ms"`
	Refresh   float64       `json:"refresh_hertz"`
	Most      []OutputLimit `json:"most_pixels"`
	Universes int           `json:"universes"`
	Packets   int           `json:"packets_per_second"`
	Lead      float64       `json:"lead_m"`
	NeedHigh  float64       `json:"first_pixel_needs_volts"`
	Source    string        `json:"timing_source"`
	Says      []string      `json:"says"`
}

func (pl *Plan) jsonData() *jsonData {
	d := pl.Data
	if d == nil {
		return nil
	}
	return &jsonData{1000 * d.Frame, d.Refresh, d.Most, len(pl.universes()), d.Packets, d.Lead, d.NeedHigh, d.Line.Source, d.Says}
}

// heatShare is the share of a run's power that becomes heat, from 0 to 1. 1 is the
// cautious limit, as if no power left as light; in fact up to a third does.
const heatShare = 1.0

// A RunHeat is the power of one run at the plan's level, an estimate.
type RunHeat struct {
	Run   int
	Watts float64 // all taken as heat
	Metre float64 // watts a metre of strip; 0 without a density
	Rise  float64 // kelvins above the air, in a closed tube; 0 without a density
}

// A closed tube around the strip gives off heat to still air through its surface, 10 W
// per square metre and kelvin by convection and radiation (handbook figure, from
// memory). The tube is assumed to be 20 mm across.
const (
	tubeAcross = 0.020 // metres
	airTakes   = 10.0  // W per square metre and kelvin
)

// runHeats estimates the watts of each run at constant current, the cautious case.
func runHeats(p *prop.Prop, r *power.Report) []RunHeat {
	var out []RunHeat
	starts := p.Starts()
	for i, run := range p.Runs {
		h := RunHeat{Run: i}
		for k := range run.Pixels {
			amps := p.Chip.IdleAmps
			if r.Lit(starts[i] + k) {
				amps = r.PixelAmps
			}
			h.Watts += heatShare * amps * p.Supply.Volts
		}
		if l := prop.StripLength(run.Pixels, p.Chip); l > 0 {
			h.Metre = h.Watts / l
			h.Rise = h.Metre / (airTakes * math.Pi * tubeAcross)
		}
		out = append(out, h)
	}
	return out
}

// wattsAlong is the heat per length of strip, in the file's units.
func (pl *Plan) wattsAlong(metre float64) string {
	if pl.Prop.Inches {
		return words.Watts(metre*prop.Foot) + " a foot"
	}
	return words.Watts(metre) + " a metre"
}

func (pl *Plan) writeHeat(w *writer) {
	w.header(fmt.Sprintf("Heat at level %s (estimate)", words.Percent(pl.Power.Level)))
	hot := false
	for i, h := range pl.Heat {
		line := fmt.Sprintf("%s: %s", pl.Prop.Runs[h.Run].Name, words.Watts(h.Watts))
		if h.Metre > 0 {
			line += fmt.Sprintf(", %s; some %.0f °C warmer than the air in a closed tube of %s", pl.wattsAlong(h.Metre), h.Rise, pl.length(tubeAcross))
		}
		hot = hot || h.Rise > hotRise
		if i < 12 {
			w.item("%s", line)
		}
	}
	if n := len(pl.Heat); n > 12 {
		w.item("and %s", words.Count(n-12, "more run"))
	}
	if hot {
		w.item("More than %.0f °C over the air is too warm for a closed tube: stay at a lower level, let air through; or lay the strip on a metal channel (common practice).", hotRise)
	}
}

// hotRise is the rise, in kelvins, from which the plan warns: 60 °C inside at 25 °C
// outside, where strip and hot glue begin to fail (common practice).
const hotRise = 35.0
