package power

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A Report is the power plan of a prop, for screens, tables and the bench
// sheet. It is never changed once made.
type Report struct {
	Pixels int
	Lights int             // pixels that give light; those of empty parts do not
	Level  float64         // 0 to 1
	Colour patterns.Colour // of every pixel, before the level

	PixelAmps float64 // one pixel at this level and colour
	DarkAmps  float64 // the whole prop dark, still idling
	Amps      float64 // the whole prop, constant current
	Supply    SupplyLoad
	Band      *Band // for chip names whose parts differ by a third or more; else nil

	Feeds    []FeedReport
	Joints   []JointReport // joints that carry plus
	Constant *Solution     // the cautious limit; see Solution for voltage by pixel
	Sagging  *Solution     // as real strip behaves, an estimate

	MinVolts    float64 // the chip's lowest
	Holds       bool    // no pixel falls below MinVolts, constant current
	HoldsDark   bool    // the same with all pixels dark
	HoldLevel   float64 // highest level, 0 to 1, in this colour at which it holds, constant current
	HoldSagging float64 // the same with sagging pixels
	SupplyLevel float64 // highest level in this colour that the supply's limit allows
	WireLevel   float64 // highest level in this colour that every feed and lead carries in free air
	Extra       Placement
	Supplies    []SupplyPart // parts of the prop for several supplies at full level; nil when one is enough or no way was found

	SuppliesLeast int          // least number of supplies by current alone; 0 when one is enough
	After         []FeedReport // every feed at full level with Extra's feeds; nil when Extra has none
	Findings      []string     // problems, one sentence each
	Assumed       []string     // assumed values of figures that the file does not give
	Cautions      []string     // the usual ones, always shown

	supply float64 // volts
	starts []int   // first pixel of each run
	on     []bool  // of each pixel, whether it gives light
}

// A FeedReport is one feed under the report's load.
type FeedReport struct {
	Name  string
	Pixel int    // where it joins the rails
	Place string // the same in words
	Wire  string // length and size, one way
	// NoWire: the file does not give its length, so that Drop counts no volts for it.
	NoWire bool
	// Amps in the wire, plus or minus, that carries more: with constant current,
	// and with sagging pixels.
	Amps, Sagging float64
	// Volts lost in its wires, both ways; under 5 % of the supply's is aimed for
	// (common practice).
	Drop  float64
	Check FuseCheck
}

// Lit reports whether a pixel gives light: those of empty parts do not.
func (r *Report) Lit(pixel int) bool { return r.on[pixel] }

// Plan works out the power of a prop with every pixel at one colour and level.
// Errors are single sentences that say what to correct in the file.
//
// Pixels of empty parts stay dark in every pattern and count with their idle
// current only. A missing chip draws nothing, so this is the cautious figure.
func Plan(p *prop.Prop, level float64, colour patterns.Colour) (*Report, error) {
	return plan(p, level, colour, nil)
}

// AtLevel is the report at another level, 0 to 1. It copies the results for full
// level, which saves the search for feeds; p must be the same prop.
func (r *Report) AtLevel(p *prop.Prop, level float64) (*Report, error) {
	return plan(p, level, r.Colour, r)
}

func plan(p *prop.Prop, level float64, colour patterns.Colour, like *Report) (*Report, error) {
	if p == nil {
		return nil, ErrNoProp
	}
	n, err := NetworkOf(p)
	if err != nil {
		return nil, err
	}
	if !(level >= 0 && level <= 1) {
		return nil, errLevel(level)
	}
	l, err := NewLadder(n)
	if err != nil {
		return nil, err
	}
	r := &Report{Pixels: n.Pixels(), Level: level, Colour: colour, MinVolts: p.Chip.MinVolts, supply: n.Volts}
	r.on, r.Lights = p.Lights()
	r.starts = p.Starts()
	if err := r.currents(p); err != nil {
		return nil, err
	}
	if err := r.ladder(p, l); err != nil {
		return nil, err
	}
	if err := r.band(p, l); err != nil {
		return nil, err
	}
	if err := r.feeds(p, n); err != nil {
		return nil, err
	}
	r.joints(p, n)
	if err := r.solveFullLevel(p, n, l, like); err != nil {
		return nil, err
	}
	r.addFindings(p)
	return r, nil
}

