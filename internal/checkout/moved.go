package checkout

import (
	"slices"

	"example.org/ringout/internal/prop"
)

// moved are hues to paint bands with so that chips with another colour order
// give themselves away: each is shown as another than itself and than the hues
// of the bands beside it. The last one is shown unchanged.
func moved(sent, chip prop.Order) []Hue {
	var best []Name
	var grow func(path []Name)
	grow = func(path []Name) {
		if len(path) > len(best) {
			best = slices.Clone(path)
		}
		if len(best) == mostOthers-1 {
			return
		}
		for n := Red; n < White; n++ {
			img := shownBy(n, sent, chip)
			if img == n || slices.Contains(path, n) {
				continue
			}
			if k := len(path); k > 0 && (shownBy(path[k-1], sent, chip) == n || img == path[k-1]) {
				continue
			}
			grow(append(path, n))
		}
	}
	grow(nil)
	hues := make([]Hue, 0, len(best)+1)
	for _, n := range best {
		hues = append(hues, n.hue())
	}
	return append(hues, HueWhite)
}

// shownBy is the name of a colour, sent in one order, on chips of another.
func shownBy(n Name, sent, chip prop.Order) Name {
	c, out := n.hue().Colour(), HueDark.Colour()
	from, to := sent.Channels(), chip.Channels()
	for i := range min(len(from), len(to)) {
		out = out.With(to[i], c.Get(from[i]))
	}
	return NameOf(out)
}
