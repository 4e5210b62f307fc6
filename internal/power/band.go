package power

import (
	"fmt"

	"example.org/ringout/internal/prop"
)

// A BandEnd is the prop with the chip at one end of what chips of its name
// were seen to draw.
type BandEnd struct {
	IdleAmps, ChannelAmps float64 // of a pixel: dark, and one channel at full
	Amps                  float64 // the whole prop at the report's level and colour, constant current
	SagAmps               float64 // the same as real strip sags
	Lowest                float64 // least voltage, constant current
	SagLowest             float64 // the same as real strip sags
	HoldLevel             float64 // highest level that holds, constant current; 0 when not even dark does
}

// A Band is both ends, the least draw first.
type Band [2]BandEnd

// band works out both ends; nil when chips of the name are not known to differ,
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
			l.HoldLevel(draws(r.on, DrawOf(c, r.Colour, 1)), r.MinVolts)}
	}
	r.Band = &b
	return nil
}

// AmpsText is the whole draw, both ends where there is a band: "4.9 to 8.8".
func (r *Report) AmpsText() string {
	if r.Band == nil || r.Level == 0 {
		return fmt.Sprintf("%.1f", r.Amps)
	}
	return fmt.Sprintf("%.1f to %.1f", r.Band[0].Amps, r.Band[1].Amps)
}

// bandText says what the ends come to and which readings settle it.
func (r *Report) bandText(p *prop.Prop) string {
	least, most := r.Band[0], r.Band[1]
	holds, low, high := "", FloorPercent(most.HoldLevel), FloorPercent(least.HoldLevel)
	switch {
	case low < high:
		holds = fmt.Sprintf(", and it holds up to level %d to %d %%", low, high)
	case low > 0:
		holds = fmt.Sprintf(", and it holds up to level %d %% either way", low)
	}
	return fmt.Sprintf("Chips sold as %s differ: %.1f mA a channel at full and %.1f mA dark up to %.1f mA and %.1f mA; single figures here are for %.1f mA. "+
		"The prop draws %.1f to %.1f A (%.1f to %.1f A as it sags), its lowest voltage is %s to %s (%s to %s)%s. "+
		"Two readings of your own strip settle it: the amps of all its pixels dark, divided by their number, are idle; those with one colour at full, less the dark ones, divided alike, are full. Write both into [strip].",
		p.Chip.Name, 1000*least.ChannelAmps, 1000*least.IdleAmps, 1000*most.ChannelAmps, 1000*most.IdleAmps, 1000*p.Chip.ChannelAmps,
		least.Amps, most.Amps, least.SagAmps, most.SagAmps, VoltsText(most.Lowest), VoltsText(least.Lowest),
		VoltsText(most.SagLowest), VoltsText(least.SagLowest), holds)
}
