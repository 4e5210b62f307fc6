// Package checkouttest simulates the person in a check-out: it sees only the
// light of a prop and answers the questions. It gets the plan and the question in
// the form of the JSON lines. It does not import package checkout, so that a
// wrong reading there is not repeated here.
package checkouttest

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// A Stretch is a number of consecutive pixels of one colour.
type Stretch struct {
	Colour string `json:"colour"`
	Pixels int    `json:"pixels"`
}

// A Question is a probe in the form of the JSON lines: what it sends and asks.
type Question struct {
	Kind  string    `json:"kind"`
	Paint []Stretch `json:"paint"`
	Base  string    `json:"base"`
	Run   int       `json:"run"`
	Pixel int       `json:"pixel"`

	Expected [][]Stretch `json:"expected"` // of a probe "confirm": the expected stretches of each run
}

// Eyes answer questions from the light of a prop alone.
type Eyes struct {
	Empty [][]bool // by run and place of the plan: not looked at

	light  strip.Light   // at rest
	moving []strip.Light // at moments over two seconds
	names  [][]string    // colour names of light, by run
}

// Watch records the light of a strip over two simulated seconds.
func (b *Eyes) Watch(s *strip.Strip, slots [][]byte) {
	b.light = s.LightInto(b.light, slots)
	b.moving = b.moving[:0]
	if s.Flickers() { // the light of all others is constant
		for t := time.Duration(0); t < 2*time.Second; t += 20 * time.Millisecond {
			b.moving = append(b.moving, s.LightAt(nil, slots, t))
		}
	}
	b.name()
}

// Look records a light at rest, and at further moments while it may change.
func (b *Eyes) Look(rest strip.Light, moments ...strip.Light) {
	b.light, b.moving = rest, moments
	b.name()
}

// name sets the colour name of every pixel.
func (b *Eyes) name() {
	b.names = b.names[:0]
	for _, run := range b.light {
		row := make([]string, len(run))
		for i, c := range run {
			if i > 0 && c == run[i-1] {
				row[i] = row[i-1]
				continue
			}
			row[i] = call(c)
		}
		b.names = append(b.names, row)
	}
}

// call is the name of a colour (internal/cli/pages/json-lines.md, "What the questions mean").
func call(c patterns.Colour) string {
	white := float64(c.W) + float64(c.C)
	part := []float64{float64(c.R) + white, float64(c.G) + white, float64(c.B) + white}
	most := slices.Max(part)
	if most < 5 {
		return "dark"
	}
	key := ""
	for i, l := range "RGB" {
		if part[i] >= 0.6*most {
			key += string(l)
		}
	}
	return map[string]string{"R": "red", "G": "green", "B": "blue", "RG": "yellow", "GB": "cyan", "RB": "magenta", "RGB": "white"}[key]
}

// sentName is the colour name that a hue of a probe has on a sound prop.
func sentName(h string) string {
	if h == "white light" || h == "cool white" {
		return "white"
	}
	return h
}

// Along returns the colour names in data order, without the pixels not looked at.
func (b *Eyes) Along() []string {
	var out []string
	for r, row := range b.names {
		out = append(out, b.seen(r, row)...)
	}
	return out
}

// seen returns the names of the pixels of a run that are looked at.
func (b *Eyes) seen(run int, row []string) []string {
	if b.Empty == nil {
		return row
	}
	var out []string
	for i, n := range row {
		if b.looksAt(run, i) {
			out = append(out, n)
		}
	}
	return out
}

// looksAt reports whether a place of a run is looked at.
func (b *Eyes) looksAt(run, place int) bool {
	return run >= len(b.Empty) || place >= len(b.Empty[run]) || !b.Empty[run][place]
}

// changes removes consecutive repeats.
func changes(all []string) []string { return slices.Compact(slices.Clone(all)) }

// drawn returns the colours of the picture in data order, equal neighbours
// joined, without the pixels not looked at.
func (b *Eyes) drawn(p []Stretch) []string {
	hole := slices.Concat(b.Empty...)
	var out []string
	at := 0
	for _, s := range p {
		for range s.Pixels {
			if at >= len(hole) || !hole[at] {
				out = append(out, sentName(s.Colour))
			}
			at++
		}
	}
	return slices.Compact(out)
}

// Choose returns the number, from 1, of the answer word that fits the light; 0
// means "not sure". sizes are the planned pixel counts of the runs.
func (b *Eyes) Choose(q Question, sizes []int, words []string) int {
	see := b.See(q, sizes)
	if i := slices.Index(words, see); i >= 0 {
		return i + 1
	}
	return slices.Index(words, "else") + 1
}

