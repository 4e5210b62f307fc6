package plan

import (
	"errors"
	"fmt"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/route"
	"example.org/ringout/internal/words"
)

// A StringPlan is the route of a sign's string through the holes of its plate.
type StringPlan struct {
	Prop   *prop.Prop // with the route as its run
	Sign   *prop.Sign
	Route  route.Route // the file's own where it has one
	Best   route.Route // the best one found, with its proven bounds
	InFile bool        // Route was read from the prop file
}

// LayString finds the route of the string for a file that has a sign. It returns a
// document that contains the route: the given one if it already has a route and replace
// is false. The error says what to change in the file.
func LayString(d *prop.Document, replace bool) (*StringPlan, *prop.Document, error) {
	g := d.Sign()
	if g == nil {
		return nil, nil, fmt.Errorf("%s has no [sign]: there is no route to find", d.Name())
	}
	best, err := route.Solve(&g.Plate)
	var step *route.StepError
	if err != nil && !errors.As(err, &step) {
		return nil, nil, fmt.Errorf("%s: %w", d.Name(), err)
	}
	if p := g.RouteProblem(best, step); p != nil {
		return nil, nil, prop.Problems{*p}
	}
	sp := &StringPlan{Prop: d.Prop(), Sign: g, Route: best, Best: best}
	if d.Prop() != nil {
		var own route.Route
		if own, sp.InFile = prop.RouteOf(d.Prop()); sp.InFile && !replace {
			own.LeastDark, own.LeastLength = best.LeastDark, best.LeastLength
			sp.Route = own
			return sp, d, nil
		}
	}
	next, err := d.WithRoute(best, replace)
	if err != nil {
		return nil, nil, err
	}
	sp.Prop = next.Prop()
	return sp, next, nil
}

// Text is the route for a terminal of the given width: its figures, what is proven, and
// the numbered holes from the front and from the back.
func (sp *StringPlan) Text(width int) string {
	w := &writer{width: max(width, 40)}
	w.header("Route of the string")
	for _, s := range sp.Facts() {
		w.item("%s", s)
	}
	front, ok := sp.drawing()
	if !ok {
		w.item("The holes lie too close or too far apart to be drawn with letters; --pages draws them true to scale.")
		return w.String()
	}
	w.header("Which pixel goes into which hole, from the front")
	front.write(w, w.width-2)
	w.header("The same from the back, mirrored")
	front.mirrored().write(w, w.width-2)
	return w.String()
}

// Facts are the figures of the route and what is proven, one sentence each.
func (sp *StringPlan) Facts() []string {
	r, g := sp.Route, sp.Sign
	length := func(v float64) string { return prop.FormatLength(v, g.Inches) }
	dark := "none of them tucked away"
	if r.Dark > 0 {
		dark = fmt.Sprintf("and %d more %s tucked away dark on the way", r.Dark, words.Plural(r.Dark, "is", "are"))
	}
	out := []string{fmt.Sprintf("%d %s %d %s, %s; %s from hole to hole along the string", len(r.Order), words.Plural(len(r.Order), "hole takes", "holes take"), len(r.Order), words.Plural(len(r.Order), "pixel", "pixels"), dark, length(r.Length))}
	out = append(out, sp.proof(length)...)
	out = append(out, sp.tucked(length)...)
	if left := sp.Prop.Pixels() - r.Pixels(); left > 0 {
		out = append(out, fmt.Sprintf("%d %s left over at the end of the string: with the power off cut off or tucked away, %s dark", left, words.Plural(left, "pixel is", "pixels are"), words.Plural(left, "it stays", "they stay")))
	}
	for _, p := range sp.Prop.Parts {
		if !p.Empty {
			out = append(out, p.Name+": "+pixelSpan(p.First+1, p.Last+1))
		}
	}
	return out
}

// pixelSpan names a range of pixels.
func pixelSpan(from, to int) string {
	if from == to {
		return fmt.Sprintf("pixel %d", from)
	}
	return fmt.Sprintf("pixels %d to %d", from, to)
}

