package power

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// long is 10,000 pixels with 40 feeds; closed joins its end to its start.
func long(pixels int, closed bool) *Network {
	n := chain(pixels, 5, step60, step60)
	for k := range 40 {
		n.Taps = append(n.Taps, tap(k*pixels/40, 0.02))
	}
	if closed {
		n.ring(0, pixels-1, step60)
	}
	return n
}

func benchShapes() map[string]*Network {
	unlike := long(10_000, false)
	unlike.Links[5000].Plus = 0.1
	return map[string]*Network{"rails unlike 10000": unlike, "line 1000": long(1000, false), "line 10000": long(10_000, false), "line 100000": long(100_000, false), "ring 10000": long(10_000, true)}
}

func perPixel(b *testing.B, n *Network) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n.Pixels()), "ns/pixel")
}

// Folding and solving from nothing but conductances.
func BenchmarkConstantFolded(b *testing.B) {
	for name, n := range benchShapes() {
		b.Run(name, func(b *testing.B) {
			l, err := NewLadder(n)
			require.NoError(b, err)
			amps := make([]float64, n.Pixels())
			for i := range amps {
				amps[i] = 0.061
			}
			s := l.Constant(nil, amps)
			b.ReportAllocs()
			for b.Loop() {
				l.fold()
				s = l.Constant(s, amps)
			}
			perPixel(b, n)
		})
	}
}

// The folded ladder kept, another load each time.
func BenchmarkConstantAgain(b *testing.B) {
	n := long(10_000, false)
	l, err := NewLadder(n)
	require.NoError(b, err)
	amps := make([]float64, n.Pixels())
	for i := range amps {
		amps[i] = 0.061
	}
	s := l.Constant(nil, amps)
	b.ReportAllocs()
	for b.Loop() {
		s = l.Constant(s, amps)
	}
	perPixel(b, n)
}

// From the network to voltages, all in.
func BenchmarkConstantWhole(b *testing.B) {
	n := long(10_000, false)
	amps := make([]float64, n.Pixels())
	for i := range amps {
		amps[i] = 0.061
	}
	b.ReportAllocs()
	for b.Loop() {
		l, err := NewLadder(n)
		if err != nil {
			b.Fatal(err)
		}
		l.Constant(nil, amps)
	}
	perPixel(b, n)
}

func BenchmarkSagging(b *testing.B) {
	for name, n := range benchShapes() {
		b.Run(name, func(b *testing.B) {
			l, err := NewLadder(n)
			require.NoError(b, err)
			c := chip(b, "WS2812B")
			draws := sameDraws(n.Pixels(), DrawOf(c, FullWhite(), 1))
			s, err := l.Sagging(nil, draws, LawOf(c))
			require.NoError(b, err)
			b.ReportAllocs()
			for b.Loop() {
				s, _ = l.Sagging(s, draws, LawOf(c))
			}
			perPixel(b, n)
			b.ReportMetric(float64(s.Rounds), "rounds")
		})
	}
}

// The whole process of ngspice on the deck of the 10,000-pixel line.
func BenchmarkNgspice(b *testing.B) {
	ngspice(b)
	c, n := chip(b, "WS2812B"), long(10_000, false)
	law := LawOf(c)
	for _, l := range []*Law{nil, &law} {
		b.Run(fmt.Sprintf("sagging %t", l != nil), func(b *testing.B) {
			text := deck("10,000 pixels, 40 feeds", n, sameDraws(n.Pixels(), DrawOf(c, FullWhite(), 1)), l)
			began := time.Now()
			runs := 0
			for b.Loop() {
				simulate(b, text)
				runs++
			}
			b.ReportMetric(float64(time.Since(began).Nanoseconds())/float64(runs)/1e4, "ns/pixel")
		})
	}
}

func BenchmarkPlan(b *testing.B) {
	big := prop.Porthole()
	big.Runs, big.Feeds = []prop.Run{{Pixels: 680}}, big.Feeds[:1]
	for name, p := range map[string]*prop.Prop{"porthole": prop.Porthole(), "680 on one feed": big} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Plan(p, 1, FullWhite()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
