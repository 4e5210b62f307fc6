package strip

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// The volts of a strip differ from those of a sound one by Ohm's law: what
// flows over the joint times what is too much there. At this level every pixel
// has all the volts it needs, so its current is the chip's, 12 mA a colour.
func TestResistanceByOhmsLaw(t *testing.T) {
	p := bench("GRB", 4, 6)
	p.Chip.ChannelAmps, p.Chip.IdleAmps = 0.012, 0
	good, err := New(p)
	require.NoError(t, err)
	bad, err := New(p, Fault{Kind: Resistance, Run: 1, N: 500})
	require.NoError(t, err)
	frame := all(10, patterns.Colour{R: 51, G: 51, B: 51}) // a fifth
	want, err := good.Volts(frame)
	require.NoError(t, err)
	got, err := bad.Volts(frame)
	require.NoError(t, err)
	over := 6 * 3 * 0.012 * 51 / 255 // amps over the joint
	for i := range 4 {
		require.InDelta(t, want[i], got[i], 1e-6, "before the joint nothing changes")
	}
	for i := 4; i < 10; i++ {
		require.InDelta(t, want[i]-0.5*over, got[i], 1e-5, "0.5 ohm times %.4f A", over)
	}
}

// A meter shows what a fault does to supply and load.
func TestVoltsOfFaults(t *testing.T) {
	p := prop.Porthole()
	white := all(144, patterns.Colour{R: 128, G: 128, B: 128})
	volts := func(text string) []float64 {
		var faults []Fault
		if text != "" {
			f, err := ParseFault(text, p)
			require.NoError(t, err)
			faults = append(faults, f)
		}
		s, err := New(p, faults...)
		require.NoError(t, err)
		v, err := s.Volts(white)
		require.NoError(t, err)
		return v
	}
	sound := volts("")
	for _, v := range volts("no-supply") {
		require.Zero(t, v)
	}
	lost := volts("rail-lost pixel 37")
	require.Positive(t, lost[35])
	require.Zero(t, lost[36])
	require.Zero(t, lost[143])
	open := volts("open-joint pixel 37")
	require.Greater(t, open[143], sound[143], "dark pixels draw little, so more volts are left")
	sag := volts("sag by 1500")
	require.Less(t, sag[143], sound[143]-0.5)
	feed := volts("resistance run 1 by 300")
	require.Less(t, feed[0], sound[0]-0.1)
}

// Where light is low enough the joint can't be seen, and it can at full.
func TestResistanceDims(t *testing.T) {
	p := prop.Pennant()
	s, err := New(p, Fault{Kind: Resistance, Run: 0, N: 2000})
	require.NoError(t, err)
	low, full := all(136, patterns.Colour{W: 3}), all(136, patterns.Colour{R: 255, G: 255, B: 255})
	require.Equal(t, low[5], s.Shine(low)[0][5])
	require.Less(t, s.Shine(full)[0][5].G, uint8(250))
	_, err = New(p, Fault{Kind: Resistance, Run: 0, N: 0})
	require.ErrorContains(t, err, "milliohms")
}

func TestAlone(t *testing.T) {
	p := prop.Porthole() // 36, 48, 60
	for _, row := range []struct {
		text string
		run  int
		want string // empty: nothing of it is left
	}{
		{"dead-pixel pixel 40", 1, "dead-pixel pixel 4"},
		{"dead-pixel pixel 40", 0, ""},
		{"dead-pixel pixel 40", 2, ""},
		{"open-joint pixel 37", 1, ""}, // in the joint that is not made yet
		{"open-joint pixel 38", 1, "open-joint pixel 2"},
		{"open-joint pixel 1", 0, "open-joint pixel 1"}, // the lead
		{"wrong-order pixel 1 order RGB", 2, "wrong-order pixel 1 order RGB"},
		{"wrong-order pixel 85 order RGB", 1, ""},
		{"count run 2 by -1", 1, "count run 1 by -1"},
		{"count run 2 by -1", 2, ""},
		{"runs-swapped run 1 run 2", 0, ""},
		{"resistance run 1 by 800", 0, "resistance run 1 by 800"},
		{"resistance run 2 by 800", 1, ""},
		{"no-supply", 2, "no-supply"},
		{"slot-shift by 1", 1, "slot-shift by 1"},
	} {
		f, err := ParseFault(row.text, p)
		require.NoError(t, err)
		run := *p
		run.Runs, run.Parts, run.Feeds = p.Runs[row.run:row.run+1], nil, nil
		got := Alone(p, row.run, &run, []Fault{f})
		if row.want == "" {
			require.Empty(t, got, "%s, run %d", row.text, row.run+1)
			continue
		}
		require.Len(t, got, 1, "%s, run %d", row.text, row.run+1)
		require.Equal(t, row.want, got[0].String())
	}
}

// Of a dead pixel anywhere in the prop exactly the run that has it keeps it, from its
// first pixel to its last, counted from its own start.
func TestAlonePixelByPixel(t *testing.T) {
	p := prop.Porthole()
	for pixel := range p.Pixels() {
		of, at := p.Find(pixel)
		for run := range p.Runs {
			alone := *p
			alone.Runs, alone.Parts, alone.Feeds = p.Runs[run:run+1], nil, nil
			got := Alone(p, run, &alone, []Fault{{Kind: DeadPixel, Pixel: pixel}})
			if run != of {
				require.Empty(t, got, "pixel %d on run %d", pixel+1, run+1)
				continue
			}
			require.Equal(t, []Fault{{Kind: DeadPixel, Pixel: at}}, got, "pixel %d", pixel+1)
		}
	}
}

// Light in pieces is the same light.
func TestResistanceInPieces(t *testing.T) {
	p := prop.Pennant()
	s, err := New(p, Fault{Kind: Resistance, Run: 0, N: 2000})
	require.NoError(t, err)
	d := s.Lay(all(136, white))
	var got Pieces
	s.PiecesInto(&got, d)
	require.Less(t, got.Runs[0][0].Colour.G, uint8(250))
	require.Equal(t, s.ShineInto(nil, d)[0][0], got.Runs[0][0].Colour)
}
