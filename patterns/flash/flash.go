// Package flash measures how often a light flashes, by the definitions that
// WCAG 2.3.1 gives ("general flash and red flash thresholds", W3C), and reports
// whether it flashes more than three times in a second.
//
// The rule is for screens; this package applies it to strips, in the stricter
// reading each time:
//
//   - Luminance. The rule first turns the values of a screen into linear light
//     (sRGB). A pixel chip dims by pulse width, so its values are linear light
//     already; only the rule's weights for red, green and blue are applied. A
//     white channel counts as much as red, green and blue together.
//   - A change counts from 0.05 up. The rule says 0.10, which lets a strip of
//     full blue (0.07) blink at will; a bare strip is brighter and nearer than
//     the screens the rule was made for. The rule also lets off changes whose darker
//     state is at 0.80 or more; this does not, since the level dims every
//     frame later and could bring them below. So a stream that passes here
//     passes at every level.
//   - Area. The rule counts a quarter of any ten degrees of view. A strip can
//     fill the view, so it is a quarter of the pixels.
//   - A flash is a pair of opposite changes. The general and
//     red changes of one pixel are counted together, and a window of one second has both its ends
//     inside.
//
// Frames are at full level, values 0 to 255. No clock is read.
package flash

import (
	"time"

	"example.org/ringout/patterns"
)

// The thresholds of WCAG 2.3.1, except MinChange, which is half the rule's.
const (
	MaxPerSecond = 3         // flashes in any one second
	MinChange    = 0.05      // of relative luminance, either way
	RedShare     = 0.8       // R/(R+G+B) from which a state is saturated red
	MinRed       = 20. / 320 // change of R-G-B in linear light; the rule writes it times 320
	Area         = 0.25      // share of the view
	Window       = time.Second
)

// Luminance is the relative luminance of a pixel in linear light: 1 for red,
// green and blue full, more when white channels add to them.
func Luminance(c patterns.Colour) float64 {
	return (0.2126*float64(c.R)+0.7152*float64(c.G)+0.0722*float64(c.B))/255 +
		(float64(c.W)+float64(c.C))/255
}

// Red is R-G-B of a pixel in linear light, not below 0, and whether the pixel
// is a saturated red. White channels count as red, green and blue alike.
func Red(c patterns.Colour) (value float64, saturated bool) {
	w := (float64(c.W) + float64(c.C)) / 255
	r, g, b := float64(c.R)/255, float64(c.G)/255, float64(c.B)/255
	sum := r + g + b + 3*w
	return max(0, r-g-b-w), sum > 0 && (r+w)/sum >= RedShare
}

// A Meter counts the flashes of one stream of frames. It is not safe for use
// by several goroutines.
type Meter struct {
	most    int // changes allowed in a second
	pixels  []pixel
	whole   [2]direction // direction of the large area's last change: general, red
	changes [2]history   // of large areas at once: general, red
}

// A Reading is the state of the stream at one frame.
type Reading struct {
	Pixels float64 // share of pixels that changed more often than allowed in the second that ends here
	Areas  int     // changes of a large area at once in that second, general or red
	most   int
}

// TooFast reports whether the stream breaks the rule at this frame.
func (r Reading) TooFast() bool {
	return r.Pixels >= Area || r.Areas > r.most
}

// Changes is how many changes the rule allows in a second: two for each flash,
// one brighter and one darker.
const Changes = 2 * MaxPerSecond

// NewMeter makes a meter for frames of n pixels that starts from darkness and
// allows a number of changes in a second: Changes, or fewer for a caller that
// cannot hold every frame back.
func NewMeter(n, changes int) *Meter {
	return &Meter{pixels: make([]pixel, n), most: min(changes, Changes)}
}

// Add takes the frame shown from t on. Times never go back.
func (m *Meter) Add(f patterns.Frame, t time.Duration) Reading { return m.take(f, t, true) }

// Peek returns what Add would return, without adding the frame.
func (m *Meter) Peek(f patterns.Frame, t time.Duration) Reading { return m.take(f, t, false) }

func (m *Meter) take(f patterns.Frame, t time.Duration, keep bool) Reading {
	var up, down [2]int // pixels that changed at this frame: general, red
	hot := 0
	for i := range m.pixels {
		var c patterns.Colour
		if i < len(f) {
			c = f[i]
		}
		p := &m.pixels[i]
		if c != p.last {
			var q pixel
			if !keep {
				q = *p
				p = &q
			}
			p.step(c, t, &up, &down)
		}
		if p.changes.over(t, m.most) {
			hot++
		}
	}
	r := Reading{most: m.most}
	if len(m.pixels) == 0 {
		return r
	}
	r.Pixels = float64(hot) / float64(len(m.pixels))
	whole, changes := m.whole, m.changes
	for k := range whole {
		whole[k].area(m.large(up[k]), m.large(down[k]), t, &changes[k])
		r.Areas = max(r.Areas, changes[k].within(t))
	}
	if keep {
		m.whole, m.changes = whole, changes
	}
	return r
}

func (m *Meter) large(pixels int) bool {
	return float64(pixels) >= Area*float64(len(m.pixels)) && pixels > 0
}
