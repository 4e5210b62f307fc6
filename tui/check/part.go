package check

import (
	"fmt"
	"time"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// What is checked goes by number: -1 is the whole prop; then come the runs,
// each alone on the bench, as it lies there before it is joined to others and
// is the first on the wire; then the sections of the finished prop, in place.

// parts is how many there are to choose from.
func (m Model) parts() int { return len(m.prop.Runs) + len(m.prop.Sections()) }

// partName is what a part is called.
func partName(p *prop.Prop, part int) string {
	if k := part - len(p.Runs); k >= 0 && k < len(p.Sections()) {
		return style.Clean(p.Sections()[k].Name)
	}
	return runName(p, part)
}

// inPlace reports whether a part is a section of the finished prop.
func inPlace(p *prop.Prop, part int) bool { return part >= len(p.Runs) }

// subOf is a part as a prop of its own, and its first pixel on the wire.
func subOf(p *prop.Prop, part int) (sub *prop.Prop, first int) {
	if !inPlace(p, part) {
		return alone(p, part), 0
	}
	s := p.Sections()[part-len(p.Runs)]
	sub, err := prop.Sub(p, s)
	if err != nil { // a section of a prop that is connected is one
		return p, 0
	}
	return sub, s.First
}

// moved shows frames of a part where it lies: all pixels before it stay dark.
func moved(f show.FrameFunc, first, pixels int) show.FrameFunc {
	if f == nil || first == 0 {
		return f
	}
	return func(dst patterns.Frame, _ int, t time.Duration) patterns.Frame {
		dst = dst[:0]
		for range first {
			dst = append(dst, patterns.Colour{})
		}
		return append(dst, f(nil, pixels, t)...)
	}
}

// where says how a part was checked, for the record.
func where(p *prop.Prop, part int) string {
	if inPlace(p, part) {
		return partName(p, part) + " alone, in the finished prop"
	}
	return partName(p, part) + " alone on the bench"
}

// partText is a line to choose a part by.
func (m Model) partText(part int) string {
	sub, first := subOf(m.prop, part)
	if inPlace(m.prop, part) {
		return fmt.Sprintf("%s, in the finished prop: %d to %d", partName(m.prop, part), first+1, first+sub.Pixels())
	}
	return fmt.Sprintf("%s, not joined yet: %s", partName(m.prop, part), count(sub.Pixels(), "pixel"))
}
