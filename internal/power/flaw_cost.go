package power

import (
	"example.org/ringout/internal/prop"
)

// worthShare is the share of the allowed voltage drop above which a joint should
// be mended (common practice: a tenth).
const worthShare = 0.10

// costs sets the cost of each suspect in volts: its ohms times the amps there
// with the planned copper, in white at the highest level at which supply and
// copper hold. Allowed is the supply's voltage less the chip's lowest, or a tenth
// of the supply's where that is not known.
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
