package strip

import (
	"fmt"

	"example.org/ringout/internal/prop"
)

// Large are the texts of a fault for large letters, each shorter than the one
// before; the last fits every screen.
func (f Fault) Large(p *prop.Prop) []string {
	if say := rowOf(f.Kind).large; say != nil {
		return say(p, f)
	}
	return []string{"Fault found"}
}

// Remedy is what to do about a fault of a prop.
func (f Fault) Remedy(p *prop.Prop) string {
	row := rowOf(f.Kind)
	if row.remedy != nil {
		if text := row.remedy(f, p); text != "" {
			return text
		}
	}
	return row.Facts.Remedy
}

// Name is a fault of a prop in a list: by its place where that has a name of its own.
func (f Fault) Name(p *prop.Prop) string {
	row := rowOf(f.Kind)
	if row.named != nil {
		if text := row.named(f, p); text != "" {
			return text
		}
	}
	return row.Facts.Name
}

// A wording makes the large texts of a fault.
type wording func(p *prop.Prop, f Fault) []string

// always are the same texts for every fault of a kind.
func always(texts ...string) wording {
	return func(*prop.Prop, Fault) []string { return texts }
}

// fromPixel is the text of a fault from a pixel on.
func fromPixel(what string) wording {
	return func(_ *prop.Prop, f Fault) []string {
		return []string{fmt.Sprintf("%s from %d", what, f.Pixel+1)}
	}
}

// atPixel is the text of a fault of one pixel.
func atPixel(what string) wording {
	return func(_ *prop.Prop, f Fault) []string {
		return []string{fmt.Sprintf("Pixel %d %s", f.Pixel+1, what), fmt.Sprintf("%d %s", f.Pixel+1, what)}
	}
}

// ofRun is the text of a fault of a run: with its name, then with its number.
func ofRun(what string) wording {
	return func(p *prop.Prop, f Fault) []string {
		return []string{p.RunName(f.Run) + " " + what, fmt.Sprintf("Run %d %s", f.Run+1, what)}
	}
}

// wrongEnd is a run whose data comes in at its other end.
func wrongEnd(p *prop.Prop, f Fault) []string {
	return []string{p.RunName(f.Run) + ": data at wrong end", fmt.Sprintf("Run %d: wrong end", f.Run+1)}
}

func ofRuns(what string) wording {
	return func(_ *prop.Prop, f Fault) []string {
		return []string{fmt.Sprintf("Runs %d and %d %s", f.Run+1, f.Run2+1, what), "Runs " + what}
	}
}

// orderFrom names the colour order: against the planned one if all chips have it,
// else with the pixel at which it begins.
func orderFrom(p *prop.Prop, f Fault) []string {
	if f.Pixel == 0 {
		return []string{fmt.Sprintf("%s, not %s", f.Order, p.Chip.Order)}
	}
	return []string{fmt.Sprintf("Order %s from %d", f.Order, f.Pixel+1), fmt.Sprintf("%s from %d", f.Order, f.Pixel+1)}
}

func chipsFrom(_ *prop.Prop, f Fault) []string {
	return []string{fmt.Sprintf("Other chips from %d", f.Pixel+1), fmt.Sprintf("Other chips: %d", f.Pixel+1)}
}

func channelLost(p *prop.Prop, f Fault) []string {
	return atPixel("lacks "+f.Channel.String())(p, f)
}

func countTexts(p *prop.Prop, f Fault) []string {
	if f.Run < 0 || f.Run >= len(p.Runs) {
		return []string{"Count is off"}
	}
	n := p.Runs[f.Run].Pixels
	text := fmt.Sprintf("%d, not %d", n+f.N, n)
	switch {
	case f.OrMore:
		return []string{fmt.Sprintf("%d or more, not %d", n+f.N, n), fmt.Sprintf("%d or more", n+f.N)}
	case len(p.Runs) == 1:
		return []string{fmt.Sprintf("%d pixels, not %d", n+f.N, n), text}
	}
	return []string{p.RunName(f.Run) + ": " + text, text}
}
