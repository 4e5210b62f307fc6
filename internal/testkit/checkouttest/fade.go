package checkouttest

import "example.org/ringout/patterns"

// fade answers whether the far end is dimmer: its brightness is below 0.6 of the
// near end's, or it has another colour name.
func (b *Eyes) fade() string {
	var looked []patterns.Colour
	for r, run := range b.light {
		for i, c := range run {
			if b.looksAt(r, i) {
				looked = append(looked, c)
			}
		}
	}
	if len(looked) == 0 {
		return "else"
	}
	x, y := looked[0], looked[len(looked)-1]
	bright := func(c patterns.Colour) float64 {
		return float64(max(c.R, c.G, c.B)) + float64(c.W) + float64(c.C)
	}
	switch {
	case call(x) == "dark" || call(y) == "dark":
		return "else"
	case call(x) != call(y) || bright(y) < 0.6*bright(x):
		return "fades"
	}
	return "alike"
}
