package prop

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/ringout/internal/route"
)

// A Sign is a plate of holes for a string of pixels, as [sign] and the
// [[piece]] tables describe it.
type Sign struct {
	Plate   route.Plate // holes in reading order: rows from the top, each from the left
	Spots   []HoleSpot  // the place of each hole in the file
	Pitch   float64     // metres from column to column; for a list as given, 0 for none
	Rise    float64     // metres from row to row
	Columns int         // of the drawing; 0 when the holes are a list
	Rows    int
	Inches  bool // the table uses inches

	file  string
	lines map[string]int // of the keys in [sign]
}

// A HoleSpot is the place of a hole in the file.
type HoleSpot struct {
	Line        int
	Row, Column int  // of the drawing, from 1; 0 in a list
	Item        int  // of the list, from 1; 0 in a drawing
	Mark        rune // 0 for none
}

// String is the place as sentences name it.
func (s HoleSpot) String() string {
	if s.Item > 0 {
		return fmt.Sprintf("hole %d of the list", s.Item)
	}
	return fmt.Sprintf("the hole in row %d, column %d", s.Row, s.Column)
}

// usualTucked is how many pixels may be tucked away in one step unless the file sets
// it.
const usualTucked = 4

// Problem is a problem of the sign, at the line of a key or, with hole >= 0, at the
// line of that hole.
func (s *Sign) Problem(hole int, key, hint, format string, a ...any) Problem {
	line := s.lines[key]
	if line == 0 {
		line = s.lines[""]
	}
	if hole >= 0 && hole < len(s.Spots) {
		line = s.Spots[hole].Line
	}
	return Problem{File: s.file, Line: line, Key: "sign, " + key, Text: fmt.Sprintf(format, a...), Hint: hint}
}

// ButForTheRoute returns the problems of a file other than the missing route of its
// sign; nil when there are none.
func ButForTheRoute(err error) error {
	var all Problems
	if !errors.As(err, &all) {
		return err
	}
	all = slices.DeleteFunc(slices.Clone(all), func(p Problem) bool { return p.Text == noRouteText })
	if len(all) == 0 {
		return nil
	}
	return all
}

const noRouteText = "the string has no route through the holes yet"

// Sign is the sign that the text describes; nil when there is none or it has problems.
func (d *Document) Sign() *Sign { return d.sign }

// Lattice gives the holes as rows and columns, for a drawing in letters: those of the
// drawing, or for a list the nearest positions on a lattice of its pitch. columns is 0
// when two holes would share a position or the lattice would be far larger than any
// screen.
func (g *Sign) Lattice() (columns, rows int, at []HoleSpot) {
	if g.Columns > 0 {
		return g.Columns, g.Rows, g.Spots
	}
	unit := g.Pitch
	if unit == 0 {
		unit = g.Nearest()
	}
	const most = 400
	lo, hi := g.Bounds()
	columns, rows = int(math.Round((hi.X-lo.X)/unit))+1, int(math.Round((hi.Y-lo.Y)/unit))+1
	if columns > most || rows > most {
		return 0, 0, nil
	}
	taken := map[[2]int]bool{}
	for _, h := range g.Plate.Holes {
		s := HoleSpot{Column: int(math.Round((h.X-lo.X)/unit)) + 1, Row: int(math.Round((hi.Y-h.Y)/unit)) + 1}
		if place := [2]int{s.Column, s.Row}; taken[place] {
			return 0, 0, nil
		}
		taken[[2]int{s.Column, s.Row}] = true
		at = append(at, s)
	}
	return columns, rows, at
}
