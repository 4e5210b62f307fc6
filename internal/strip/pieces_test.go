package strip

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/patterns"
)

// light writes pieces out light by light, and refuses neighbours that are
// alike and pieces without lights.
func (p *Pieces) written(t require.TestingT) Light {
	out := make(Light, len(p.Runs))
	for r, run := range p.Runs {
		out[r] = []patterns.Colour{}
		for i, pc := range run {
			require.Positive(t, pc.Lights)
			if i > 0 {
				require.NotEqual(t, run[i-1].Colour, pc.Colour)
			}
			for range pc.Lights {
				out[r] = append(out[r], pc.Colour)
			}
		}
	}
	return out
}

// banded is a frame of a few stretches, as probes send.
func banded(t *rapid.T, pixels int) patterns.Frame {
	f, c := make(patterns.Frame, pixels), patterns.Colour{}
	hues := []patterns.Colour{{}, {R: 50}, {G: 50}, {R: 9, G: 9, B: 9}, {W: 40}, {R: 1, G: 2, B: 3}}
	for i := range f {
		if i == 0 || rapid.IntRange(0, 4).Draw(t, "edge") == 0 {
			c = rapid.SampledFrom(hues).Draw(t, "hue")
		}
		f[i] = c
	}
	return f
}

// TestPiecesAreTheLight: pieces say what ShineInto says, for every kind of
// fault, also loose contacts and a falling voltage, and in used memory; what
// drives a place is what is seen there.
func TestPiecesAreTheLight(t *testing.T) {
	var p Pieces
	var draft Draft // used for strip after strip
	rapid.Check(t, func(t *rapid.T) {
		pr := drawProp(t)
		s := drawStrip(t, pr)
		if k := rapid.SampledFrom([]Kind{"", Sag, Flicker, Sparkle}).Draw(t, "more"); k != "" {
			if more, err := s.With(append(s.Faults(), Fault{Kind: k, Pixel: rapid.IntRange(0, pr.Pixels()-1).Draw(t, "at")})...); err == nil {
				s = more
			}
		}
		d := s.LayInto(s.Lay(banded(t, pr.Pixels())), banded(t, pr.Pixels()))
		want := s.ShineInto(nil, d)
		require.NoError(t, s.Draft(&draft, s.Faults()...))
		require.Equal(t, want, draft.ShineInto(nil, d), "%v", s.Faults())
		draft.PiecesInto(&p, d)
		require.Equal(t, want, p.written(t), "%v", s.Faults())
		s.PiecesInto(&p, d)
		require.Equal(t, want, p.written(t), "%v", s.Faults())
		if s.Flickers() {
			s.PiecesOpen(&p, d)
			require.Equal(t, s.ShineOpen(nil, d), p.written(t), "%v", s.Faults())
		}
		if s.sag == nil {
			requireDrives(t, s, d, want)
		}
	})
}

func requireDrives(t require.TestingT, s *Strip, d *SlotFrame, want Light) {
	for r, run := range want {
		require.Equal(t, len(run), s.Places(r))
		for i, c := range run {
			got, ok := s.Drives(d, r, i)
			require.True(t, ok)
			require.Equal(t, c, got, "run %d place %d: %v", r, i, s.Faults())
		}
		_, ok := s.Drives(d, r, len(run))
		require.False(t, ok)
	}
}

func BenchmarkPieces(b *testing.B) {
	for _, f := range []Fault{{Kind: OpenJoint, Pixel: 500}, {Kind: WrongChip, N: 4}, {Kind: Mirrored}, {Kind: SlotShift, N: 1}, {Kind: Sag}} {
		s, err := New(thousand("GRB"), f)
		if err != nil {
			b.Fatal(err)
		}
		frame := all(1000, patterns.Colour{R: 50})
		for i := range frame {
			frame[i] = []patterns.Colour{{R: 50}, {G: 50}, {B: 50}, {R: 50, G: 50}, {R: 50, B: 50}}[i/200]
		}
		d := s.Lay(frame)
		var p Pieces
		b.Run(string(f.Kind), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				s.PiecesInto(&p, d)
			}
			perPixel(b)
		})
	}
}
