package strip

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// noise is a frame whose values look random, never 0.
func noise(n int, seed uint64) patterns.Frame {
	f := make(patterns.Frame, n)
	for i := range f {
		x := scatter(seed<<32 + uint64(i))
		at := func(k uint) uint8 { return 1 + uint8(x>>(8*k))%255 }
		f[i] = patterns.Colour{R: at(0), G: at(1), B: at(2), W: at(3), C: at(4)}
	}
	return f
}

// alikeOn reports whether two strips show the same of several noise frames.
func alikeOn(a, b *Strip) bool {
	for seed := range uint64(3) {
		d := a.Lay(noise(a.pixels, seed))
		if look3(a.ShineInto(nil, d)) != look3(b.ShineInto(nil, d)) || look3(a.ShineOpen(nil, d)) != look3(b.ShineOpen(nil, d)) {
			return false
		}
	}
	return true
}

// TestFingerprintIsTheLight: two strips have one fingerprint if, and only if,
// they show the same of frames of noise.
func TestFingerprintIsTheLight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProp(t)
		a, b := drawStrip(t, p), drawStrip(t, p)
		require.Equal(t, alikeOn(a, b), a.Fingerprint() == b.Fingerprint(), "%v and %v", a.Faults(), b.Faults())
	})
}

// TestEveryPairOfSingleFaults compares all single faults of small props with
// one another.
func TestEveryPairOfSingleFaults(t *testing.T) {
	straddle := bench("GRB", 4, 3)
	straddle.Address.Packing, straddle.Address.Slot = prop.Straddle, 500
	for _, p := range []*prop.Prop{bench("GRB", 3, 1, 2), bench("GRBW", 2, 3), straddle, shifted(bench("GRB", 5), 503), bench("GRB", 1)} {
		sound := mustStrip(t, p)
		all := []*Strip{sound}
		for _, k := range Kinds() {
			for _, f := range Every(k, p) {
				for at := range p.Pixels() {
					if f.Pixel = at; at > 0 && !k.Placed() {
						break
					}
					if s, err := sound.With(f); err == nil && s.sag == nil && s.copper == nil {
						all = append(all, s)
					}
				}
			}
		}
		for i, a := range all {
			for _, b := range all[:i] {
				if a.Fingerprint() == b.Fingerprint() != alikeOn(a, b) {
					assert.Equal(t, alikeOn(a, b), a.Fingerprint() == b.Fingerprint(), "%v and %v", a.Faults(), b.Faults())
					return
				}
			}
		}
	}
}

func BenchmarkDraftFingerprint(b *testing.B) {
	s, err := New(bench("GRB", 10000))
	require.NoError(b, err)
	var d Draft
	for i := 0; b.Loop(); i++ {
		require.NoError(b, s.Draft(&d, Fault{Kind: DeadPixel, Pixel: i % 10000}))
		d.Fingerprint()
	}
}

// Strips made from the spans of the sound one are as those made chip by chip,
// on every prop and with every fault.
func TestSpansFromTheSoundStrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProp(t)
		s := drawStrip(t, p)
		bare := *s.plan
		bare.sound, bare.starts = nil, nil
		slow := build(&bare, s.Faults())
		require.Equal(t, slow.spans, s.spans, "%v", s.Faults())
		require.Equal(t, slow.Fingerprint(), s.Fingerprint())
	})
}
