package power

import (
	"math"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// HoldLevel is the highest level from 0 to 1 at which no pixel falls below
// minVolts, with constant current: the cautious answer. It is 0 when dark pixels
// alone draw too much. full has one draw a pixel, at full level. The ladder is
// linear, so two solutions give it exactly: V(level) = dark - level·(dark - lit)
// at each pixel, and the level is the least of (dark - minVolts)/(dark - lit).
func (l *Ladder) HoldLevel(full []Draw, minVolts float64) float64 {
	amps := make([]float64, len(full))
	for i, d := range full {
		amps[i] = d.Idle
	}
	dark := l.Constant(nil, amps)
	for i, d := range full {
		amps[i] = d.Amps()
	}
	lit := l.Constant(nil, amps)
	level := 1.0
	for i := range full {
		margin := dark.Volts(i) - minVolts
		fall := dark.Volts(i) - lit.Volts(i)
		if margin < 0 {
			return 0
		}
		if fall > margin {
			level = math.Min(level, margin/fall)
		}
	}
	return level
}

// HoldLevelSagging is the same for pixels that draw less as their voltage
// falls, to a thousandth, by halving: ten solutions. The lowest voltage only
// falls as the level rises, since no pixel then draws less.
func (l *Ladder) HoldLevelSagging(full []Draw, law Law, minVolts float64) (float64, error) {
	at := make([]Draw, len(full))
	var sol *Solution
	holds := func(level float64) (bool, error) {
		for i, d := range full {
			at[i] = Draw{d.Idle, d.Red * level, d.Rest * level}
		}
		var err error
		if sol, err = l.Sagging(sol, at, law); err != nil {
			return false, err
		}
		return sol.Lowest >= minVolts, nil
	}
	if ok, err := holds(1); ok || err != nil {
		return 1, err
	}
	lo, hi := 0.0, 1.0
	for hi-lo > 1e-3 {
		mid := (lo + hi) / 2
		ok, err := holds(mid)
		if err != nil {
			return 0, err
		}
		if ok {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo, nil
}

// WireLevel is the highest level of white, 0 to 1, at which no feed and no lead carries more
// than its wire may in free air; 0 when dark pixels alone draw too much. Each pixel is taken to
// keep its full current. What a lead carries is convex in the level, so the level on the
// chord between dark and full is on the safe side.
func WireLevel(p *prop.Prop) (float64, error) {
	n, err := NetworkOf(p)
	if err != nil {
		return 0, err
	}
	l, err := NewLadder(n)
	if err != nil {
		return 0, err
	}
	on, _ := p.Lights()
	return wireLevel(p, n, l, on, FullWhite()), nil
}

// wireLevel is WireLevel in any colour of the pixels that give light.
func wireLevel(p *prop.Prop, n *Network, l *Ladder, on []bool, colour patterns.Colour) float64 {
	at := func(level float64) *Solution {
		return l.Constant(nil, ampsOf(draws(on, DrawOf(p.Chip, colour, level))))
	}
	dark, full, level := at(0), at(1), 1.0
	hold := func(w prop.Wire, dark, full float64) {
		most := max(ChassisAmps(w), CautiousAmps(w))
		if full > withRounding(most) {
			level = min(level, max(0, (most-dark)/(full-dark)))
		}
	}
	for i, f := range feedsOf(p) {
		if f.WireMetre > 0 && CheckWire(f.Wire) == nil {
			hold(f.Wire, max(dark.Taps[i].Plus, dark.Taps[i].Minus), max(full.Taps[i].Plus, full.Taps[i].Minus))
		}
	}
	starts := p.Starts()
	for i := 1; i < len(p.Runs); i++ {
		if p.Runs[i-1].LeadOut+p.Runs[i].LeadIn > 0 {
			hold(leadWire(p), linkAmps(n, dark, starts[i]-1), linkAmps(n, full, starts[i]-1))
		}
	}
	return level
}
