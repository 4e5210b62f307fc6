package record

import (
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
)

// anyProp is a prop of up to 14 runs of any shape, with feeds anywhere.
func anyProp(t *rapid.T) *prop.Prop {
	p := prop.Porthole()
	p.Runs, p.Parts, p.Feeds = nil, nil, nil
	for i := range rapid.IntRange(1, 14).Draw(t, "runs") {
		r := prop.Run{Name: fmt.Sprint("run ", i, rapid.StringN(0, 30, -1).Draw(t, "name")), Pixels: rapid.IntRange(1, 60).Draw(t, "pixels"),
			Reverse: rapid.Bool().Draw(t, "reverse")}
		size := rapid.Float64Range(0.01, 3).Draw(t, "size")
		switch rapid.IntRange(0, 3).Draw(t, "shape") {
		case 0:
			r.Shape = prop.Shape{Kind: prop.Ring, Diameter: size}
		case 1:
			r.Shape = prop.Shape{Kind: prop.Star, Diameter: size, Points: rapid.IntRange(3, 9).Draw(t, "points")}
		case 2:
			r.Shape = prop.Shape{Kind: prop.Outline, Corners: []prop.Point{{X: 0, Y: 0}, {X: size, Y: 0}, {X: size, Y: size}, {X: 0, Y: 0}}}
		default:
			r.Shape = prop.Shape{Kind: prop.Line, Angle: float64(rapid.IntRange(0, 359).Draw(t, "angle"))}
		}
		p.Runs = append(p.Runs, r)
	}
	for range rapid.IntRange(0, 4).Draw(t, "feeds") {
		p.Feeds = append(p.Feeds, prop.Feed{Pixel: rapid.IntRange(0, p.Pixels()).Draw(t, "feed")})
	}
	return p
}

// Whatever the prop, the drawing is well-formed, every pixel is on the page and
// no figure is infinite or not a number.
func TestAnyDrawingIsWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProp(t)
		svg, height, _ := drawingSVG(p)
		require.LessOrEqual(t, height, drawHeight+0.1)
		require.NotContains(t, svg, "NaN")
		require.NotContains(t, svg, "Inf")
		dots := 0
		d := xml.NewDecoder(strings.NewReader(svg))
		for {
			tok, err := d.Token()
			if tok == nil {
				require.ErrorContains(t, err, "EOF")
				break
			}
			require.NoError(t, err)
			if e, ok := tok.(xml.StartElement); ok && e.Name.Local == "circle" {
				dots++
				for _, a := range e.Attr {
					v, _ := strconv.ParseFloat(a.Value, 64)
					switch a.Name.Local {
					case "cx":
						require.True(t, 0 <= v && v <= drawWidth, a.Value)
					case "cy":
						require.True(t, 0 <= v && v <= height, a.Value)
					}
				}
			}
		}
		require.Equal(t, p.Pixels(), dots)
	})
}

func anyEntry(t *rapid.T) Entry {
	e := Entry{Kind: "check-out", At: evening, Verdict: rapid.SampledFrom([]Verdict{Pass, Fail, Stopped}).Draw(t, "verdict"),
		Order: rapid.SampledFrom([]string{"", "GRB", "RGB"}).Draw(t, "order")}
	for i := range rapid.IntRange(0, 4).Draw(t, "n") {
		name := fmt.Sprint("run ", i)
		e.Runs = append(e.Runs, Run{name, 10, rapid.IntRange(0, 12).Draw(t, "found"), rapid.SampledFrom([]string{"", "as planned", "reversed"}).Draw(t, "travel")})
		e.Joints = append(e.Joints, Joint{name, rapid.Float64Range(0, 2).Draw(t, "ohms"), rapid.Float64Range(0, 0.2).Draw(t, "plus minus")})
		e.Volts = append(e.Volts, Reading{i + 1, 1, rapid.Float64Range(2, 5).Draw(t, "volts")})
		e.Findings = append(e.Findings, Finding{Kind: "x", Pixel: rapid.IntRange(1, 3).Draw(t, "pixel"), Fixed: rapid.Bool().Draw(t, "fixed")})
	}
	return e
}

// Nothing gets worse against itself; side by side it has the same on both
// sides; and turned round a comparison tells of as many figures.
func TestComparisonsAreEven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyEntry(t), anyEntry(t)
		for _, c := range Compare(a, a) {
			require.False(t, c.Worse, c.Text)
		}
		for _, p := range SideBySide(a, a) {
			require.Equal(t, p.From, p.To, p.What)
		}
		count := func(cs []Change) (n int) {
			for _, c := range cs {
				if c.What == "joint" || c.What == "volts" {
					n++
				}
			}
			return n
		}
		require.Equal(t, count(Compare(a, b)), count(Compare(b, a)))
		there, back := SideBySide(a, b), SideBySide(b, a)
		require.Len(t, back, len(there))
		for _, p := range there {
			assert.Contains(t, back, Pair{p.What, p.To, p.From})
		}
	})
}
