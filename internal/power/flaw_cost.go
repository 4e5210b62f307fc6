package power

import (
	"example.org/ringout/internal/prop"
)

// worthShare is the share of the allowed voltage drop from which a joint is
// worth mending (common practice: a tenth).
const worthShare = 0.10

// costs works out what each suspect's ohms cost, volts: ohms times the amps that
// pass there with the planned copper. The level is the highest in white at which
// supply and copper hold, since current and sag rise together up to there; what
// may be lost is the supply's voltage less the chip's lowest, or a tenth of it
// where that is not known.
func (r *FitResult) costs(p *prop.Prop, n *Network) error {
	l, err := NewLadder(n)
	if err != nil {
		return err
	}
	on, lights := p.Lights()
	full := draws(on, DrawOf(p.Chip, FullWhite(), 1))
	supply := 1.0
	if load, err := CheckSupply(p.Supply, 0); err == nil {
		dark := float64(len(on)) * p.Chip.IdleAmps
		supply = (load.Limit - dark) / (float64(lights) * DrawOf(p.Chip, FullWhite(), 1).light())
	}
	r.Level = max(0.01, min(1, supply, l.HoldLevel(full, p.Chip.MinVolts)))
	if r.Allowed = p.Supply.Volts - p.Chip.MinVolts; p.Chip.MinVolts <= 0 || r.Allowed <= 0 {
		r.Allowed = 0.1 * p.Supply.Volts
	}
	s := l.Constant(nil, ampsOf(draws(on, DrawOf(p.Chip, FullWhite(), r.Level))))
	for i := range r.Suspects {
		x := &r.Suspects[i]
		amps := 0.0
		if x.Run > 0 {
			amps = linkAmps(n, s, x.link)
		} else {
			amps = max(s.Taps[x.Feed].Plus, s.Taps[x.Feed].Minus)
		}
		x.Cost = x.Ohms * amps
	}
	return nil
}

// linkAmps is the larger current of the two conductors between a pixel and the
// next, whichever way it flows.
func linkAmps(n *Network, s *Solution, link int) float64 {
	plus, minus := s.Plus[link]-s.Plus[link+1], s.Minus[link+1]-s.Minus[link]
	return max(abs(plus)*conductance(n.Links[link].Plus), abs(minus)*conductance(n.Links[link].Minus))
}

func abs(x float64) float64 { return max(x, -x) }
