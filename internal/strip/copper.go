package strip

import (
	"fmt"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// copper is the supply network of a strip: rails, joints and feeds of the plan as
// faults change them. It is never changed once made.
type copper struct {
	net  *power.Network
	chip prop.Chip // amps of a pixel, dark and a channel
	// How its current falls with its voltage; curve is law with its divisions done.
	law   power.Law
	curve power.Curve
	// The first pixel without supply, whatever feeds come after it.
	fed int
}

// newCopper makes the copper of a strip whose faults were checked. Faults that
// change the order of the wiring do not change the copper. It refuses a prop
// whose network power refuses.
func newCopper(s *Strip) (*copper, error) {
	net, err := power.NetworkOf(s.prop)
	if err != nil {
		return nil, err
	}
	c := &copper{net: net, chip: s.prop.Chip, law: power.LawOf(s.prop.Chip), curve: power.LawOf(s.prop.Chip).Curve(), fed: s.pixels}
	for _, f := range s.faults {
		if feeds := rowOf(f.Kind).feeds; feeds != nil {
			feeds(c, s.prop, f)
		}
	}
	if s.sag != nil { // one feed at the first pixel, and equal rails
		c.net.Taps, c.net.Loops = []power.Tap{{}}, nil
		for i := range c.net.Links {
			c.net.Links[i] = power.Rails{Plus: s.sag.ohms / 2, Minus: s.sag.ohms / 2}
		}
	}
	return c, nil
}

// addOhms adds a Resistance to plus. With equal rails a meter between them reads
// the same whichever of them has it.
func (c *copper) addOhms(p *prop.Prop, f Fault) {
	ohms := float64(f.N) / 1000
	if f.Run > 0 {
		c.net.Links[p.FirstPixel(f.Run)-1].Plus += ohms
		return
	}
	c.net.Taps[FeedOf(p)].Plus += ohms
}

// FeedOf is the feed with the Resistance before the first run: the one nearest to
// the first pixel, from 0. Without feeds it is 0, the supply lead.
func FeedOf(p *prop.Prop) int {
	at := 0
	for i, f := range p.Feeds {
		if f.Pixel < p.Feeds[at].Pixel {
			at = i
		}
	}
	return at
}

// volts are the volts between plus and minus at each pixel of the plan. l is the
// light at full voltage, which sets the currents: value/255 of a channel's amps.
func (c *copper) volts(pl *plan, l Light) ([]float64, error) {
	out := make([]float64, pl.pixels)
	if c.fed == 0 {
		return out, nil
	}
	draws := make([]power.Draw, pl.pixels)
	for i := range min(c.fed, pl.pixels) {
		if at := pl.lightOf(l, i); at != nil {
			draws[i] = power.DrawOf(c.chip, *at, 1)
		}
	}
	ladder, err := power.NewLadder(c.net) // not shared: it holds working memory
	if err != nil {
		return nil, err
	}
	sol, err := ladder.Sagging(nil, draws, c.law)
	if err != nil {
		return nil, err
	}
	for i := range min(c.fed, pl.pixels) {
		out[i] = sol.Volts(i)
	}
	return out, nil
}

// lightOf is the light of a pixel of the plan; nil where the strip has none.
func (pl *plan) lightOf(l Light, pixel int) *patterns.Colour {
	run, place := pl.prop.Find(pixel)
	if run < 0 || run >= len(l) || place >= len(l[run]) {
		return nil
	}
	return &l[run][place]
}

// dim lowers the light by the voltage of each pixel. Pixels beyond the plan have
// the voltage of the last one of their run.
func (c *copper) dim(pl *plan, l Light) {
	volts, err := c.volts(pl, l)
	if err != nil {
		return // the ladder did not converge: leave the light as it is
	}
	for run := range l {
		for place := range l[run] {
			at := pl.first[run] + min(place, pl.prop.Runs[run].Pixels-1)
			l[run][place] = dimmed(&c.curve, l[run][place], volts[at])
		}
	}
}

// Volts are the readings of a voltmeter between plus and minus at each pixel of
// the plan while a frame is sent, with its values as on the wire. A pixel that no
// data reaches draws its idle current. Errors are those of package power.
func (s *Strip) Volts(sent patterns.Frame) ([]float64, error) {
	c, err := newCopper(s)
	if err != nil {
		return nil, err
	}
	full := *s
	full.sag, full.copper = nil, nil // volts wants the light at full voltage
	return c.volts(s.plan, full.Shine(sent))
}

// Left is the rest of full light at each pixel of the plan while a frame is sent:
// 255 in each channel where no voltage is lost.
func (s *Strip) Left(sent patterns.Frame) ([]patterns.Colour, error) {
	volts, err := s.Volts(sent)
	if err != nil {
		return nil, err
	}
	curve := power.LawOf(s.prop.Chip).Curve()
	out := make([]patterns.Colour, len(volts))
	for i, v := range volts {
		out[i] = dimmed(&curve, patterns.Colour{R: 255, G: 255, B: 255, W: 255, C: 255}, v)
	}
	return out, nil
}

// checkResistance refuses a value out of range, a joint that carries no plus, and
// a prop without a supply network.
func checkResistance(p *prop.Prop, f Fault) error {
	switch _, err := power.NetworkOf(p); {
	case f.N < 1 || f.N > 1_000_000:
		return fmt.Errorf("resistance by %d: give the milliohms too much, 1 to 1000000", f.N)
	case p.Runs[f.Run].Apart && f.Run > 0:
		return fmt.Errorf("resistance before %s: its plus is not joined to the run before it, so name another run", p.RunText(f.Run))
	default:
		return err
	}
}

// copperName is the name of the joint or lead that has a Resistance.
func copperName(p *prop.Prop, run int) string {
	if run > 0 {
		return fmt.Sprintf("the joint between %s and %s", p.RunText(run-1), p.RunText(run))
	}
	if len(p.Feeds) == 0 {
		return "the supply lead"
	}
	return power.FeedName(p, FeedOf(p))
}
