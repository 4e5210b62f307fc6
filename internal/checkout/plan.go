package checkout

import (
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// AsBuilt is what the faults say of how the prop was really built, where the
// plan can follow: counts, colour order, order of the runs, travel, start slot
// and universe. It reports false when there is nothing of the kind.
func AsBuilt(p *prop.Prop, faults []strip.Fault) (prop.Found, bool) {
	var f prop.Found
	known := false
	for _, ft := range faults {
		if buildOf(&f, p, ft) {
			known = true
		}
	}
	return f, known
}

func buildOf(f *prop.Found, p *prop.Prop, ft strip.Fault) bool {
	switch ft.Kind {
	case strip.Count:
		f.Pixels = put(f.Pixels, ft.Run, p.Runs[ft.Run].Pixels+ft.N)
	case strip.RunMirrored:
		f.Reverse = put(f.Reverse, ft.Run, !p.Runs[ft.Run].Reverse)
	case strip.Mirrored:
		f.Runs = inOrder(len(p.Runs))
		slices.Reverse(f.Runs)
		for i, r := range p.Runs {
			f.Reverse = put(f.Reverse, i, !r.Reverse)
		}
	case strip.RunsSwapped:
		f.Runs = inOrder(len(p.Runs))
		f.Runs[ft.Run], f.Runs[ft.Run2] = f.Runs[ft.Run2], f.Runs[ft.Run]
	case strip.SlotShift:
		slot := p.Address.Slot + ft.N + 1
		if slot < 1 || slot > prop.SlotsPerUniverse {
			return false
		}
		f.Slot = slot
	case strip.WrongAddress:
		return false // which universe the controller has is not seen
	case strip.WrongOrder:
		if ft.Pixel != 0 {
			return false
		}
		f.Order = ft.Order
	default: // grouped strip changes counts too, in a way that is not seen
		return false
	}
	return true
}

func put[V any](m map[int]V, k int, v V) map[int]V {
	if m == nil {
		m = map[int]V{}
	}
	m[k] = v
	return m
}

func inOrder(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}