// solveFullLevel sets the results for full level, which do not depend on the
// report's level; it copies them from like if that is not nil.
func (r *Report) solveFullLevel(p *prop.Prop, n *Network, l *Ladder, like *Report) (err error) {
	if like != nil {
		r.HoldsDark, r.HoldLevel, r.HoldSagging = like.HoldsDark, like.HoldLevel, like.HoldSagging
		r.WireLevel = like.WireLevel
		r.Extra, r.After, r.Supplies, r.SuppliesLeast = like.Extra, like.After, like.Supplies, like.SuppliesLeast
		return nil
	}
	full := draws(r.on, DrawOf(p.Chip, r.Colour, 1))
	r.HoldsDark = l.Constant(nil, ampsOf(draws(r.on, DrawOf(p.Chip, r.Colour, 0)))).Lowest >= r.MinVolts
	r.HoldLevel = l.HoldLevel(full, r.MinVolts)
	r.WireLevel = wireLevel(p, n, l, r.on, r.Colour)
	if r.HoldSagging, err = l.HoldLevelSagging(full, LawOf(p.Chip), r.MinVolts); err != nil {
		return err
	}
	if r.Extra, err = r.extra(p, n); err != nil {
		return err
	}
	if len(r.Extra.Pixels) > 0 {
		if r.After, err = r.withExtra(p, n, r.Extra.Pixels, ampsOf(full)); err != nil {
			return err
		}
	}
	r.Supplies, err = r.supplies(p, n, ampsOf(full))
	return err
}

// withExtra reports every feed under a load (amps a pixel), with extra feeds on
// wire like the first feed's.
func (r *Report) withExtra(p *prop.Prop, n *Network, extra []int, load []float64) ([]FeedReport, error) {
	feeds, _, err := r.solveExtra(p, n, extra, load)
	return feeds, err
}

// solveExtra is withExtra that also returns the solution.
func (r *Report) solveExtra(p *prop.Prop, n *Network, extra []int, load []float64) ([]FeedReport, *Solution, error) {
	feeds, with := slices.Clone(feedsOf(p)), n.clone()
	for _, at := range extra {
		feeds = append(feeds, prop.Feed{Pixel: at, WireMetre: feeds[0].WireMetre, Wire: feeds[0].Wire})
		with.Taps = append(with.Taps, Tap{at, n.Taps[0].Rails})
	}
	l, err := NewLadder(with)
	if err != nil {
		return nil, nil, err
	}
	solved, in := l.Constant(nil, load), p.Finder()
	var out []FeedReport
	for i, f := range feeds {
		report, err := feedReport(p, in, f, with, i, solved.Taps[i])
		if err != nil {
			return nil, nil, err
		}
		if report.Name = fmt.Sprintf("new feed %d", i+1-len(n.Taps)); i < len(n.Taps) {
			report.Name = FeedName(p, i)
		}
		out = append(out, report)
	}
	return out, solved, nil
}

// ampsOf are the currents of draws at full voltage.
func ampsOf(draws []Draw) []float64 {
	amps := make([]float64, len(draws))
	for i, d := range draws {
		amps[i] = d.Amps()
	}
	return amps
}

