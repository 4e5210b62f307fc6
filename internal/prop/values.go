package prop

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"github.com/pelletier/go-toml/v2/unstable"
)

// A spot is a table with its name in problems: "run 2".
type spot struct {
	t    *table
	name string
}

func (s spot) key(k string) string {
	if s.name == "" {
		return k
	}
	return s.name + ", " + k
}

func (s spot) line() int {
	if s.t == nil {
		return 0
	}
	return s.t.line
}

// one is the spot of a table that occurs at most once.
func (r *reader) one(name string) spot {
	all := r.all(name)
	if len(all) == 0 {
		return spot{nil, name}
	}
	return spot{all[0], name}
}

// text reads a string; false when the key is missing or wrong.
func (r *reader) text(s spot, key string) (string, *entry, bool) {
	e := s.t.find(key)
	if e == nil {
		return "", nil, false
	}
	if e.val.kind != unstable.String {
		r.problem(e.line, s.key(key), fmt.Sprintf("write %s = %q", key, strings.TrimSpace(e.val.text)), "needs a text in quotes")
		return "", e, false
	}
	if strings.ContainsFunc(e.val.text, invisible) {
		r.problem(e.line, s.key(key), "take it out", "has a control character in its text")
		return "", e, false
	}
	if len(e.val.text) > 500 {
		r.problem(e.line, s.key(key), "shorten it", "has %d letters, which is too many", len(e.val.text))
		return "", e, false
	}
	return strings.TrimSpace(e.val.text), e, true
}

// invisible reports invisible characters that change how others show: control characters
// and marks of writing direction.
func invisible(r rune) bool {
	return unicode.IsControl(r) || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069
}

// integer reads an integer from lo to hi.
func (r *reader) integer(s spot, key string, lo, hi int) (int, *entry, bool) {
	e := s.t.find(key)
	if e == nil {
		return 0, nil, false
	}
	want := fmt.Sprintf("give a whole number from %d to %d", lo, hi)
	if e.val.kind != unstable.Integer {
		r.problem(e.line, s.key(key), want+", without quotes", "%s is not a whole number", shown(e.val))
		return 0, e, false
	}
	v, err := strconv.ParseInt(strings.ReplaceAll(e.val.text, "_", ""), 0, 64)
	if err != nil || v < int64(lo) || v > int64(hi) {
		r.problem(e.line, s.key(key), want, "%s is out of range", e.val.text)
		return 0, e, false
	}
	return int(v), e, true
}

// boolean reads true or false.
func (r *reader) boolean(s spot, key string) bool {
	e := s.t.find(key)
	if e == nil {
		return false
	}
	if e.val.kind != unstable.Bool {
		r.problem(e.line, s.key(key), "write true or false, without quotes", "%s is neither true nor false", shown(e.val))
	}
	return e.val.text == "true"
}

// shown formats a value for a sentence.
func shown(v value) string {
	switch v.kind {
	case unstable.String:
		return fmt.Sprintf("%q", v.text)
	case unstable.Array:
		return "a list"
	case unstable.InlineTable:
		return "a table"
	}
	return v.text
}

// orZero is the lower bound of measure that accepts zero: measure requires more than its bound.
const orZero = -1e-12

// measure reads a quantity with its unit, above low and at most high.
func (r *reader) measure(s spot, key string, q quantity, low, high float64) (float64, *entry, bool) {
	e := s.t.find(key)
	if e == nil {
		return 0, nil, false
	}
	if e.val.kind == unstable.Integer || e.val.kind == unstable.Float {
		r.problem(e.line, s.key(key), "write "+q.sample, "%s has no unit", e.val.text)
		return 0, e, false
	}
	text, e, ok := r.text(s, key)
	if !ok {
		return 0, e, false
	}
	v, unit, err := q.parse(text)
	if err != nil {
		r.unitProblem(e, s.key(key), err)
		return 0, e, false
	}
	if !(v > low) || v > high {
		r.problem(e.line, s.key(key), rangeHint(q, v, high), "%q is %s", text, rangeText(v, low))
		return 0, e, false
	}
	if f := q.units[unit]; q.what == lengths.what {
		r.countUnitSystem(f)
	}
	return v, e, true
}

func rangeText(v, low float64) string {
	switch {
	case v < 0:
		return "negative"
	case v == 0:
		return "zero"
	case v <= low:
		return "too small"
	}
	return "too large"
}

// rangeHint says what to write instead of a value out of range; high is in the unit used
// inside.
func rangeHint(q quantity, v, high float64) string {
	switch {
	case q.what == warmth.what:
		return "write -50 C to 120 C"
	case v > high && q.what == shares.what:
		return fmt.Sprintf("give at most %s %%, such as %s", decimals(100*high, 0), q.sample)
	case v > high:
		return fmt.Sprintf("give at most %s %s, such as %s", decimals(high, 2), q.base, q.sample)
	case v <= 0 && q.what != angles.what:
		return "write more than zero, such as " + q.sample
	}
	return "write " + q.sample
}

func (r *reader) countUnitSystem(factor float64) {
	if factor == inch || factor == foot || factor == 0.9144 {
		r.inch++
	} else {
		r.inch--
	}
}

// unitProblem reports an error of a unit parser.
func (r *reader) unitProblem(e *entry, key string, err error) {
	var u *unitError
	if errors.As(err, &u) {
		r.problem(e.line, key, u.hint, "%s", u.text)
		return
	}
	r.problem(e.line, key, "", "%s", err.Error())
}

func (r *reader) wire(s spot, key string) Wire {
	text, e, ok := r.text(s, key)
	if !ok {
		return Wire{}
	}
	w, err := ParseWire(text)
	if err != nil {
		r.unitProblem(e, s.key(key), err)
	}
	return w
}

// point reads "12 in, 3 in".
func (r *reader) point(e *entry, key string, v value) (Point, bool) {
	x, y, ok := strings.Cut(v.text, ",")
	if v.kind != unstable.String || !ok {
		r.problem(e.line, key, `write it in quotes, right and up, such as "12 in, 3 in"`, "%s is not a point", shown(v))
		return Point{}, false
	}
	var at [2]float64
	for i, s := range []string{x, y} {
		m, unit, err := lengths.parse(s)
		if err == nil && math.Abs(m) > maxLength {
			err = lengths.bad("%q is too large", strings.TrimSpace(s))
		}
		if err != nil {
			r.unitProblem(e, key, err)
			return Point{}, false
		}
		r.countUnitSystem(lengths.units[unit])
		at[i] = m
	}
	return Point{at[0], at[1]}, true
}
