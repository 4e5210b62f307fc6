package vision

// The second model follows H. Brettel, F. Vienot and J. D. Mollon, "Computerized
// simulation of color appearance for dichromats", Journal of the Optical Society of
// America A 14(10), 1997. An eye without one kind of cone cannot distinguish colours that
// differ only in that cone's response, so each is projected to a half plane through the
// greys and an anchor. The cone responses are derived here from the three confusion points
// of V. C. Smith and J. Pokorny, Vision Research 15, 1975, as in G. Wyszecki and W. S.
// Stiles, "Color Science", 2nd edition, 1982. These figures, and the cone responses that a
// test compares the derivation with, are from memory. The anchors are primaries of a
// screen: blue for protan and deutan, as in F. Vienot, H. Brettel and J. D. Mollon, Color
// Research and Application 24(4), 1999; red and cyan, the nearest to 660 and 485 nm, for
// tritan.

// confusion lists the points, x and y, in which the lines of confusion of an eye without
// long, middle or short cones meet. A light of that chromaticity would excite only the
// missing cone.
var confusion = [3][2]float64{{0.7465, 0.2535}, {1.4000, -0.4000}, {0.1748, 0.0000}}

// fundamentals is the matrix from X, Y, Z to the responses of the long, middle and short
// cones.
var fundamentals = fromConfusion(confusion)

// fromConfusion derives the matrix of cone responses. Each cone has no response to the
// confusion points of the two others, and the responses of the long and middle cones add
// up to luminance Y. The scale of the short cones does not matter.
func fromConfusion(points [3][2]float64) (out [3][3]float64) {
	var at [3][3]float64 // X, Y and Z of the points
	for i, p := range points {
		at[i] = [3]float64{p[0], p[1], 1 - p[0] - p[1]}
	}
	long, middle, short := cross(at[1], at[2]), cross(at[2], at[0]), cross(at[0], at[1])
	// a x long + b x middle is Y: no answer to X, and 1 to Y.
	det := long[0]*middle[1] - middle[0]*long[1]
	a, b := -middle[0]/det, long[0]/det
	for i := range 3 {
		out[0][i], out[1][i], out[2][i] = a*long[i], b*middle[i], short[i]/short[2]
	}
	return out
}

// cross is the cross product: a linear form that is 0 for both colours.
func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// primaries is the matrix from linear red, green, blue to X, Y, Z (IEC 61966-2-1).
var primaries = [3][3]float64{{0.4124, 0.3576, 0.1805}, {0.2126, 0.7152, 0.0722}, {0.0193, 0.1192, 0.9505}}

// cones returns the responses of the three cones to linear light.
func cones(rgb [3]float64) [3]float64 { return times(fundamentals, times(primaries, rgb)) }

// withoutCone returns the linear light as seen by an eye without one kind of cone.
func withoutCone(missing int, rgb [3]float64) [3]float64 {
	white, seen := cones([3]float64{1, 1, 1}), cones(rgb)
	anchor := cones([3]float64{0, 0, 1})
	if missing == 2 {
		anchor = cones([3]float64{1, 0, 0})
		if seen[1]*white[0] > seen[0]*white[1] { // greener than grey
			anchor = cones([3]float64{0, 1, 1})
		}
	}
	// The plane through black, white and the anchor has this normal.
	n := [3]float64{
		white[1]*anchor[2] - white[2]*anchor[1],
		white[2]*anchor[0] - white[0]*anchor[2],
		white[0]*anchor[1] - white[1]*anchor[0],
	}
	a, b := (missing+1)%3, (missing+2)%3
	seen[missing] = -(n[a]*seen[a] + n[b]*seen[b]) / n[missing]
	return times(inverse(primaries), times(inverse(fundamentals), seen))
}

func times(m [3][3]float64, v [3]float64) (out [3]float64) {
	for i, row := range m {
		out[i] = row[0]*v[0] + row[1]*v[1] + row[2]*v[2]
	}
	return out
}

// inverse inverts a matrix by Cramer's rule.
func inverse(m [3][3]float64) (out [3][3]float64) {
	cofactor := func(r, c int) float64 {
		a, b, d, e := (r+1)%3, (r+2)%3, (c+1)%3, (c+2)%3
		return m[a][d]*m[b][e] - m[a][e]*m[b][d]
	}
	whole := m[0][0]*cofactor(0, 0) + m[0][1]*cofactor(0, 1) + m[0][2]*cofactor(0, 2)
	for r := range 3 {
		for c := range 3 {
			out[c][r] = cofactor(r, c) / whole
		}
	}
	return out
}
