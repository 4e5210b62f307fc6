package prop

import (
	"slices"
	"strings"
	"unicode"

	"github.com/pelletier/go-toml/v2/unstable"

	"example.org/ringout/internal/route"
)

// readSign reads [sign] and its pieces. The sign is kept only if it has no problems.
func (r *reader) readSign() {
	s := r.one("sign")
	if s.t == nil {
		for i, t := range r.all("piece") {
			r.problem(t.line, spotName("piece", i), "write [sign] with its holes, or use [[part]]", "a piece belongs to a sign, and there is none")
		}
		return
	}
	before := len(r.bad) + r.unreported
	g := &Sign{file: r.file, lines: map[string]int{"": s.line()}}
	for _, e := range s.t.entries {
		g.lines[e.key] = e.line
	}
	inches := r.inch
	r.signCord(s, g)
	r.signHoles(s, g)
	g.Inches = r.inch > inches
	r.pieces(g)
	r.signStart(s, g)
	if len(r.bad)+r.unreported > before || len(r.tree.bad) > 0 || !r.soundKeys(s, Keys["sign"]...) {
		r.checkDespiteErrors(s, g)
		return
	}
	r.checkDepth(g)
	r.checkGaps(g)
	r.checkEnoughPixels(g)
	if len(r.bad)+r.unreported == before {
		r.sign = g
	}
}

// signCord reads the lengths of a sign in metres: reach is the longest distance from
// pixel to pixel with the cord taut, lead the one from the data input to the first
// pixel, pitch and rise the steps of the drawing's columns and rows, equal unless
// given.
func (r *reader) signCord(s spot, g *Sign) {
	for _, f := range []struct {
		key string
		to  *float64
	}{{"reach", &g.Plate.Reach}, {"lead", &g.Plate.Lead}, {"pitch", &g.Pitch}, {"rise", &g.Rise}} {
		if v, _, ok := r.measure(s, f.key, lengths, 0, maxLength); ok {
			*f.to = v
		}
	}
	if s.t.find("reach") == nil {
		r.reportMissing(s.line(), s.key("reach"), `write reach = "8 cm", from pixel to pixel with the cord pulled straight`, "is missing")
	}
	if v, _, ok := r.integer(s, "pixels", 1, MaxPixels); ok {
		g.Plate.Pixels = v
	}
	g.Plate.Tucked = usualTucked
	if v, _, ok := r.integer(s, "tucked", 0, 20); ok {
		g.Plate.Tucked = v
	}
	if g.Rise == 0 {
		g.Rise = g.Pitch
	}
}

const holesHint = `draw them between ''' and ''': a letter, a digit or * for each hole, with spaces between; or list them: ["0 in, 0 in", "a: 2 in, 0 in"]`

// signHoles reads the holes, drawn or listed: at least one, at most route.MaxHoles.
func (r *reader) signHoles(s spot, g *Sign) {
	e := s.t.find("holes")
	switch {
	case e == nil:
		r.reportMissing(s.line(), s.key("holes"), holesHint, "is missing")
		return
	case e.val.kind == unstable.String:
		r.drawnHoles(s, e, g)
	case e.val.kind == unstable.Array:
		r.listedHoles(s, e, g)
	default:
		r.problem(e.line, s.key("holes"), holesHint, "%s is neither a drawing nor a list", shown(e.val))
		return
	}
	switch n := len(g.Spots); {
	case n == 0 && !r.badSince(e.line):
		r.problem(e.line, s.key("holes"), holesHint, "has no hole")
	case n > route.MaxHoles:
		r.problem(e.line, s.key("holes"), "split it into several props", "has %d holes, and %d is the most", n, route.MaxHoles)
	}
}

// badSince reports whether there is a problem at or after a line.
func (r *reader) badSince(line int) bool {
	return slices.ContainsFunc(r.bad, func(p Problem) bool { return p.Line >= line && strings.HasPrefix(p.Key, "sign") })
}

// drawnHoles reads a drawing: a mark for each hole, spaces and full stops elsewhere.
func (r *reader) drawnHoles(s spot, e *entry, g *Sign) {
	if s.t.find("pitch") == nil {
		r.reportMissing(e.line, s.key("pitch"), `write pitch = "1 in", from one column of the drawing to the next`, "is missing")
	}
	first := r.lineOf(e.val.start)
	if written := string(r.tree.text[e.val.start:e.val.end]); len(written) > 3 && (written[3] == '\n' || strings.HasPrefix(written[3:], "\r\n")) {
		first++ // TOML drops a newline right after the opening quotes
	}
	rows := strings.Split(strings.ReplaceAll(e.val.text, "\r\n", "\n"), "\n")
	for i, row := range rows {
		column := 0
		for _, c := range row {
			column++
			switch {
			case c == '\t':
				r.problem(first+i, s.key("holes"), "use spaces", "row %d of the drawing has a tab, whose width is anyone's guess", i+1)
			case c == ' ' || c == '.':
			case !unicode.IsPrint(c):
				r.problem(first+i, s.key("holes"), "take it out", "row %d of the drawing has a sign that does not print", i+1)
			default:
				g.Spots = append(g.Spots, HoleSpot{Line: first + i, Row: i + 1, Column: column, Mark: c})
			}
		}
	}
	g.trim()
}

