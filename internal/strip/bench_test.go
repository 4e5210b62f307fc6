package strip

import (
	"testing"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// thousand is a prop of 1,000 pixels in four runs.
func thousand(order string) *prop.Prop { return bench(order, 250, 250, 250, 250) }

func BenchmarkLight(b *testing.B) {
	for _, c := range []struct {
		name   string
		faults []Fault
	}{
		{"good", nil},
		{"open", []Fault{{Kind: OpenJoint, Pixel: 500}}},
		{"chip4", []Fault{{Kind: WrongChip, N: 4}}},
		{"mirrored", []Fault{{Kind: Mirrored}}},
		{"sag", []Fault{{Kind: Sag}}},
	} {
		s, err := New(thousand("GRB"), c.faults...)
		if err != nil {
			b.Fatal(err)
		}
		d := s.Lay(all(1000, patterns.Colour{R: 50, G: 50, B: 50}))
		dst := s.ShineInto(nil, d)
		b.Run(c.name+"/slots", func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				dst = s.LightInto(dst, d.Slots())
			}
			perPixel(b)
		})
		b.Run(c.name+"/frame", func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				dst = s.ShineInto(dst, d)
			}
			perPixel(b)
		})
	}
}

// perPixel reports the time of a pixel of a thousand.
func perPixel(b *testing.B) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/1000, "ns/pixel")
}

func BenchmarkWith(b *testing.B) {
	good, err := New(thousand("GRB"))
	if err != nil {
		b.Fatal(err)
	}
	for _, f := range []Fault{{Kind: OpenJoint, Pixel: 500}, {Kind: WrongChip, N: 4}, {Kind: Count, Run: 1, N: -1}} {
		b.Run(string(f.Kind), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := good.With(f); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(string(f.Kind)+"/draft", func(b *testing.B) {
			var d Draft
			b.ReportAllocs()
			for b.Loop() {
				if err := good.Draft(&d, f); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
