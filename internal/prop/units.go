package prop

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// A quantity has its units, each with the factor to the unit used inside, and an
// example for each system of units.
type quantity struct {
	what   string // "a length"
	base   string // the unit used inside
	units  map[string]float64
	sample string
}

const inch, foot = 0.0254, 0.3048 // metres, exact by definition since 1959

var (
	lengths = quantity{"a length", "m", map[string]float64{
		"m": 1, "metre": 1, "metres": 1, "meter": 1, "meters": 1, "cm": 0.01, "mm": 0.001,
		"in": inch, "inch": inch, "inches": inch, `"`: inch, "″": inch,
		"ft": foot, "foot": foot, "feet": foot, "'": foot, "′": foot, "yd": 0.9144,
	}, `"93 in", "7 ft 9 in" or "2.36 m"`}
	volts = quantity{"a voltage", "V", map[string]float64{
		"v": 1, "volt": 1, "volts": 1, "mv": 0.001, "vdc": 1,
	}, `"5 V"`}
	amps = quantity{"a current", "A", map[string]float64{
		"a": 1, "amp": 1, "amps": 1, "ampere": 1, "amperes": 1, "ma": 0.001,
	}, `"5 A" or "20 mA"`}
	angles  = quantity{"an angle", "deg", map[string]float64{"deg": 1, "degree": 1, "degrees": 1, "°": 1}, `"90 deg"`}
	shares  = quantity{"a share", "%", map[string]float64{"%": 0.01, "percent": 0.01}, `"80 %"`}
	density = quantity{"a density", "per metre", map[string]float64{
		"per metre": 1, "per meter": 1, "per m": 1, "/m": 1, "/metre": 1, "/meter": 1,
		"per foot": 1 / foot, "per ft": 1 / foot, "/ft": 1 / foot, "/foot": 1 / foot,
		"per inch": 1 / inch, "per in": 1 / inch, "/in": 1 / inch, "/inch": 1 / inch,
	}, `"60 per metre" or "18 per foot"`}
	ohms     = quantity{"a resistance", "ohm", map[string]float64{"ohm": 1, "ohms": 1, "ω": 1, "mohm": 0.001, "mω": 0.001}, `"0.05 ohm"`}
	warmth   = quantity{"a temperature", "C", map[string]float64{"c": 1, "°c": 1, "deg c": 1, "f": 1, "°f": 1, "deg f": 1}, `"60 C" or "140 F"`}
	railOhms = quantity{"a resistance per length", "ohm/m", map[string]float64{
		"ohm/m": 1, "ohm per metre": 1, "ohm per meter": 1, "ohms per metre": 1, "ohms per meter": 1, "ω/m": 1, "Ω/m": 1,
		"mohm/m": 0.001, "ohm/ft": 1 / foot, "ohm per foot": 1 / foot, "ohms per foot": 1 / foot,
	}, `"0.2 ohm/m"`}
)

// A unitError says what is wrong with a written quantity and how to write it.
type unitError struct{ text, hint string }

func (e *unitError) Error() string { return e.text + ": " + e.hint }

func (q quantity) bad(format string, a ...any) error {
	return &unitError{fmt.Sprintf(format, a...), "write " + q.sample}
}

// ParseLength reads a length such as "93 in", "7 ft 9 1/2 in" or "2.36 m" into metres,
// and reports whether it was in inches or feet.
func ParseLength(s string) (metres float64, inches bool, err error) {
	metres, unit, err := lengths.parse(s)
	f := lengths.units[unit]
	return metres, f == inch || f == foot || f == 0.9144, err
}

