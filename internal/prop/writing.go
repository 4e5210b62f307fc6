package prop

import (
	"fmt"
	"strconv"
	"strings"
)

// FileText writes a prop that has no file as a prop file, leaving out defaults. Parse
// returns the same prop, lengths to twelve digits.
func FileText(p *Prop) string {
	w := &fileWriter{inches: p.Inches}
	w.key("name", p.Name)
	w.strip(p)
	w.header("[supply]")
	w.key("volts", number(p.Supply.Volts)+" V")
	w.key("amps", number(p.Supply.Amps)+" A")
	if s := p.Supply.Continuous; s > 0 {
		w.key("continuous", number(100*s)+" %")
	}
	if p.WireCelsius != 0 {
		w.key("temperature", number(p.WireCelsius)+" C")
	}
	w.address(p.Address)
	for i, r := range p.Runs {
		w.run(r, spotName("run", i), p)
	}
	for _, f := range p.Feeds {
		w.feed(f, p.Pixels())
	}
	for _, t := range p.Parts {
		w.header("[[part]]")
		w.key("name", t.Name)
		w.key("first", t.First+1)
		w.key("last", t.Last+1)
		w.boolean("empty", t.Empty)
	}
	return w.String()
}

// A fileWriter writes the text of a prop file, with lengths in inches or metres.
type fileWriter struct {
	strings.Builder
	inches bool
}

func (w *fileWriter) header(s string) { fmt.Fprintf(w, "\n%s\n", s) }

func (w *fileWriter) key(name string, v any) {
	if s, ok := v.(string); ok {
		v = strings.ToValidUTF8(s, "?")
	}
	if s, err := written(v); err == nil { // no type used here gives an error
		fmt.Fprintf(w, "%s = %s\n", name, s)
	}
}

func (w *fileWriter) boolean(name string, v bool) {
	if v {
		w.key(name, v)
	}
}

// length leaves out a key that is 0, which means not given.
func (w *fileWriter) length(name string, metres float64) {
	if metres != 0 {
		w.key(name, w.metres(metres))
	}
}

func (w *fileWriter) metres(v float64) string {
	if w.inches {
		return number(v/inch) + " in"
	}
	return number(v) + " m"
}

// number writes at most twelve digits, without an exponent.
func number(v float64) string {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	if err != nil {
		r = v
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}

// strip writes the chip's figures that differ from the table.
func (w *fileWriter) strip(p *Prop) {
	c := p.Chip
	base, known := ChipByName(c.Name)
	w.header("[strip]")
	w.key("chip", c.Name)
	if !known || c.Order != base.Order {
		w.key("order", string(c.Order))
	}
	if c.LightsPerPixel > 1 || known && c.LightsPerPixel != base.LightsPerPixel {
		w.key("group", max(1, c.LightsPerPixel))
	}
	for _, f := range []struct {
		key, unit string
		now, was  float64
	}{
		{"density", " per metre", c.LightsPerMetre, base.LightsPerMetre}, {"volts", " V", c.Volts, base.Volts},
		{"lowest", " V", c.MinVolts, base.MinVolts}, {"idle", " A", c.IdleAmps, base.IdleAmps},
		{"full", " A", c.ChannelAmps, base.ChannelAmps}, {"rail", " ohm/m", p.RailOhms, 0},
	} {
		if f.now != f.was {
			w.key(f.key, number(f.now)+f.unit)
		}
	}
	w.length("reel", p.Reel)
	w.length("coil", p.Coil)
	if p.LeadWire != (Wire{}) {
		w.key("lead_wire", p.LeadWire.String())
	}
}

// address leaves out defaults: port 5568, whole pixels, priority 100, no
// synchronization.
func (w *fileWriter) address(a Address) {
	w.header("[address]")
	host := a.Host
	if host == "" {
		host = "multicast"
	}
	w.key("host", host)
	if a.Port != 0 {
		w.key("port", int(a.Port))
	}
	if a.Interface != "" {
		w.key("interface", a.Interface)
	}
	w.key("universe", int(a.Universe))
	w.key("slot", a.Slot+1)
	if a.Packing == Straddle {
		w.key("packing", string(a.Packing))
	}
	if a.Priority != 100 {
		w.key("priority", int(a.Priority))
	}
	if a.Sync != 0 {
		w.key("sync", int(a.Sync))
	}
}

// run leaves out a count or length that the reader works out from the other or from the
// shape; usual is the default name of the run.
func (w *fileWriter) run(r Run, usual string, p *Prop) {
	w.header("[[run]]")
	if r.Name != usual {
		w.key("name", r.Name)
	}
	if r.Cut == 0 || FitLength(r.Cut, p.Chip).Whole != r.Pixels {
		w.key("pixels", r.Pixels)
	}
	w.shape(r.Shape)
	if r.Cut != 0 && r.Cut != shapeLength(r.Shape) {
		w.length("length", r.Cut)
	}
	if r.Reverse {
		w.key("travel", r.Travel())
	}
	w.length("lead_in", r.LeadIn)
	w.length("lead_out", r.LeadOut)
	if r.JointOhms != 0 {
		w.key("joint", number(r.JointOhms)+" ohm")
	}
	w.boolean("closed", r.Closed)
	w.boolean("apart", r.Apart)
}

func (w *fileWriter) shape(s Shape) {
	if s.Kind == "" {
		s.Kind = Line
	}
	w.key("shape", string(s.Kind))
	w.length("diameter", s.Diameter)
	if s.Points > 0 {
		w.key("points", s.Points)
	}
	if s.Start != 0 {
		w.key("start", number(s.Start)+" deg")
	}
	if s.Angle != 0 {
		w.key("angle", number(s.Angle)+" deg")
	}
	if s.Centre != (Point{}) {
		w.key("centre", w.point(s.Centre))
	}
	if len(s.Corners) > 0 {
		var all []string
		for _, c := range s.Corners {
			all = append(all, w.point(c))
		}
		w.key("corners", all)
	}
}

func (w *fileWriter) point(p Point) string { return w.metres(p.X) + ", " + w.metres(p.Y) }

// feed writes a feed at the last pixel as at "end", so it stays there when pixels are
// added.
func (w *fileWriter) feed(f Feed, pixels int) {
	w.header("[[feed]]")
	w.key("name", f.Name)
	if f.Pixel > 0 && f.Pixel == pixels-1 {
		w.key("at", "end")
	} else {
		w.key("at", f.Pixel+1)
	}
	w.key("length", w.metres(f.WireMetre))
	w.key("wire", f.Wire.String())
	if f.FuseAmps > 0 {
		w.key("fuse", number(f.FuseAmps)+" A")
	}
}
