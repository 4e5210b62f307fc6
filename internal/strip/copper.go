package strip

import (
	"fmt"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// copper is the supply side of a strip as package power has it: rails, joints
// and feeds of the plan, with what a fault changes in them. It is never changed
// once made.
type copper struct {
	net  *power.Network
	chip prop.Chip // amps of a pixel, dark and a channel
	// How its current falls with its voltage: as figures, and made ready.
	law   power.Law
	curve power.Curve
	// Pixels from here on get nothing, whatever feeds are after.
	fed int
}

// newCopper makes it of a strip whose faults were checked. Where faults change
// the way of the wire, the copper still follows the plan.
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
	if s.sag != nil { // one feed, and rails alike from there on
		c.net.Taps, c.net.Loops = []power.Tap{{}}, nil
		for i := range c.net.Links {
			c.net.Links[i] = power.Rails{Plus: s.sag.ohms / 2, Minus: s.sag.ohms / 2}
		}
	}
	return c, nil
}

// worsen adds a Resistance, milliohms, to plus: where both rails are alike a
// meter between them reads the same whichever has it.
func (c *copper) worsen(p *prop.Prop, f Fault) {
	ohms := float64(f.N) / 1000
	if f.Run > 0 {
		c.net.Links[p.FirstPixel(f.Run)-1].Plus += ohms
		return
	}
	c.net.Taps[FeedOf(p)].Plus += ohms
}

// FeedOf is the feed that a Resistance before the first run lies in: the one
// nearest to the first pixel, from 0. Without feeds it is the one that is taken
// to be there.
func FeedOf(p *prop.Prop) int {
	at := 0
	for i, f := range p.Feeds {
		if f.Pixel < p.Feeds[at].Pixel {
			at = i
		}
	}
	return at
}

// volts is what is left between plus and minus at each pixel of the plan, volts,
// while the prop would show l with all the supply it wants: the light sets the
// currents, value/255 of a channel's amps each.
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
	ladder, err := power.NewLadder(c.net) // it keeps working space, so one of our own
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

// dim lowers the light to what the volts leave. Pixels beyond the plan have
// the volts of the last one of their run.
func (c *copper) dim(pl *plan, l Light) {
	volts, err := c.volts(pl, l)
	if err != nil {
		return // a ladder that does not settle says nothing of the light
	}
	for run := range l {
		for place := range l[run] {
			at := pl.first[run] + min(place, pl.prop.Runs[run].Pixels-1)
			l[run][place] = dimmed(&c.curve, l[run][place], volts[at])
		}
	}
}

// Volts is what a voltmeter between plus and minus reads at each pixel of the
// plan while a frame is sent, values as they go out. Only what the strip lights
// draws current, so a pixel that no data reaches draws what a dark one does.
// The ladder is package power's, and so are its errors.
func (s *Strip) Volts(sent patterns.Frame) ([]float64, error) {
	c, err := newCopper(s)
	if err != nil {
		return nil, err
	}
	full := *s
	full.sag, full.copper = nil, nil // the ladder lowers the current itself
	return c.volts(s.plan, full.Shine(sent))
}

// Left is what the volts leave of full light at each pixel of the plan while a
// frame is sent, each colour 255 where nothing is lost.
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

// checkResistance refuses one where no copper is.
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

// copperName is the stretch of copper a Resistance lies in.
func copperName(p *prop.Prop, run int) string {
	if run > 0 {
		return fmt.Sprintf("the joint between %s and %s", p.RunText(run-1), p.RunText(run))
	}
	if len(p.Feeds) == 0 {
		return "the supply lead"
	}
	return power.FeedName(p, FeedOf(p))
}
