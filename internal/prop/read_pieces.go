package prop

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"example.org/ringout/internal/route"
	"example.org/ringout/internal/sorting"
)

// spotName names an unnamed table in problems: "run 2".
func spotName(kind string, i int) string { return fmt.Sprintf("%s %d", kind, i+1) }

// steps reads a plain number, in steps of the pitch.
func steps(s string) (float64, bool) {
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	return v, err == nil && v > -1e6 && v < 1e6
}

// A markedPiece is a piece with the marks of its holes.
type markedPiece struct {
	name  string
	marks []rune
	line  int
}

// pieces reads the [[piece]] tables, adds a piece for each letter and digit of the
// drawing that has none, and assigns every hole to its innermost piece.
func (r *reader) pieces(g *Sign) {
	var all []markedPiece
	names := map[string]int{}
	for i, t := range r.all("piece") {
		s := spot{t, spotName("piece", i)}
		p, ok := r.piece(s, g)
		r.checkUnique(s, names, p.name)
		if ok && r.pieceFits(s, all, p) {
			all = append(all, p)
		}
	}
	all = append(all, g.letters(all)...)
	sorting.Stable(all, func(a, b markedPiece) int { return len(b.marks) - len(a.marks) })
	g.placePieces(all)
}

func (r *reader) piece(s spot, g *Sign) (markedPiece, bool) {
	p := markedPiece{name: s.name, line: s.line()}
	if name, _, ok := r.text(s, "name"); ok && name != "" {
		p.name = name
	}
	marks, e, ok := r.text(s, "marks")
	if e == nil {
		r.reportMissing(s.line(), s.key("marks"), `write marks = "abc", the signs of its holes in the drawing`, "does not say which holes it is")
		return p, false
	}
	if !ok {
		return p, false
	}
	for _, m := range marks {
		switch {
		case m == ' ' || m == ',' || slices.Contains(p.marks, m):
		case !g.has(m):
			r.problem(e.line, s.key("marks"), "the holes are marked "+g.marks(), "no hole is marked %q", string(m))
			ok = false
		default:
			p.marks = append(p.marks, m)
		}
	}
	if ok && len(p.marks) == 0 {
		r.problem(e.line, s.key("marks"), "write the signs of its holes", "is empty")
	}
	return p, ok && len(p.marks) > 0
}

func (g *Sign) has(mark rune) bool {
	return slices.ContainsFunc(g.Spots, func(s HoleSpot) bool { return s.Mark == mark })
}

// marks lists the marks in use.
func (g *Sign) marks() string {
	var all []string
	for _, s := range g.Spots {
		if m := string(s.Mark); s.Mark != 0 && !slices.Contains(all, m) {
			all = append(all, m)
		}
	}
	if len(all) == 0 {
		return "with nothing"
	}
	return strings.Join(all[:min(30, len(all))], " ")
}

// pieceFits reports pieces that partly overlap.
func (r *reader) pieceFits(s spot, before []markedPiece, p markedPiece) bool {
	for _, q := range before {
		both := 0
		for _, m := range p.marks {
			if slices.Contains(q.marks, m) {
				both++
			}
		}
		switch {
		case both == 0 || both == len(p.marks) && len(q.marks) > both || both == len(q.marks) && len(p.marks) > both:
		case both == len(p.marks):
			r.problem(s.line(), s.name, "keep one of them", "%q has the same holes as %q of line %d", p.name, q.name, q.line)
			return false
		default:
			r.problem(s.line(), s.name, "let one lie wholly inside the other, or apart from it", "%q shares some of its holes with %q of line %d", p.name, q.name, q.line)
			return false
		}
	}
	return true
}

// letters returns a piece for each letter or digit that no table names. A drawing with
// only one mark is one piece anyway and gets none.
func (g *Sign) letters(named []markedPiece) (out []markedPiece) {
	var seen []rune
	for _, s := range g.Spots {
		if !slices.Contains(seen, s.Mark) {
			seen = append(seen, s.Mark)
		}
	}
	if len(seen) == 1 {
		return nil
	}
	for _, m := range seen {
		own := func(p markedPiece) bool { return len(p.marks) == 1 && p.marks[0] == m }
		if (unicode.IsLetter(m) || unicode.IsDigit(m)) && !slices.ContainsFunc(named, own) {
			out = append(out, markedPiece{name: g.letterName(m, named), marks: []rune{m}})
		}
	}
	return out
}

