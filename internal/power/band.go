package power

import (
	"fmt"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// A BandEnd is the result for one end of the range of currents measured for
// chips of one name.
//
// Two parts sold as WS2812B were measured at 33.5 and 52.5 mA in white (a public
// bench measurement): no single figure holds for a chip's name. The ends are
// in the chip table of package prop.
type BandEnd struct {
	// Amps of one pixel: dark, and what one channel adds at value 255.
	IdleAmps, ChannelAmps float64
	// Amps of the whole prop at the report's level and colour: with constant
	// current, and as real strip sags.
	Amps, SagAmps float64
	// The least voltage at any pixel, volts between its rails, in both models.
	Lowest, SagLowest float64
	// The highest level, 0 to 1, that holds with constant current; 0 when not
	// even the dark prop does.
	HoldLevel float64
}

// A Band holds both ends of the range, the least draw first.
type Band [2]BandEnd

// band sets r.Band. It stays nil when chips of the name are not known to differ,
// or when the file has the builder's own readings.
func (r *Report) band(p *prop.Prop, l *Ladder) error {
	low, high, ok := p.Chip.Spread()
	if !ok {
		return nil
	}
	var b Band
	for i, c := range []prop.Chip{low, high} {
		now := draws(r.on, DrawOf(c, r.Colour, r.Level))
		constant := l.Constant(nil, ampsOf(now))
		sagging, err := l.Sagging(nil, now, LawOf(c))
		if err != nil {
			return err
		}
		b[i] = BandEnd{c.IdleAmps, c.ChannelAmps, constant.Total, sagging.Total, constant.Lowest, sagging.Lowest,
			l.HoldLevel(draws(r.on, DrawOf(c, r.Colour, 1)), r.MinVolts)} // the copper is the same at both ends
	}
	r.Band = &b
	return nil
}

// AmpsText is the total current, both ends where there is a band: "4.9 to 8.8".
func (r *Report) AmpsText() string {
	if r.Band == nil || r.Level == 0 {
		return words.Figure(r.Amps)
	}
	return words.Figure(r.Band[0].Amps) + " to " + words.Figure(r.Band[1].Amps)
}

// fromTo writes two voltages, once if both read the same.
func fromTo(low, high float64) string {
	if l, h := words.Volts(low), words.Volts(high); l != h {
		return l + " to " + h
	}
	return words.Volts(low)
}

// bandText describes the result for both ends and which readings decide between
// them, a few sentences each.
func (r *Report) bandText(p *prop.Prop) []string {
	least, most := r.Band[0], r.Band[1]
	lowest := fmt.Sprintf("The lowest voltage is %s at full current; %s in real strip.", fromTo(most.Lowest, least.Lowest), fromTo(most.SagLowest, least.SagLowest))
	switch low, high := FloorPercent(most.HoldLevel), FloorPercent(least.HoldLevel); {
	case low < high:
		lowest += fmt.Sprintf(" It holds up to level %d to %d %%.", low, high)
	case low > 0:
		lowest += fmt.Sprintf(" It holds up to level %d %% either way.", low)
	}
	return []string{
		fmt.Sprintf("Chips sold as %s differ. At full a channel draws %s to %s, dark a pixel %s to %s. Single figures here are for %s.",
			p.Chip.Name, words.Milliamps(least.ChannelAmps), words.Milliamps(most.ChannelAmps), words.Milliamps(least.IdleAmps), words.Milliamps(most.IdleAmps), words.Milliamps(p.Chip.ChannelAmps)),
		fmt.Sprintf("If every pixel keeps its full current, the prop draws %s to %s; the supply is judged by %s. Real strip draws less as its voltage falls: %s to %s.", words.Figure(least.Amps), words.Amps(most.Amps), words.Amps(r.Amps), words.Figure(least.SagAmps), words.Amps(most.SagAmps)),
		lowest,
		"Readings of your own strip settle it: measure the amps with all pixels dark, then with one colour at full. " +
			"Dark amps divided by the number of pixels are idle; what the colour adds, divided alike, is full. Write both into [strip].",
	}
}
