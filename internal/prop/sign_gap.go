package prop

import (
	"fmt"
	"strings"

	"example.org/ringout/internal/route"
	"example.org/ringout/internal/words"
)

// gapProblem reports which holes the string cannot reach and what would help.
func (g *Sign) gapProblem(gap route.Gap, inches bool) Problem {
	length := func(v float64) string { return FormatLength(v, inches) }
	allowed := fmt.Sprintf("%s of cord reach %s", reaches(g.Plate.Tucked), length(g.Plate.Reach*float64(g.Plate.Tucked+1)))
	if gap.Start {
		return g.Problem(-1, "data_in", fmt.Sprintf("make the lead longer, move data_in, or write tucked = %d", gap.Tucking),
			"the nearest hole, %s, is %s from where the data comes in: the lead and %s reach less", short(g.Spots[gap.From]), length(gap.Step), reaches(g.Plate.Tucked-1))
	}
	who, is := words.Capital(g.Spots[gap.From].String()), "is"
	if n := len(gap.Holes); n > 1 {
		who, is = fmt.Sprintf("%s and the %d with it", who, n-1), "are"
	}
	rest := "the others"
	if gap.Piece >= 0 {
		rest = fmt.Sprintf("the rest of %q", g.Plate.Pieces[gap.Piece].Name)
	}
	help := []string{fmt.Sprintf("use a string whose cord reaches %s", length(gap.Step/float64(g.Plate.Tucked+1))),
		"put a hole between them"}
	if gap.Tucking <= maxTucked {
		help = append(help, fmt.Sprintf("write tucked = %d", gap.Tucking))
	}
	if gap.Piece >= 0 {
		help = append(help, "give them to another piece")
	}
	return g.Problem(gap.From, "holes", strings.Join(help[:len(help)-1], ", ")+" or "+help[len(help)-1],
		"%s %s out of reach of %s: %s, %s away, is the nearest, and %s", who, is, rest, short(g.Spots[gap.To]), length(gap.Step), allowed)
}

// maxTucked is the highest value of the key tucked.
const maxTucked = 20

func reaches(tucked int) string {
	if tucked <= 0 {
		return "one length"
	}
	return fmt.Sprintf("%d lengths", tucked+1)
}

func short(s HoleSpot) string {
	if s.Item > 0 {
		return fmt.Sprintf("hole %d", s.Item)
	}
	return fmt.Sprintf("row %d, column %d", s.Row, s.Column)
}

// RouteProblem turns an error of Solve into a problem of the file; nil when there is
// none.
func (g *Sign) RouteProblem(r route.Route, err *route.StepError) *Problem {
	switch {
	case err != nil && err.From < 0:
		p := g.Problem(-1, "data_in", "make the lead longer"+tuckedAdvice(err.Enough),
			"no route was found: the string would begin at %s, %s away", g.Spots[err.To], FormatLength(err.Step, g.Inches))
		return &p
	case err != nil:
		p := g.Problem(err.To, "holes", "use a longer cord, put a hole between them"+tuckedAdvice(err.Enough),
			"no route was found: from %s to %s it is %s: %d pixels tucked away in a row, where %d are allowed", short(g.Spots[err.From]), short(g.Spots[err.To]),
			FormatLength(err.Step, g.Inches), err.Tucking, err.Allowed)
		return &p
	case g.Plate.Pixels > 0 && r.Pixels() > g.Plate.Pixels:
		p := g.tooFew(r)
		return &p
	}
	return nil
}

// tuckedAdvice advises allowing more tucked pixels, within the limit of the key.
func tuckedAdvice(n int) string {
	if n > maxTucked {
		return ""
	}
	return fmt.Sprintf(" or write tucked = %d", n)
}

// tooFew says what the missing pixels are needed for.
func (g *Sign) tooFew(r route.Route) Problem {
	longest, at, most := 0.0, 0, 0
	for i, k := range r.Tucked {
		if i > 0 && k > most {
			a, b := g.Plate.Holes[r.Order[i-1]], g.Plate.Holes[r.Order[i]]
			most, at, longest = k, i, dist(Point{a.X, a.Y}, Point{b.X, b.Y})
		}
	}
	least := r.Pixels()
	proof := "the best route found takes"
	if r.Fewest() {
		proof = "every route takes"
	}
	hint := fmt.Sprintf("use a string of %d or more", least)
	if at > 0 {
		hint += fmt.Sprintf(", a longer cord, or a hole between %s and %s, which are %s apart", short(g.Spots[r.Order[at-1]]), short(g.Spots[r.Order[at]]), FormatLength(longest, g.Inches))
	}
	return g.Problem(-1, "pixels", hint, "the string has %d pixels, and %s %d: %d holes and %d tucked away dark where a step is longer than the cord",
		g.Plate.Pixels, proof, least, len(r.Order), r.Dark)
}