// letterName is the mark, with a second word where the mark alone is taken as a name:
// names ignore case.
func (g *Sign) letterName(m rune, named []markedPiece) string {
	name := string(m)
	taken := func(p markedPiece) bool { return strings.EqualFold(p.name, name) }
	if other := unicode.ToUpper(m); other != m && g.has(other) {
		name = "small " + name
	}
	if slices.ContainsFunc(named, taken) {
		name = "letter " + name
	}
	return name
}

// placePieces adds the pieces to the plate, outer ones first, and sets the innermost piece of
// each hole.
func (g *Sign) placePieces(all []markedPiece) {
	for i, p := range all {
		in := -1
		for k, q := range all[:i] {
			if slices.Contains(q.marks, p.marks[0]) {
				in = k // later ones are smaller
			}
		}
		g.Plate.Pieces = append(g.Plate.Pieces, route.Piece{Name: p.name, In: in})
	}
	for h, s := range g.Spots {
		for k, p := range all {
			if slices.Contains(p.marks, s.Mark) {
				g.Plate.Holes[h].Piece = k
			}
		}
	}
}

// checkDepth reports holes inside too many nested pieces.
func (r *reader) checkDepth(g *Sign) {
	for i := range g.Plate.Holes {
		if g.depth(i) > 4 {
			r.problem(g.Spots[i].Line, "piece", "let fewer lie one in another", "%s lies in %d pieces, and 4 is the most", g.Spots[i], g.depth(i))
			return
		}
	}
}

// checkGaps reports holes that no route can reach.
func (r *reader) checkGaps(g *Sign) {
	for _, gap := range g.Plate.Gaps() {
		r.bad = append(r.bad, g.gapProblem(gap, g.Inches))
	}
}

// checkEnoughPixels reports a string with fewer pixels than holes.
func (r *reader) checkEnoughPixels(g *Sign) {
	if n := len(g.Plate.Holes); g.Plate.Pixels > 0 && g.Plate.Pixels < n {
		r.bad = append(r.bad, g.Problem(-1, "pixels", fmt.Sprintf("use a string of %d or more, or fewer holes", n),
			"the string has %d pixels, and there are %d holes", g.Plate.Pixels, n))
	}
}

// checkDespiteErrors reports what is certain of a sign that has other mistakes, so one reading
// reports everything: too few pixels if the holes are correct, and holes out of reach
// if the lengths are correct too. An unknown value is assumed to be the most
// favourable.
func (r *reader) checkDespiteErrors(s spot, g *Sign) {
	if r.unreported > 0 || len(g.Plate.Holes) == 0 || !r.soundKeys(s, "holes") {
		return
	}
	if r.soundKeys(s, "pixels") {
		r.checkEnoughPixels(g)
	}
	if g.Plate.Reach == 0 || !r.soundKeys(s, "reach", "pitch", "rise") {
		return
	}
	if !r.soundKeys(s, "tucked") {
		g.Plate.Tucked = maxTucked
	}
	if !r.soundKeys(s, "data_in", "lead") {
		g.Plate.Start = nil
	}
	if !r.soundPieces() {
		g.Plate.Pieces = nil
		for i := range g.Plate.Holes {
			g.Plate.Holes[i].Piece = -1
		}
	}
	r.checkGaps(g)
}

// soundKeys reports whether the keys of a table have no known problem, and no misspelt
// key or bad line seems to mean them.
func (r *reader) soundKeys(s spot, names ...string) bool {
	for _, name := range names {
		if r.misspelt[s.key(name)] || slices.ContainsFunc(r.bad, func(p Problem) bool { return p.Key == s.key(name) }) ||
			slices.ContainsFunc(r.badLines, func(line string) bool { return strings.Contains(strings.ToLower(line), name) }) {
			return false
		}
	}
	return true
}

// soundPieces reports the same of all [[piece]] tables.
func (r *reader) soundPieces() bool {
	return len(r.tree.bad) == 0 && !r.misspelt[brackets("piece")] &&
		!slices.ContainsFunc(r.bad, func(p Problem) bool { return strings.HasPrefix(p.Key, "piece") })
}

func (g *Sign) depth(hole int) (d int) {
	for k := g.Plate.Holes[hole].Piece; k >= 0; k = g.Plate.Pieces[k].In {
		d++
	}
	return d
}