// currents sets the total current: idle current of every pixel, and the channels
// of those that give light. SupplyLevel is the level at which idle + level·rest
// equals the supply's limit.
func (r *Report) currents(p *prop.Prop) error {
	lights := float64(r.Lights)
	r.PixelAmps = DrawOf(p.Chip, r.Colour, r.Level).Amps()
	r.DarkAmps = float64(r.Pixels) * p.Chip.IdleAmps
	whole := func(pixel float64) float64 { return r.DarkAmps + lights*(pixel-p.Chip.IdleAmps) }
	r.Amps = whole(r.PixelAmps)
	var err error
	if r.Supply, err = CheckSupply(p.Supply, r.Amps); err != nil {
		return err
	}
	r.SupplyLevel = 1
	if full := whole(PixelAmps(p.Chip, r.Colour)); full > withRounding(r.Supply.Limit) {
		r.SupplyLevel = max(0, (r.Supply.Limit-r.DarkAmps)/(full-r.DarkAmps))
	}
	return nil
}

// ladder solves the copper in both models.
func (r *Report) ladder(p *prop.Prop, l *Ladder) (err error) {
	law := LawOf(p.Chip)
	draws := draws(r.on, DrawOf(p.Chip, r.Colour, r.Level))
	r.Constant = l.Constant(nil, ampsOf(draws))
	if r.Sagging, err = l.Sagging(nil, draws, law); err != nil {
		return err
	}
	r.Holds = r.Constant.Lowest >= r.MinVolts
	return nil
}

// draws is d at every pixel that gives light, and only its idle part at the
// others.
func draws(on []bool, d Draw) []Draw {
	draws := make([]Draw, len(on))
	for i, lit := range on {
		draws[i] = Draw{Idle: d.Idle}
		if lit {
			draws[i] = d
		}
	}
	return draws
}

// feeds sets the reports of the file's feeds under the report's load.
func (r *Report) feeds(p *prop.Prop, n *Network) error {
	in := p.Finder()
	for i, f := range feedsOf(p) {
		report, err := feedReport(p, in, f, n, i, r.Constant.Taps[i])
		if err != nil {
			return err
		}
		report.Name = FeedName(p, i)
		report.Sagging = max(r.Sagging.Taps[i].Plus, r.Sagging.Taps[i].Minus)
		r.Feeds = append(r.Feeds, report)
	}
	return nil
}

// leadsAfter reports whether a lead between runs carries the plus of a feed at a pixel:
// plus passes from run to run up to where it is cut.
func leadsAfter(p *prop.Prop, in prop.Finder, n *Network, pixel int) bool {
	run, _ := in.Find(pixel)
	first, end := n.joined(pixel)
	starts := p.Starts()
	lead := func(i int) bool { return p.Runs[i-1].LeadOut+p.Runs[i].LeadIn > 0 }
	for i := run; i > 0 && starts[i] > first; i-- {
		if lead(i) {
			return true
		}
	}
	for i := run + 1; i < len(starts) && starts[i] < end; i++ {
		if lead(i) {
			return true
		}
	}
	return false
}

// joined is the stretch of pixels, from first to before end, whose plus is joined to that
// of a pixel along the data.
func (n *Network) joined(pixel int) (first, end int) {
	first, end = pixel, pixel+1
	for first > 0 && n.Links[first-1].Plus != Broken {
		first--
	}
	for end < n.Pixels() && n.Links[end-1].Plus != Broken {
		end++
	}
	return first, end
}

// feedReport checks feed i, which carries amps, with its tap of the network. With a rail
// cut elsewhere its two wires may carry different currents; the larger counts for the
// wire, that of plus for the fuse.
func feedReport(p *prop.Prop, in prop.Finder, f prop.Feed, n *Network, i int, amps Rails) (FeedReport, error) {
	t, load := n.Taps[i], max(amps.Plus, amps.Minus)
	run, at := in.Find(t.Pixel)
	check, err := CheckFuse(f, p.Supply, amps, celsius(p))
	if err == nil && leadsAfter(p, in, n, t.Pixel) {
		check.throughLeads(leadWire(p))
	}
	return FeedReport{
		Pixel: t.Pixel, Place: feedPlace(p, t.Pixel, run, at), Wire: FeedWire(p, f), NoWire: f.WireMetre == 0, Amps: load,
		Drop: amps.Plus*t.Plus + amps.Minus*t.Minus, Check: check,
	}, err
}