// parse reads a number with its unit and returns the first unit. Only feet and inches
// may be combined: "7 ft 9 in".
func (q quantity) parse(s string) (sum float64, first string, err error) {
	rest := strings.TrimSpace(s)
	if rest == "" {
		return 0, "", q.bad("%s is missing", q.what)
	}
	negative := strings.HasPrefix(rest, "-")
	if negative {
		rest = strings.TrimSpace(rest[1:])
	}
	for rest != "" {
		var v float64
		if v, rest, err = q.number(rest, s); err != nil {
			return 0, "", err
		}
		unit, after := cutUnit(rest)
		f, ok := q.units[unit]
		if !ok {
			return 0, "", q.unknownUnit(s, unit)
		}
		switch {
		case first == "":
			first = unit
		case q.what != lengths.what || q.units[first] != foot || f != inch || strings.TrimSpace(after) != "":
			return 0, "", q.bad("%q has more than one value (only feet and inches add up)", s)
		}
		sum, rest = sum+v*f, after
	}
	if negative {
		sum = -sum
	}
	if math.IsInf(sum, 0) {
		return 0, "", q.bad("%q is too large", s)
	}
	return dropRounding(sum), first, nil
}

// dropRounding rounds off the error of unit conversion: 12 in are 0.3048 m, not
// 0.30479999999999996.
func dropRounding(v float64) float64 {
	c, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 13, 64), 64)
	if err != nil {
		return v
	}
	return c
}

func (q quantity) unknownUnit(s, unit string) error {
	if unit == "" {
		return q.bad("%q has no unit", s)
	}
	return q.bad("%q has the unit %q, which is not that of %s", s, unit, q.what)
}

// number reads "81", "81.5", "1/2" or "81 1/2" from the front of rest.
func (q quantity) number(rest, whole string) (float64, string, error) {
	v, after, ok := plainNumber(rest)
	if !ok {
		return 0, "", q.bad("%q has no number where one is needed", whole)
	}
	if strings.HasPrefix(after, ",") {
		return 0, "", q.bad("%q has a comma; decimals take a point", whole)
	}
	if den, tail, ok := denominator(after); ok {
		return v / den, strings.TrimSpace(tail), nil
	}
	after = strings.TrimLeft(after, " -")
	if num, tail, ok := plainNumber(after); ok {
		if den, tail, ok := denominator(tail); ok {
			return v + num/den, strings.TrimSpace(tail), nil
		}
	}
	return v, after, nil
}

// denominator reads a denominator such as "/2" and refuses zero.
func denominator(s string) (float64, string, bool) {
	if !strings.HasPrefix(s, "/") {
		return 0, s, false
	}
	den, tail, ok := plainNumber(s[1:])
	return den, tail, ok && den > 0
}

func plainNumber(s string) (float64, string, bool) {
	n := 0
	for n < len(s) && (s[n] >= '0' && s[n] <= '9' || s[n] == '.') {
		n++
	}
	v, err := strconv.ParseFloat(s[:n], 64)
	return v, s[n:], err == nil
}

// cutUnit reads the letters up to the next digit, in lower case with single spaces.
func cutUnit(s string) (unit, rest string) {
	n := strings.IndexFunc(s, func(r rune) bool { return unicode.IsDigit(r) || r == '.' || r == ',' })
	if n < 0 {
		n = len(s)
	}
	return strings.Join(strings.Fields(strings.ToLower(s[:n])), " "), s[n:]
}

// Limits of the wire sizes accepted.
const (
	ThickestAWG, ThinnestAWG = 10, 30
	ThinnestMM2, ThickestMM2 = 0.05, 10.0
)

// ParseWire reads "18 AWG" or "0.75 mm2", with "solid" or "clad" after it
// when the wire is not stranded copper.
func ParseWire(s string) (Wire, error) {
	v, rest, ok := plainNumber(strings.TrimSpace(s))
	words := strings.Fields(strings.ToLower(rest))
	bad := func(format string, a ...any) (Wire, error) {
		return Wire{}, &unitError{fmt.Sprintf(format, a...), `write "18 AWG" or "0.75 mm2"`}
	}
	if !ok {
		return bad("%q is not a wire", s)
	}
	if len(words) == 0 {
		return bad("%q has no unit", s)
	}
	w, err := wireSize(s, v, words[0])
	for _, word := range words[1:] {
		switch word {
		case "solid":
			w.Solid = true
		case "stranded", "copper":
		case "clad", "cca":
			w.Clad = true
		default:
			return Wire{}, &unitError{fmt.Sprintf("%q has the word %q, which is no kind of wire", s, word),
				`write "18 AWG", "18 AWG solid" or "18 AWG clad" (copper-clad aluminium)`}
		}
	}
	return w, err
}