// See answers the question in one word.
func (b *Eyes) See(s Question, sizes []int) string {
	all := b.Along()
	switch s.Kind {
	case "even":
		return b.even(sentName(s.Base), all)
	case "last-lit":
		return lastLit(all)
	case "before-odd", "odd-colour", "last-mark":
		return b.walkPicture(s, all)
	case "place":
		row := b.names[s.Run]
		i := s.Pixel
		if i < 0 {
			i += len(row)
		}
		if i < 0 || i >= len(row) {
			return "dark"
		}
		return row[i]
	case "first-run":
		return b.firstRun(b.planned(s, sizes))
	case "confirm":
		var want [][]string
		for _, run := range s.Expected {
			want = append(want, written(run))
		}
		return b.firstRun(want)
	case "sequence":
		c := changes(all)
		if len(c) > 3 {
			return strings.Join(c[:3], ",") + ",more"
		}
		return strings.Join(c, ",")
	case "steady", "stays-lit":
		return b.steady(s.Kind)
	case "fade":
		return b.fade()
	}
	return "" // unknown kind of question
}

func (b *Eyes) even(sent string, all []string) string {
	count := map[string]int{}
	for _, n := range all {
		count[n]++
	}
	if count["dark"] == len(all) {
		return "none"
	}
	if b.sparkles() {
		return "sparkles"
	}
	if b.dips() {
		return "mixed"
	}
	main := ""
	for _, n := range []string{"red", "green", "yellow", "blue", "magenta", "cyan", "white"} {
		if main == "" || count[n] > count[main] {
			main = n
		}
	}
	end := len(all)
	for all[end-1] == "dark" {
		end--
	}
	others := len(all) - count[main]
	switch {
	case end < len(all) && end-count[main] <= 3:
		return "tail"
	case others == 0 && main == sent:
		return "all"
	case others == 0:
		return "other"
	case others <= 3:
		return "few"
	}
	return "mixed"
}

// dips reports whether the light varies.
func (b *Eyes) dips() bool {
	for _, l := range b.moving {
		for r, run := range l {
			if !slices.EqualFunc(run, b.names[r], func(c patterns.Colour, n string) bool { return call(c) == n }) {
				return true
			}
		}
	}
	return false
}

// sparkles reports whether a pixel shows another colour at some moment.
func (b *Eyes) sparkles() bool {
	for _, l := range b.moving {
		for r, run := range l {
			steady := func(c patterns.Colour, n string) bool { return call(c) == n || call(c) == "dark" }
			if !slices.EqualFunc(run, b.names[r], steady) {
				return true
			}
		}
	}
	return false
}

func lastLit(all []string) string {
	for _, n := range slices.Backward(all) {
		if n != "dark" {
			return n
		}
	}
	return "none"
}

func (b *Eyes) walkPicture(s Question, all []string) string {
	got, want := changes(all), b.drawn(s.Paint)
	before, mark := "first", "first"
	for i := range max(len(got), len(want)) {
		if i < len(got) && i < len(want) && got[i] == want[i] {
			before = got[i]
			if got[i] != sentName(s.Base) {
				mark = got[i]
			}
			continue
		}
		switch {
		case s.Kind == "before-odd":
			return before
		case s.Kind == "last-mark":
			return mark
		case i >= len(got):
			return "missing"
		}
		return got[i]
	}
	return "as-drawn"
}

// rows returns the colours and lengths of a run's stretches.
func rows(names []string) (c []string, n []int) {
	for i, x := range names {
		if i == 0 || x != names[i-1] {
			c, n = append(c, x), append(n, 0)
		}
		n[len(n)-1]++
	}
	return c, n
}

// written returns the name of every pixel of a picture.
func written(p []Stretch) []string {
	var out []string
	for _, st := range p {
		for range st.Pixels {
			out = append(out, sentName(st.Colour))
		}
	}
	return out
}

// planned splits the picture by run, without the pixels not looked at.
func (b *Eyes) planned(s Question, sizes []int) [][]string {
	plan, out := written(s.Paint), make([][]string, len(sizes))
	for r, size := range sizes {
		out[r] = b.seen(r, plan[:size])
		plan = plan[size:]
	}
	return out
}

func (b *Eyes) firstRun(want [][]string) string {
	for r := range want {
		wc, wn := rows(want[r])
		gc, gn := rows(b.seen(r, b.names[r]))
		if !slices.Equal(wc, gc) {
			return fmt.Sprintf("run-%d", r+1)
		}
		for i := range wn {
			room := 0
			if wn[i] > 2 {
				room = 3 + wn[i]/4
			}
			if off := gn[i] - wn[i]; off > room || off < -room {
				return fmt.Sprintf("run-%d", r+1)
			}
		}
	}
	return "as-drawn"
}

func (b *Eyes) steady(k string) string {
	if !b.dips() {
		return "steady"
	}
	if k == "steady" && b.sparkles() {
		return "sparkles"
	}
	lowest := b.moving[0]
	for _, l := range b.moving {
		if l.Lit() < lowest.Lit() {
			lowest = l
		}
	}
	var all []string
	for r, run := range lowest {
		var row []string
		for _, c := range run {
			row = append(row, call(c))
		}
		all = append(all, b.seen(r, row)...)
	}
	last := lastLit(all)
	switch {
	case k == "stays-lit":
		return last
	case last == "none":
		return "comes-all"
	}
	return "comes"
}
