package outsider

import (
	"fmt"
	"slices"
	"strings"
)

// A Stretch is a number of consecutive pixels of one colour.
type Stretch struct {
	Colour string `json:"colour"`
	Pixels int    `json:"pixels"`
}

// A Probe is one question with the light that is sent.
type Probe struct {
	Kind     string      `json:"kind"`
	Paint    []Stretch   `json:"paint"`
	Level    float64     `json:"level"`
	Base     string      `json:"base"`
	Expected [][]Stretch `json:"expected"`
	Again    bool        `json:"again"`
	Run      int         `json:"run"`
	Pixel    int         `json:"pixel"`

	offered map[string]bool // allowed answer tokens
}

// Rows is a range of planned pixels in data order, from 0, both ends included.
type Rows struct{ First, Last int }

// A Plan is the planned pixel count of each run and the ranges without light.
type Plan struct {
	Runs  []int
	Empty []Rows
}

// Total is the number of planned pixels.
func (p Plan) Total() (n int) {
	for _, r := range p.Runs {
		n += r
	}
	return n
}

// isEmpty reports whether a place is in an empty part and so not looked at.
// Places past the planned end of a run are never empty.
func (p Plan) isEmpty(run, pixel int) bool {
	if pixel >= p.Runs[run] {
		return false
	}
	for _, n := range p.Runs[:run] {
		pixel += n
	}
	return slices.ContainsFunc(p.Empty, func(r Rows) bool { return r.First <= pixel && pixel <= r.Last })
}

// spread returns the colour of each of n planned pixels; unpainted ones are dark.
func spread(paint []Stretch, n int) []string {
	out := make([]string, 0, n)
	for _, s := range paint {
		for range s.Pixels {
			out = append(out, s.Colour)
		}
	}
	for len(out) < n {
		out = append(out, dark)
	}
	return out[:n]
}

// picture returns the colour names that a sound prop shows, by run, without the
// empty places.
func picture(p Probe, plan Plan) [][]string {
	all := spread(p.Paint, plan.Total())
	out := make([][]string, len(plan.Runs))
	for run, n := range plan.Runs {
		for i := range n {
			if !plan.isEmpty(run, i) {
				out[run] = append(out[run], hueName(all[i]))
			}
		}
		all = all[n:]
	}
	return out
}

// stretches joins consecutive equal names.
func stretches(names []string) (out []Stretch) {
	for _, name := range names {
		out = addStretch(out, Stretch{name, 1})
	}
	return out
}

// addStretch appends a stretch, or extends the last one if it has the same name.
func addStretch(out []Stretch, s Stretch) []Stretch {
	if s.Pixels == 0 {
		return out
	}
	if n := len(out); n > 0 && out[n-1].Colour == s.Colour {
		out[n-1].Pixels += s.Pixels
		return out
	}
	return append(out, s)
}

// String is a probe in one line.
func (p Probe) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s level %v", p.Kind, p.Level)
	if p.Again {
		b.WriteString(" again")
	}
	if p.Kind == "place" {
		fmt.Fprintf(&b, " run %d pixel %d", p.Run, p.Pixel)
	}
	for _, s := range p.Paint {
		fmt.Fprintf(&b, " %s %d", s.Colour, s.Pixels)
	}
	if p.Kind == "confirm" {
		fmt.Fprintf(&b, " expected %v", p.Expected)
	}
	return b.String()
}
