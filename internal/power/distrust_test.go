package power

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// asPlanned are readings of a sound prop at all places and three levels.
func asPlanned(t *testing.T, p *prop.Prop) []Reading {
	t.Helper()
	var out []Reading
	for _, level := range []float64{0.09, 0.45, 0.9} {
		for _, at := range LoadTestPlaces(p) {
			out = append(out, Reading{Level: level, Pixel: at})
		}
	}
	volts, err := Planned(p, out)
	require.NoError(t, err)
	for i := range out {
		out[i].Volts = volts[i]
	}
	return out
}

// Readings that cannot be so are no proof of sound copper, whatever fits them best.
func TestReadingsThatProveNothing(t *testing.T) {
	for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant()} {
		for _, row := range []struct {
			name   string
			change func(i int, r *Reading)
			want   FitVerdict
			says   string
		}{
			{"as planned", func(int, *Reading) {}, FitGood, "No joint or feed stands out"},
			{"5 % high throughout", func(_ int, r *Reading) { r.Volts *= 1.05 }, FitGood, "No joint or feed stands out"},
			{"the supply's volts everywhere, as of a dark prop", func(_ int, r *Reading) { r.Volts = p.Supply.Volts }, FitDoubtful, "hardly fall as the level rises: by 0 mV"},
			{"rising a little with the load", func(_ int, r *Reading) { r.Volts = p.Supply.Volts - 0.02 + 0.02*r.Level }, FitDoubtful, "hardly fall"},
			{"one far too low", func(i int, r *Reading) {
				if i == 5 {
					r.Volts -= 0.5
				}
			}, FitDoubtful, "Reading 6, "},
			{"scattered by far more than a meter does", func(i int, r *Reading) { r.Volts += 0.1 * float64((i*7)%5-2) }, FitDoubtful, "scatter by some 120 mV"},
			{"a supply below the chip's lowest volts", func(_ int, r *Reading) { r.Volts *= 0.75 }, FitLowSupply, "The chip wants 4.5 V at least"},
		} {
			all := asPlanned(t, p)
			for i := range all {
				row.change(i, &all[i])
			}
			r, err := Fit(p, all)
			require.NoError(t, err)
			assert.Equal(t, row.want, r.Verdict, "%s, %s: %s", p.Name, row.name, r.Text)
			assert.Contains(t, r.Text, row.says, "%s, %s", p.Name, row.name)
		}
	}
}