// proof returns sentences on what is proven of the route: the fewest tucked pixels, the
// shortest length, or only bounds on them.
func (sp *StringPlan) proof(length func(float64) string) (out []string) {
	r := sp.Route
	if better := sp.Best; sp.InFile && (better.Dark < r.Dark || better.Dark == r.Dark && better.Length < r.Length*(1-1e-6)) {
		out = append(out, fmt.Sprintf("a better route is known than this one of the file: %d tucked away and %s; --route --replace writes it", better.Dark, length(better.Length)))
	}
	switch {
	case r.Shortest():
		return append(out, "proven: no route tucks away fewer pixels, and none that tucks away as few is shorter")
	case r.Fewest():
		return append(out, fmt.Sprintf("proven: no route tucks away fewer pixels. Not proven shortest: none is shorter than %s, so at most %.1f %% could be saved",
			length(r.LeastLength), 100*(1-r.LeastLength/r.Length)))
	}
	return append(out, fmt.Sprintf("not proven best: every route tucks away at least %s; whether one does with fewer than %d is not known", words.Count(r.LeastDark, "pixel"), r.Dark))
}

// tucked lists where pixels are tucked away.
func (sp *StringPlan) tucked(length func(float64) string) (out []string) {
	at := 0
	for i, k := range sp.Route.Tucked {
		if k > 0 {
			pixels := pixelSpan(at+1, at+k)
			to := sp.Sign.Plate.Holes[sp.Route.Order[i]]
			from, d := "where the data comes in", 0.0
			if i > 0 {
				h := sp.Sign.Plate.Holes[sp.Route.Order[i-1]]
				from, d = sp.Sign.Spots[sp.Route.Order[i-1]].String(), prop.Distance(prop.Point(h.Point), prop.Point(to.Point))
			} else {
				d = prop.Distance(prop.Point(*sp.Sign.Plate.Start), prop.Point(to.Point))
			}
			out = append(out, fmt.Sprintf("%s tucked away between %s and %s, which are %s apart", pixels, from, sp.Sign.Spots[sp.Route.Order[i]], length(d)))
		}
		at += k + 1
	}
	return out
}

// plateGrid is the plate as a grid with the number of each hole, 0 for none.
type plateGrid [][]int

// drawing is the plate from the front; false when the holes do not fit a lattice.
func (sp *StringPlan) drawing() (plateGrid, bool) {
	columns, rows, at := sp.Sign.Lattice()
	if columns == 0 {
		return nil, false
	}
	c := make(plateGrid, rows)
	for i := range c {
		c[i] = make([]int, columns)
	}
	pixel := 0
	for i, hole := range sp.Route.Order {
		pixel += sp.Route.Tucked[i] + 1
		c[at[hole].Row-1][at[hole].Column-1] = pixel
	}
	return c, true
}

// mirrored is the plate from behind: columns in reverse.
func (c plateGrid) mirrored() plateGrid {
	out := make(plateGrid, len(c))
	for i, row := range c {
		out[i] = make([]int, len(row))
		for k, n := range row {
			out[i][len(row)-1-k] = n
		}
	}
	return out
}

// write prints the drawing in strips that fit the width.
func (c plateGrid) write(w *writer, width int) {
	wide := 1
	for _, row := range c {
		for _, n := range row {
			wide = max(wide, len(fmt.Sprint(n)))
		}
	}
	wide++
	each := max(1, width/wide)
	for first := 0; first < len(c[0]); first += each {
		last := min(first+each, len(c[0]))
		if each < len(c[0]) {
			w.line("  columns %d to %d from the left:", first+1, last)
		}
		for _, row := range c {
			w.line("  %s", numbersText(row[first:last], wide))
		}
	}
}

// numbersText aligns numbers to the right in columns; 0 is left blank.
func numbersText(row []int, wide int) string {
	var b strings.Builder
	for _, n := range row {
		text := ""
		if n > 0 {
			text = fmt.Sprint(n)
		}
		fmt.Fprintf(&b, "%*s", wide, text)
	}
	return strings.TrimRight(b.String(), " ")
}