// trim drops empty rows and columns at the edges and places the holes, with the lower
// left corner as the origin.
func (g *Sign) trim() {
	if len(g.Spots) == 0 {
		return
	}
	left, top := g.Spots[0].Column, g.Spots[0].Row
	for _, s := range g.Spots {
		left = min(left, s.Column)
	}
	for i := range g.Spots {
		s := &g.Spots[i]
		s.Column, s.Row = s.Column-left+1, s.Row-top+1
		g.Columns, g.Rows = max(g.Columns, s.Column), max(g.Rows, s.Row)
	}
	for _, s := range g.Spots {
		at := route.Point{X: float64(s.Column-1) * g.Pitch, Y: float64(g.Rows-s.Row) * g.Rise}
		g.Plate.Holes = append(g.Plate.Holes, route.Hole{Point: at, Piece: -1})
	}
}

// listedHoles reads a list of points, each with an optional mark before it.
func (r *reader) listedHoles(s spot, e *entry, g *Sign) {
	if len(e.val.items) > route.MaxHoles {
		r.problem(e.line, s.key("holes"), "split it into several props", "has %d holes, and %d is the most", len(e.val.items), route.MaxHoles)
		return
	}
	seen, pitch := map[route.Point]int{}, g.Pitch
	if pitch == 0 && !r.soundKeys(s, "pitch") {
		pitch = 1 // its error is already reported; any pitch lets the holes be counted
	}
	for i, v := range e.val.items {
		line := e.line
		if v.start > 0 {
			line = r.lineOf(v.start)
		}
		at := &entry{key: e.key, line: line, val: v}
		mark := rune(0)
		if word, rest, ok := strings.Cut(strings.TrimSpace(v.text), " "); ok && len([]rune(word)) == 1 && strings.Contains(rest, ",") && !unicode.IsDigit([]rune(word)[0]) {
			mark, v.text = []rune(word)[0], rest
		} else if ok && strings.HasSuffix(word, ":") && len([]rune(word)) == 2 {
			mark, v.text = []rune(word)[0], rest
		}
		p, ok := r.listedPoint(at, s, v, pitch)
		if !ok {
			continue
		}
		q := route.Point{X: p.X, Y: p.Y}
		if before, twice := seen[q]; twice {
			r.problem(line, s.key("holes"), "remove one of them", "hole %d of the list is where hole %d is", i+1, before)
			continue
		}
		seen[q] = i + 1
		g.Spots = append(g.Spots, HoleSpot{Line: line, Item: i + 1, Mark: mark})
		g.Plate.Holes = append(g.Plate.Holes, route.Hole{Point: q, Piece: -1})
	}
}

// listedPoint reads "3 in, 1 in" or, with a pitch, "3, 1" in steps of the pitch.
func (r *reader) listedPoint(e *entry, s spot, v value, pitch float64) (Point, bool) {
	if x, y, ok := strings.Cut(v.text, ","); ok && v.kind == unstable.String && pitch > 0 {
		a, okA := steps(x)
		b, okB := steps(y)
		if okA && okB {
			return Point{dropRounding(a * pitch), dropRounding(b * pitch)}, true
		}
	}
	return r.point(e, s.key("holes"), v)
}

// signStart reads where the data enters: a point, or a side or corner of the plate in
// words.
func (r *reader) signStart(s spot, g *Sign) {
	text, e, ok := r.text(s, "data_in")
	if e == nil {
		if lead := s.t.find("lead"); lead != nil {
			r.problem(lead.line, s.key("lead"), `write data_in = "bottom left", or a point`, "has nothing to reach from")
		}
		return
	}
	if !ok {
		return
	}
	if p, ok := g.corner(text); ok {
		g.Plate.Start = &p
		return
	}
	if !strings.Contains(text, ",") {
		r.problem(e.line, s.key("data_in"), `write "bottom left", "top", "right" or the like; or a point: "0 in, -2 in"`, "%q is no place on the plate", text)
		return
	}
	if p, ok := r.point(e, s.key("data_in"), e.val); ok {
		g.Plate.Start = &route.Point{X: p.X, Y: p.Y}
	}
}

// corner is a corner or the middle of a side of the box around all holes.
func (g *Sign) corner(text string) (route.Point, bool) {
	lo, hi := g.Bounds()
	x, y := (lo.X+hi.X)/2, (lo.Y+hi.Y)/2
	words := strings.Fields(strings.ToLower(strings.NewReplacer("-", " ", ",", " ").Replace(text)))
	if len(words) == 0 || len(words) > 2 {
		return route.Point{}, false
	}
	for _, w := range words {
		switch w {
		case "left":
			x = lo.X
		case "right":
			x = hi.X
		case "top":
			y = hi.Y
		case "bottom":
			y = lo.Y
		default:
			return route.Point{}, false
		}
	}
	return route.Point{X: x, Y: y}, true
}

// Bounds is the box around all holes.
func (g *Sign) Bounds() (lo, hi Point) {
	pts := make([]Point, len(g.Plate.Holes))
	for i, h := range g.Plate.Holes {
		pts[i] = Point{h.X, h.Y}
	}
	return Bounds(pts)
}
