package strip

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// TestSagAgainstAMeasuredStrip holds the simple law against a published bench
// measurement: 5 m of WS2812B at 60 a metre, 1 ohm a rail (0.4 ohm a metre
// there and back), all white, fed at one end with 5 V: 2.5 V at the far end,
// 3.7 A in all. The author calls his figures rough, so 15 % are allowed on
// both. Current as in the later WS2812B, 12 mA a channel.
func TestSagAgainstAMeasuredStrip(t *testing.T) {
	p := bench("GRB", 300)
	p.Chip.ChannelAmps = 0.012
	s, err := New(p, Fault{Kind: Sag, N: 400})
	require.NoError(t, err)
	good, err := New(p)
	require.NoError(t, err)
	l := good.Shine(all(300, white))
	far := s.farVolts(l)
	require.InDelta(t, 2.5, far, 0.15*2.5)
	amps, v := 0.0, far
	for range 300 {
		amps += drawn(s.sag, white, v)
		v += amps * s.sag.ohms
	}
	require.InDelta(t, 5.0, v, 0.01, "the sum comes back to the supply")
	require.InDelta(t, 3.7, amps, 0.15*3.7)
}

// TestSagLooks is the row of the list of faults: white goes yellow or orange,
// then red, and it is gone when dimmed (common practice; forward voltages by
// the data sheet).
func TestSagLooks(t *testing.T) {
	s, err := New(bench("GRB", 100, 200), Fault{Kind: Sag, N: 400})
	require.NoError(t, err)
	l := s.Shine(all(300, white))
	require.Equal(t, white, l[0][0], "right at the feed")
	end := l[1][199]
	require.Positive(t, end.R)
	require.Zero(t, end.G)
	require.Zero(t, end.B)
	for i := 1; i < 200; i++ {
		require.LessOrEqual(t, l[1][i].G, l[1][i-1].G)
		require.LessOrEqual(t, l[1][i].R, l[1][i-1].R)
	}
	for _, run := range s.Shine(all(300, patterns.Colour{R: 8, G: 8, B: 8})) { // 3 %
		for _, c := range run {
			require.GreaterOrEqual(t, c.G, uint8(6), "hardly a tint when dimmed")
		}
	}
}

func TestSagShowsOnTheDemoPropAtStartLevel(t *testing.T) {
	s, err := New(prop.Porthole(), Fault{Kind: Sag})
	require.NoError(t, err)
	l := s.Shine(all(144, patterns.Colour{R: 51, G: 51, B: 51})) // 20 %
	require.Equal(t, uint8(51), l[0][0].G)
	require.Less(t, l[2][59].G, uint8(20))
}

// TestFlickerIsSlowEnoughToWatch: WCAG 2.3.1, no more than three flashes in
// any one second.
func TestFlickerIsSlowEnoughToWatch(t *testing.T) {
	for pixel := range 50 {
		l := looseContact{pixel: pixel}
		var falls []time.Duration
		was := false
		for at := time.Duration(0); at < time.Minute; at += time.Millisecond {
			if now := l.isOpen(at); now && !was {
				falls = append(falls, at)
			}
			was = l.isOpen(at)
		}
		require.Greater(t, len(falls), 60, "it does flicker")
		for i := 3; i < len(falls); i++ {
			require.Greater(t, falls[i]-falls[i-3], time.Second, "pixel %d", pixel)
		}
	}
}

func TestFlickerGoesDarkBehindTheLooseJoint(t *testing.T) {
	s, err := New(bench("GRB", 2, 2), Fault{Kind: Flicker, Pixel: 2})
	require.NoError(t, err)
	require.True(t, s.Flickers())
	d := s.Lay(all(4, red))
	require.Equal(t, "R R | R R", look(s.ShineInto(nil, d)))
	require.Equal(t, "R R | - -", look(s.ShineOpen(nil, d)))
	require.Equal(t, "R R | - -", look(s.LightOpen(nil, d.Slots())))
	seen := map[string]bool{}
	for at := time.Duration(0); at < 5*time.Second; at += 20 * time.Millisecond {
		seen[look(s.LightAt(nil, d.Slots(), at))] = true
	}
	require.Equal(t, map[string]bool{"R R | R R": true, "R R | - -": true}, seen)
}

// drawn is what a light draws at a voltage.
func drawn(g *sag, c patterns.Colour, v float64) float64 {
	amps, _ := g.law.Amps(g.draw(c, 1), v)
	return amps
}

// A fall of voltage of which only bounds are known is said so; the strongest
// and the weakest that are told apart stand for all beyond them.
func TestSagBetween(t *testing.T) {
	for want, n := range map[string][2]int{
		"with about 1.5 Ω a metre there": {1500, 1500}, "with 1.0 to 2.2 Ω a metre there": {1000, 2200},
		"with 2.2 Ω a metre or more there": {2200, 11000}, "with 0.70 Ω a metre or less there": {500, 700}, "how strongly is not known": {500, 11000},
	} {
		require.Contains(t, SagBetween(n[0], n[1]), want)
	}
}

// The light of a strip that sags is that of each pixel at its own voltage, by the solver of
// package power: one feed, half of each step's resistance in either rail; red by the
// share of its current that is left, green and blue by theirs, to a step of their value.
func TestSagIsWhatTheLadderSays(t *testing.T) {
	p := bench("GRB", 40, 60)
	colours := []patterns.Colour{white, {R: 255}, {G: 200, B: 90}, {}, {R: 30, G: 255, B: 255}}
	frame := make(patterns.Frame, p.Pixels())
	for i := range frame {
		frame[i] = colours[i%len(colours)]
	}
	dimmest := uint8(255)
	for _, milli := range []int{100, 400, 1500} {
		half := float64(milli) / 1000 / 60 / 2 // ohms a metre over 60 pixels a metre
		net := &power.Network{Volts: 5, Taps: []power.Tap{{Rails: power.Rails{Plus: half, Minus: half}}}}
		draws := make([]power.Draw, len(frame))
		for i, c := range frame {
			draws[i] = power.DrawOf(p.Chip, c, 1)
			if i > 0 {
				net.Links = append(net.Links, power.Rails{Plus: half, Minus: half})
			}
		}
		ladder, err := power.NewLadder(net)
		require.NoError(t, err)
		law := power.LawOf(p.Chip)
		sol, err := ladder.Sagging(nil, draws, law)
		require.NoError(t, err)
		curve := law.Curve()
		light := mustStrip(t, p, Fault{Kind: Sag, N: milli}).Shine(frame)
		i := 0
		for _, run := range light {
			for _, got := range run {
				red, _ := curve.Amps(power.Draw{Red: 1}, sol.Volts(i))
				rest, _ := curve.Amps(power.Draw{Rest: 1}, sol.Volts(i))
				require.InDelta(t, float64(frame[i].R)*red, float64(got.R), 1, "red of pixel %d at %d mΩ a metre", i+1, milli)
				require.InDelta(t, float64(frame[i].G)*rest, float64(got.G), 1, "green of pixel %d", i+1)
				require.InDelta(t, float64(frame[i].B)*rest, float64(got.B), 1, "blue of pixel %d", i+1)
				if frame[i].G == 255 {
					dimmest = min(dimmest, got.G)
				}
				i++
			}
		}
		require.Equal(t, len(frame), i)
	}
	require.Less(t, dimmest, uint8(100), "the far end is clearly dimmer")
}
