package record

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// mostBuilt is how many lines of what a camera read the sheet has room for.
const mostBuilt = 6

// asFound is what an entry measured, set against the prop file as it is now.
// What was not checked is not mentioned.
func (pg Page) asFound(e Entry) []string {
	lines := append(pg.countsFound(e), e.Camera.lines()...)
	for i, b := range e.Built {
		if i == mostBuilt {
			lines = append(lines, fmt.Sprintf("and %d more that are not as planned: see the bench record", len(e.Built)-i))
			break
		}
		lines = append(lines, "as built: "+plain(b))
	}
	var joints []string
	for _, j := range e.Joints {
		joints = append(joints, pg.jointMark(j.Name)+plain(j.Name)+" "+j.ohms())
	}
	if len(joints) > 0 {
		lines = append(lines, "joints as estimated: "+strings.Join(joints, "; "))
	}
	var volts []string
	for _, v := range brightest(e.Volts) {
		volts = append(volts, fmt.Sprintf("%s %s%s", words.Volts(v.Volts), v.place(), pg.reckoned(v)))
	}
	if len(volts) > 0 {
		lines = append(lines, "measured: "+strings.Join(volts, "; "))
	}
	return lines
}

// jointMark is how the drawing marks the joint of that name, "J2 "; empty for
// one that it does not have.
func (pg Page) jointMark(name string) string {
	runs := pg.Prop.Runs
	for r := 1; r < len(runs); r++ {
		if name == runs[r-1].Name+" to "+runs[r].Name {
			return fmt.Sprintf("J%d ", r)
		}
	}
	return ""
}

// brightest keeps the reading at the highest level of each pixel: a load test
// has many, and the page has room for one.
func brightest(all []Reading) (out []Reading) {
	for _, v := range all {
		i := slices.IndexFunc(out, func(o Reading) bool { return o.Pixel == v.Pixel })
		switch {
		case i < 0:
			out = append(out, v)
		case v.Level >= out[i].Level:
			out[i] = v
		}
	}
	return out
}

// countsFound are counts and travel: in one line where all is as planned, else
// run by run.
func (pg Page) countsFound(e Entry) []string {
	var odd []string
	counted, right := 0, 0
	for _, r := range e.Runs {
		i := slices.IndexFunc(pg.Prop.Runs, func(now prop.Run) bool { return now.Name == r.Name })
		if i < 0 {
			continue
		}
		if r.Found > 0 {
			counted++
		}
		if now := pg.Prop.Runs[i].Pixels; r.Found > 0 && r.Found != now {
			odd = append(odd, fmt.Sprintf("%s: %d pixels found, %d planned", plain(r.Name), r.Found, now))
		}
		switch r.Travel {
		case "":
		case "as planned":
			right++
		default:
			odd = append(odd, fmt.Sprintf("%s: travel found %s", plain(r.Name), plain(r.Travel)))
		}
	}
	if n := len(pg.Prop.Runs); len(odd) == 0 && counted == n && right == n {
		return []string{"pixels counted and travel seen: as planned in every run"}
	}
	return odd
}

// reckoned is the voltage that the plan gives for the place and level of a
// reading, in white, as real strip sags; empty where it has none.
func (pg Page) reckoned(v Reading) string {
	if v.Pixel < 1 || v.Pixel > pg.Prop.Pixels() || v.Level < 0 || v.Level > 1 {
		return ""
	}
	r, err := pg.Power.AtLevel(pg.Prop, v.Level)
	if err != nil || r.Sagging == nil {
		return ""
	}
	return fmt.Sprintf(" (%s reckoned in white)", words.Volts(r.Sagging.Volts(v.Pixel-1)))
}

// sum is how many pixels of what the prop has.
func (pg Page) sum() string {
	return fmt.Sprintf("%s of %s in %s", words.Count(pg.Prop.Pixels(), "pixel"), plain(pg.Prop.Chip.Name), words.Count(len(pg.Rows), "run"))
}

// span is a range of numbers, or the one there is.
func span(from, to int) string {
	if from == to {
		return fmt.Sprint(from)
	}
	return fmt.Sprintf("%d-%d", from, to)
}
