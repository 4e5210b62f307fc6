package checkout

import (
	"errors"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/strip"
)

func TestRollCallLooks(t *testing.T) {
	rows := []struct {
		name, source string
		most         int
		palette      Palette
		check        bool
		looks        int
	}{
		{"a thousand in six colours", "6^4 = 1296 >= 1000 > 6^3 = 216", 1000, SixColours, false, 4},
		{"all that four looks hold", "6^4 = 1296", 1296, SixColours, false, 4},
		{"one more", "6^4 = 1296", 1297, SixColours, false, 5},
		{"a ring of 60", "6^3 = 216 >= 60", 60, SixColours, false, 3},
		{"a ring of 60, checked", "one look more", 60, SixColours, true, 4},
		{"three colours", "3^7 = 2187 >= 1000 > 3^6 = 729", 1000, ThreeColours, false, 7},
		{"lit or dark", "2^10 = 1024 >= 1000, and a look to find the last pixel", 1000, LitOrDark, false, 11},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			c, err := NewRollCall(r.most, r.palette, r.check)
			require.NoError(t, err)
			assert.Equal(t, r.looks, c.Looks(), r.source)
		})
	}
	_, err := NewRollCall(0, SixColours, false)
	assert.Error(t, err)
	_, err = NewRollCall(5, 9, false)
	assert.Error(t, err)
}

// readRoll reads the colours of a pixel of a simulated strip, look by look,
// with the test's own eyes.
func readRoll(r *RollCall, s *strip.Strip, last bool) []Hue {
	var out []Hue
	var b builder
	for look := range r.Looks() {
		b.Watch(s, s.Lay(r.Show(look)(nil, s.Prop().Pixels(), 0)).Slots())
		all := b.Along()
		name := all[0]
		if last {
			name = all[len(all)-1]
		}
		out = append(out, Hue(name))
	}
	return out
}

func TestRollCallCountsFreshRing(t *testing.T) {
	// A fresh ring is sent more pixels than it has, in any colour order.
	for _, planned := range []int{12, 60, 240, 1000} {
		p := single("ring", planned)
		for _, pal := range []Palette{SixColours, ThreeColours, LitOrDark} {
			r, err := NewRollCall(planned, pal, false)
			require.NoError(t, err)
			for _, real := range []int{1, 2, planned / 2, planned - 1, planned} {
				faults := []strip.Fault{{Kind: strip.WrongOrder, Order: "BRG"}}
				if real < planned {
					faults = append(faults, strip.Fault{Kind: strip.Count, N: real - planned})
				}
				s, err := strip.New(p, faults...)
				require.NoError(t, err)
				last, first := readRoll(r, s, true), readRoll(r, s, false)
				if pal == LitOrDark {
					last, first = last[1:], nil
				}
				got, err := r.Count(last, first)
				require.NoError(t, err)
				assert.Equal(t, []int{real}, got, "%d of %d, palette %d", real, planned, pal)
			}
		}
	}
}

func TestRollCallProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		most := rapid.IntRange(2, 1500).Draw(t, "most")
		pal := Palette(rapid.IntRange(0, 2).Draw(t, "palette"))
		r, err := NewRollCall(most, pal, true)
		require.NoError(t, err)
		real := rapid.IntRange(1, most).Draw(t, "real")
		var read []Hue
		for _, d := range r.code(real - 1) {
			read = append(read, r.hues[d])
		}
		got, err := r.Count(read, nil)
		require.NoError(t, err)
		assert.Equal(t, []int{real}, got)

		at := rapid.IntRange(0, len(read)-1).Draw(t, "look")
		was := read[at]
		read[at] = ""
		got, err = r.Count(read, nil)
		require.NoError(t, err)
		assert.Equal(t, []int{real}, got, "one look missed is made good by the check look")

		read[at] = r.hues[(r.code(real - 1)[at]+1)%len(r.hues)]
		if got, err := r.Count(read, nil); err == nil {
			t.Fatalf("misread %s for %s passed as %v", read[at], was, got)
		}
	})
}

func TestRollCallMisread(t *testing.T) {
	r, err := NewRollCall(100, SixColours, false)
	require.NoError(t, err)
	var mis *MisreadError
	_, err = r.Count([]Hue{HueRed}, nil)
	assert.ErrorAs(t, err, &mis)
	_, err = r.Count([]Hue{HueWhite, HueRed, HueRed}, nil)
	assert.ErrorAs(t, err, &mis)
	_, err = r.Count([]Hue{HueRed, HueRed, HueRed}, []Hue{HueRed, HueRed, HueBlue})
	assert.ErrorAs(t, err, &mis)
	beyond := r.code(150)
	_, err = r.Count([]Hue{r.hues[beyond[0]], r.hues[beyond[1]], r.hues[beyond[2]]}, nil)
	assert.ErrorAs(t, err, &mis, "pixel 151 of 100")
	assert.True(t, r.QuickerThanCounting(100))
	assert.False(t, r.QuickerThanCounting(12))
}

func TestRollCallNeverFlashes(t *testing.T) {
	r, err := NewRollCall(50, SixColours, false)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(1, 2))
	first := r.Show(1)(nil, 50, 0)
	for range 20 {
		assert.Equal(t, first, r.Show(1)(nil, 50, time.Duration(rng.Int64N(1e10))))
	}
	assert.Equal(t, 50, len(first))

}

// The first pixel of a strip whose order is not known shows red, green and blue
// once each, in any of the six orders, and nothing else is taken for it.
func TestRollCallOfAnUnknownOrder(t *testing.T) {
	r, err := NewRollCall(150, SixColours, false)
	require.NoError(t, err)
	all := []Hue{HueDark, HueRed, HueGreen, HueBlue, HueYellow, HueMagenta, HueCyan, HueWhite}
	taken := 0
	for _, a := range all {
		for _, b := range all {
			for _, c := range all {
				names, err := r.renamed([]Hue{a, b, c})
				want := a.name()|b.name()|c.name() == White
				for _, h := range []Hue{a, b, c} {
					want = want && (h == HueRed || h == HueGreen || h == HueBlue)
				}
				var misread *MisreadError
				require.Equal(t, !want, errors.As(err, &misread), "%s, %s, %s", a, b, c)
				if want {
					taken++
					for i, h := range r.hues {
						n := Dark
						for k, base := range []Name{Red, Green, Blue} {
							if h.name()&base != 0 {
								n |= []Hue{a, b, c}[k].name()
							}
						}
						require.Equal(t, n.hue(), names[i])
					}
				}
			}
		}
	}
	require.Equal(t, 6, taken)
	_, err = r.renamed([]Hue{HueRed, HueGreen})
	require.Error(t, err, "two looks of three")
}
