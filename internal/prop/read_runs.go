package prop

import (
	"math"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// runs reads every [[run]]; file order is wiring order. Pixels are numbered on from run
// to run.
func (r *reader) runs() {
	all := r.all("run")
	if len(all) == 0 && r.one("sign").t != nil {
		r.checkHasRoute()
	} else if len(all) == 0 {
		r.reportMissing(0, "[[run]]", "write [[run]] for each piece of strip, in wiring order", "the prop has none")
	}
	names := map[string]int{}
	first := 0
	for i, t := range all {
		s := spot{t, spotName("run", i)}
		run := r.run(s, i)
		r.prop.Runs = append(r.prop.Runs, run)
		r.runTables = append(r.runTables, runTable{t, t.find("pixels") != nil, first})
		r.checkUnique(s, names, run.Name)
		if key := strings.ToLower(run.Name); !hasKey(r.byName, key) {
			r.byName[key] = i
		}
		first += run.Pixels
		r.uncounted = r.uncounted || run.Pixels == 0
	}
	r.total = first
}

// checkHasRoute reports a sign without a run.
func (r *reader) checkHasRoute() {
	r.bad = append(r.bad, Problem{r.file, r.one("sign").line(), "sign", noRouteText,
		"run \"ringout plan " + r.file + " --route\", which finds one and writes it into the file"})
}

func hasKey(m map[string]int, key string) bool {
	_, ok := m[key]
	return ok
}

// named is the table's name, or its number in the file: "run 2".
func (r *reader) named(s spot) string {
	if name, _, ok := r.text(s, "name"); ok && name != "" {
		return name
	}
	return s.name
}

// checkUnique reports a name that an earlier table of the kind has.
func (r *reader) checkUnique(s spot, seen map[string]int, name string) {
	key := strings.ToLower(name)
	if first, ok := seen[key]; ok && name != "" {
		r.problem(s.line(), s.key("name"), "give each its own name", "%q is also the name in line %d", name, first)
	}
	seen[key] = s.line()
}

// run reads one [[run]]: name, shape, direction, length and leads in metres, and the
// extra resistance of its joint in ohms.
func (r *reader) run(s spot, i int) Run {
	run := Run{Name: r.named(s), Shape: r.shape(s)}
	run.Reverse = r.travel(s, run.Shape.Kind)
	for _, f := range []struct {
		key string
		to  *float64
		low float64
	}{{"length", &run.Cut, 0}, {"lead_in", &run.LeadIn, orZero}, {"lead_out", &run.LeadOut, orZero}} {
		if v, _, ok := r.measure(s, f.key, lengths, f.low, maxLength); ok {
			*f.to = v
		}
	}
	if v, _, ok := r.measure(s, "joint", ohms, orZero, 1000); ok {
		run.JointOhms = v
	}
	run.Closed, run.Apart = r.boolean(s, "closed"), r.boolean(s, "apart")
	if i == 0 && run.Apart {
		r.doubt(s.t.find("apart").line, s.key("apart"), "remove it, or move it to the run whose plus stands apart",
			"says nothing of the first run: there is none before it")
	}
	r.count(s, &run)
	return run
}

// count sets the pixel count: as written, or what fits the length, the ring's
// circumference, or the sides of the star or outline.
func (r *reader) count(s spot, run *Run) {
	n, given, ok := r.integer(s, "pixels", 1, MaxPixels)
	if run.Cut == 0 && s.t.find("length") == nil {
		run.Cut = shapeLength(run.Shape)
	}
	if ok {
		run.Pixels = n
	}
	if given == nil && run.Shape.Kind == String {
		run.Pixels = len(run.Shape.Corners)
		return
	}
	if given != nil || r.prop.Chip.Name == "" {
		return
	}
	if run.Cut == 0 {
		if !r.hasLength(s) {
			r.reportMissing(s.line(), s.name, `write pixels = 36, or length = "93 in", or diameter = "191 mm"`, "has neither a pixel count nor a length")
		}
		return
	}
	fit := FitLength(run.Cut, r.prop.Chip)
	switch {
	case fit.Pitch == 0:
		r.problem(s.line(), s.name, `give pixels = 1, or density = "60 per metre" in [strip]`, "has a length, but the %s has no density to count by", r.prop.Chip.Name)
	case fit.Whole < 1:
		r.problem(s.line(), s.name, "make it longer or give pixels", "is %s long, and one pixel takes %s", FormatLength(run.Cut, r.inch > 0), FormatLength(fit.Pitch, r.inch > 0))
	case fit.Whole > MaxPixels:
		r.problem(s.line(), s.name, "make it shorter", "would hold more than %d pixels", MaxPixels)
	}
	run.Pixels = min(fit.Whole, MaxPixels)
}

// hasLength reports whether the run has something to count from, even if it is wrong.
func (r *reader) hasLength(s spot) bool {
	for _, key := range []string{"pixels", "length", "diameter", "corners"} {
		if s.t.find(key) != nil || r.misspelt[s.key(key)] {
			return true
		}
	}
	return false
}

// shapeLength is the length of strip that a shape's dimensions give, in metres; 0 when
// unknown.
func shapeLength(s Shape) float64 {
	switch {
	case s.Kind == Ring && s.Diameter > 0:
		return Circumference(s.Diameter)
	case s.Kind == Star && s.Diameter > 0:
		return pathLength(starPath(s, 0))
	case len(s.Corners) >= 2 && s.Kind != String: // a string has slack between its pixels
		return pathLength(s.Corners)
	}
	return 0
}

var shapeKinds = []string{string(Line), string(Ring), string(Star), string(Outline), string(String)}

// shape reads the shape of a run as seen from the lit face. A diameter alone means a
// ring, corners alone an outline. Angles are -360 to 360 degrees: start clockwise from
// the top, angle anticlockwise from the right.
func (r *reader) shape(s spot) Shape {
	sh := Shape{Kind: Line}
	text, e, ok := r.text(s, "shape")
	switch {
	case e == nil && s.t.find("diameter") != nil:
		sh.Kind = Ring
	case e == nil && s.t.find("corners") != nil:
		sh.Kind = Outline
	case ok && has(shapeKinds, text):
		sh.Kind = ShapeKind(text)
	case ok:
		r.problem(e.line, s.key("shape"), "write \"line\", \"ring\", \"star\", \"outline\" or \"string\"", "%q is no shape", text)
		return sh
	}
	if v, _, ok := r.measure(s, "diameter", lengths, 0, maxLength); ok {
		sh.Diameter = v
	}
	if v, _, ok := r.integer(s, "points", 2, 100); ok {
		sh.Points = v
	}
	if v, _, ok := r.measure(s, "start", angles, -360.001, 360); ok {
		sh.Start = math.Mod(v+360, 360)
	}
	if v, _, ok := r.measure(s, "angle", angles, -360.001, 360); ok {
		sh.Angle = v
	}
	if e := s.t.find("centre"); e != nil {
		sh.Centre, _ = r.point(e, s.key("centre"), e.val)
	}
	sh.Corners = r.corners(s)
	r.shapeKeys(s, sh)
	return sh
}

// maxCorners limits the points of a run. A string has one for each pixel, tucked ones
// included.
const maxCorners = 5000

// corners reads points in metres, x to the right and y up, at least two.
func (r *reader) corners(s spot) []Point {
	e := s.t.find("corners")
	if e == nil {
		return nil
	}
	if e.val.kind != unstable.Array || len(e.val.items) < 2 || len(e.val.items) > maxCorners {
		r.problem(e.line, s.key("corners"), `write two or more points, such as ["0 in, 0 in", "12 in, 3 in"]`, "needs a list of points")
		return nil
	}
	pts := make([]Point, 0, len(e.val.items))
	for _, v := range e.val.items {
		p, ok := r.point(e, s.key("corners"), v)
		if !ok {
			return nil
		}
		pts = append(pts, p)
	}
	if !(pathLength(pts) > 0) {
		r.problem(e.line, s.key("corners"), "give points that lie apart", "all lie on one spot")
		return nil
	}
	return pts
}

// shapeKeys reports dimensions that the shape cannot use, and missing ones.
func (r *reader) shapeKeys(s spot, sh Shape) {
	round := sh.Kind == Ring || sh.Kind == Star
	for _, k := range []struct {
		key  string
		fits bool
		hint string
	}{
		{"diameter", round, "only a ring and a star have one"},
		{"start", round, "only a ring and a star have one"},
		{"points", sh.Kind == Star, "only a star has them"},
		{"corners", !round, "only a line, an outline and a string have them"},
		{"angle", sh.Kind == Line, "only a line has one"},
	} {
		if e := s.t.find(k.key); e != nil && !k.fits {
			r.problem(e.line, s.key(k.key), k.hint+"; remove it or change the shape", "does not belong to a %s", sh.Kind)
		}
	}
	if sh.Kind == Star && s.t.find("points") == nil {
		r.reportMissing(s.line(), s.key("points"), "write points = 5", "a star needs its number of points")
	}
	if (sh.Kind == Outline || sh.Kind == String) && s.t.find("corners") == nil {
		r.reportMissing(s.line(), s.key("corners"), `write corners = ["0 in, 0 in", "12 in, 3 in"]`, "%s needs its points", map[ShapeKind]string{Outline: "an outline", String: "a string"}[sh.Kind])
	}
}

// travels maps the words for direction; true means against the drawing.
var travels = map[string]bool{
	"clockwise": false, "forward": false,
	"counter-clockwise": true, "counterclockwise": true, "anticlockwise": true, "anti-clockwise": true, "backward": true, "backwards": true,
}

// travel reports whether data travels against the drawing.
func (r *reader) travel(s spot, kind ShapeKind) bool {
	text, e, ok := r.text(s, "travel")
	if !ok {
		return false
	}
	back, known := travels[strings.ToLower(text)]
	if !known {
		hint := `write "forward" or "backward"`
		if kind == Ring || kind == Star {
			hint = `write "clockwise" or "counter-clockwise", as seen from the lit face`
		}
		r.problem(e.line, s.key("travel"), hint, "%q is no way to travel", text)
	}
	return back
}