func wireSize(s string, v float64, unit string) (Wire, error) {
	switch unit {
	case "awg", "ga", "gauge":
		if v != math.Trunc(v) || v < ThickestAWG || v > ThinnestAWG {
			return Wire{}, &unitError{fmt.Sprintf("%q is no gauge known here", s),
				fmt.Sprintf("give a whole number from %d (thick) to %d (thin) AWG; or an area: \"0.75 mm2\"", ThickestAWG, ThinnestAWG)}
		}
		return Wire{AWG: int(v)}, nil
	case "mm2", "mm²", "sqmm", "mm^2":
		if v < ThinnestMM2 || v > ThickestMM2 {
			return Wire{}, &unitError{fmt.Sprintf("%q is no wire for a prop", s),
				fmt.Sprintf("give %g to %g mm2", ThinnestMM2, ThickestMM2)}
		}
		return Wire{MM2: v}, nil
	}
	return Wire{}, &unitError{fmt.Sprintf("%q has the unit %q, which is not that of a wire", s, unit), `write "18 AWG" or "0.75 mm2"`}
}

// String writes the wire as the prop file does; nothing for no wire.
func (w Wire) String() string {
	s := ""
	switch {
	case w.AWG > 0:
		s = fmt.Sprintf("%d AWG", w.AWG)
	case w.MM2 > 0:
		s = decimals(w.MM2, 3) + " mm2"
	default:
		return ""
	}
	if w.Solid {
		s += " solid"
	}
	if w.Clad {
		s += " clad"
	}
	return s
}

// FormatLength writes metres in the file's units: inches (feet and inches from 10 ft
// on), or mm, cm and m.
func FormatLength(metres float64, inches bool) string {
	m := math.Abs(metres)
	switch {
	case inches && m >= 10*foot-1e-9:
		total := math.Round(metres/inch*4) / 4 // a quarter inch is fine enough at this size
		ft := math.Trunc(total / 12)
		if in := total - ft*12; in != 0 {
			return decimals(ft, 0) + " ft " + decimals(math.Abs(in), 2) + " in"
		}
		return decimals(ft, 0) + " ft"
	case inches:
		return decimals(metres/inch, 2) + " in"
	case m < 0.0995:
		return decimals(metres*1000, 1) + " mm"
	case m < 0.9995:
		return decimals(metres*100, 1) + " cm"
	}
	return decimals(metres, 3) + " m"
}

// Foot is a foot in metres.
const Foot = foot

// FormatDensity writes LEDs per metre of strip, or per foot if the file uses inches.
func FormatDensity(perMetre float64, inches bool) string {
	if inches {
		return decimals(perMetre*foot, 2) + " per foot"
	}
	return decimals(perMetre, 2) + " per metre"
}

// SameUnit formats lengths measured along one rule, all in one unit: inches, or the
// unit that FormatLength uses for the longest (in metres), and with as many decimals, at most to a
// tenth of a millimetre. A length that is whole in this unit has none.
func SameUnit(longest float64, inches bool) func(metres float64) string {
	scale, unit, digits := 1000.0, "mm", 1
	switch {
	case inches:
		scale, unit, digits = 1/inch, "in", 2
	case longest >= 0.9995:
		scale, unit, digits = 1, "m", 3
	case longest >= 0.0995:
		scale, unit, digits = 100, "cm", 2
	}
	return func(metres float64) string {
		v := metres * scale
		if whole := decimals(v, digits); !strings.Contains(whole, ".") {
			return whole + " " + unit
		}
		return strconv.FormatFloat(v, 'f', digits, 64) + " " + unit
	}
}

// decimals writes v with at most n decimals and no trailing zeros.
func decimals(v float64, n int) string {
	s := strconv.FormatFloat(v, 'f', n, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}
