package outsider

import (
	"fmt"
	"slices"
	"strings"
)

// A Stretch is a row of neighbours in one colour.
type Stretch struct {
	Colour string `json:"colour"`
	Pixels int    `json:"pixels"`
}

// A Probe is what is sent and asked.
type Probe struct {
	Kind     string      `json:"kind"`
	Paint    []Stretch   `json:"paint"`
	Level    float64     `json:"level"`
	Base     string      `json:"base"`
	Expected [][]Stretch `json:"expected"`
	Again    bool        `json:"again"`
	Run      int         `json:"run"`
	Pixel    int         `json:"pixel"`

	offered map[string]bool // the tokens that may be answered
}

// Rows are planned pixels in data order, both ends included.
type Rows struct{ First, Last int }

// A Plan is how many pixels each run should have, and which give no light.
type Plan struct {
	Runs  []int
	Empty []Rows
}

// Total is the count of all planned pixels.
func (p Plan) Total() (n int) {
	for _, r := range p.Runs {
		n += r
	}
	return n
}

// isEmpty reports whether no one looks at a place. Places after the planned
// end of a run have no planned pixel, so they are never empty.
func (p Plan) isEmpty(run, pixel int) bool {
	if pixel >= p.Runs[run] {
		return false
	}
	for _, n := range p.Runs[:run] {
		pixel += n
	}
	return slices.ContainsFunc(p.Empty, func(r Rows) bool { return r.First <= pixel && pixel <= r.Last })
}

// spread lists the colour of each of n planned pixels; what is not painted is
// dark.
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

// picture is the paint as a sound prop shows it: the names of each run's
// pixels, without the empty ones.
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

// stretches joins neighbours of one name.
func stretches(names []string) (out []Stretch) {
	for _, name := range names {
		out = addStretch(out, Stretch{name, 1})
	}
	return out
}

// addStretch adds a stretch at the end, joined to the last one where it has
// the same name.
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
