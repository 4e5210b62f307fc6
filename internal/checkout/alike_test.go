package checkout

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// By the names of colours no one tells a white that stays lit from a pixel that
// stays lit: both are named, whichever it is.
func TestAWhiteThatStaysLitIsNamedToo(t *testing.T) {
	p := single("row", 40)
	p.Chip.Order = "GRBW"
	for _, ft := range []strip.Fault{{Kind: strip.StuckOn, Pixel: 10}, {Kind: strip.StuckChannel, Pixel: 10, Channel: patterns.White}} {
		s, err := New(p, Options{})
		require.NoError(t, err)
		st, err := strip.New(p, ft)
		require.NoError(t, err)
		finish(t, s, st)
		var named []string
		for _, c := range s.Findings()[0].Causes {
			for _, f := range c.Faults {
				named = append(named, f.String())
			}
		}
		assert.Contains(t, named, "stuck-on pixel 11", ft)
		assert.Contains(t, named, "stuck-channel pixel 11 colour white", ft)
	}
	s, err := New(prop.Porthole(), Options{})
	require.NoError(t, err)
	st, err := strip.New(prop.Porthole(), strip.Fault{Kind: strip.StuckOn, Pixel: 10})
	require.NoError(t, err)
	finish(t, s, st)
	assert.Len(t, s.Findings()[0].Causes, 1, "a chip without white has none that stays lit")
}

// A dead white shows in no other light: it is found to the pixel all the same.
func TestADeadWhiteIsFoundToThePixel(t *testing.T) {
	row, rings := single("row", 40), ringProp("rgbw rings", 24, 16, 20)
	row.Chip.Order, rings.Chip.Order = "GRBW", "GRBW"
	for _, p := range []*prop.Prop{row, rings} {
		for at := range p.Pixels() {
			if !long() && at%7 != 3 && at > 2 && at < p.Pixels()-3 {
				continue
			}
			s, err := New(p, Options{})
			require.NoError(t, err)
			ft := strip.Fault{Kind: strip.DeadChannel, Pixel: at, Channel: patterns.White}
			st, err := strip.New(p, ft)
			require.NoError(t, err)
			finish(t, s, st)
			causes := s.Findings()[0].Causes
			require.NotEmpty(t, causes, "%v: %v", ft, s.Findings())
			assert.Equal(t, []strip.Fault{ft}, causes[0].Faults)
			if at < p.Pixels()-1 { // the last pixel alone may as well be a chip without white
				assert.Len(t, causes, 1, "%v: %v", ft, causes)
			}
			assert.LessOrEqual(t, s.Answered(), 12, ft)
		}
	}
}
