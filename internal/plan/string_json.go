package plan

// jsonRoute is the route of a sign's string: one pixel per hole, in string order.
// Pixels not listed are tucked away or surplus, and dark.
type jsonRoute struct {
	Holes    []jsonHole `json:"holes"`
	Dark     int        `json:"tucked_away"`
	Least    int        `json:"tucked_away_at_least"`
	Length   float64    `json:"length_m"`
	Shortest float64    `json:"length_at_least_m"`
	Proven   bool       `json:"proven"` // no route tucks away fewer, and none with as few is shorter
	InFile   bool       `json:"in_file"`
}

type jsonHole struct {
	Pixel int     `json:"pixel"`
	X     float64 `json:"x_m"`
	Y     float64 `json:"y_m"`
	Row   int     `json:"row,omitempty"`
	Col   int     `json:"column,omitempty"`
	Piece string  `json:"piece,omitempty"`
}

func (sp *StringPlan) json() *jsonRoute {
	r := sp.Route
	out := &jsonRoute{Dark: r.Dark, Least: r.LeastDark, Length: r.Length, Shortest: r.LeastLength, Proven: r.Shortest(), InFile: sp.InFile}
	pixel := 0
	for i, h := range r.Order {
		pixel += r.Tucked[i] + 1
		hole, spot := sp.Sign.Plate.Holes[h], sp.Sign.Spots[h]
		j := jsonHole{Pixel: pixel, X: hole.X, Y: hole.Y, Row: spot.Row, Col: spot.Column}
		if hole.Piece >= 0 {
			j.Piece = sp.Sign.Plate.Pieces[hole.Piece].Name
		}
		out.Holes = append(out.Holes, j)
	}
	return out
}
