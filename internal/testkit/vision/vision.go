// Package vision simulates how a screen colour looks to an eye without one kind of
// cone, and computes the contrast and difference of two colours.
//
// The matrices are those of G. M. Machado, M. M. Oliveira and L. A. F. Fernandes,
// "A Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE
// Transactions on Visualization and Computer Graphics 15(6), 2009, table 1,
// severity 1.0. They apply to linear light. Their figures are from memory; tests check
// properties that a wrong digit would break: each row sums to 1, so that greys stay grey;
// the matrices without long and without middle cones are singular to six digits, and the
// direction they lose is the published line of confusion. A second model (cones.go) is
// derived from fewer figures. A palette has to pass both.
package vision

import "math"

// A Kind is a kind of colour vision.
type Kind string

// The kinds: normal vision, and vision without long, middle or short wave cones, by the
// matrices and by the second model.
const (
	Usual       Kind = ""
	Protan      Kind = "protan"
	Deutan      Kind = "deutan"
	Tritan      Kind = "tritan"
	ProtanCones Kind = "protan, by cones"
	DeutanCones Kind = "deutan, by cones"
	TritanCones Kind = "tritan, by cones"
)

// Kinds returns all kinds.
func Kinds() []Kind {
	return []Kind{Usual, Protan, Deutan, Tritan, ProtanCones, DeutanCones, TritanCones}
}

// missing is the index of the missing cone for the kinds of the second model.
var missing = map[Kind]int{ProtanCones: 0, DeutanCones: 1, TritanCones: 2}

var matrices = map[Kind][3][3]float64{
	Usual:  {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	Protan: {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	Deutan: {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	Tritan: {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
}

// linear decodes an sRGB value to linear light, coded encodes it; both 0 to 1
// (IEC 61966-2-1).
func linear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

func coded(v float64) float64 {
	v = min(max(v, 0), 1)
	if v <= 0.0031308 {
		return 12.92 * v
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}

// Seen returns a screen colour as it looks to a kind of vision.
func Seen(k Kind, c [3]uint8) (r, g, b uint8) {
	var in, out [3]float64
	for i, v := range c {
		in[i] = linear(float64(v) / 255)
	}
	if cone, ok := missing[k]; ok {
		out = withoutCone(cone, in)
	} else {
		out = times(matrices[k], in)
	}
	code := func(v float64) uint8 { return uint8(coded(v)*255 + 0.5) }
	return code(out[0]), code(out[1]), code(out[2])
}

// Luminance is the relative luminance of WCAG 2.1, 0 to 1.
func Luminance(c [3]uint8) float64 {
	return 0.2126*linear(float64(c[0])/255) + 0.7152*linear(float64(c[1])/255) + 0.0722*linear(float64(c[2])/255)
}

// Contrast is the contrast ratio of WCAG 2.1, 1 to 21.
func Contrast(a, b [3]uint8) float64 {
	x, y := Luminance(a), Luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Apart is the colour difference of two colours in CIE 1976 L*a*b* (CIE 15, white
// D65). About 2 is just visible side by side; 20 is a different colour.
func Apart(a, b [3]uint8) float64 {
	x, y := lab(a), lab(b)
	return math.Sqrt((x[0]-y[0])*(x[0]-y[0]) + (x[1]-y[1])*(x[1]-y[1]) + (x[2]-y[2])*(x[2]-y[2]))
}

func lab(c [3]uint8) [3]float64 {
	r, g, b := linear(float64(c[0])/255), linear(float64(c[1])/255), linear(float64(c[2])/255)
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	// XYZ by IEC 61966-2-1, relative to white D65.
	x := f((0.4124*r + 0.3576*g + 0.1805*b) / 0.9505)
	y := f(0.2126*r + 0.7152*g + 0.0722*b)
	z := f((0.0193*r + 0.1192*g + 0.9505*b) / 1.0890)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}
