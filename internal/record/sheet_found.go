package record

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// maxBuilt limits the lines from a camera on the sheet.
const maxBuilt = 6

// asFound lists what an entry measured beside the current prop file. What was not
// checked is left out.
func (pg Page) asFound(e Entry) []string {
	lines := append(pg.countsFound(e), e.Camera.lines()...)
	for i, b := range e.Built {
		if i == maxBuilt {
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
	for _, v := range highestLevels(e.Volts) {
		volts = append(volts, fmt.Sprintf("%s %s%s", words.Volts(v.Volts), v.place(), pg.expectedVolts(v)))
	}
	if len(volts) > 0 {
		lines = append(lines, "measured: "+strings.Join(volts, "; "))
	}
	return lines
}

// jointMark is the drawing's mark for the joint of that name, "J2 ", with its number in the flex
// test; empty if it has none.
func (pg Page) jointMark(name string) string {
	runs := pg.Prop.Runs
	for r := 1; r < len(runs); r++ {
		if name == runs[r-1].Name+" to "+runs[r].Name {
			return fmt.Sprintf("J%d ", r+1)
		}
	}
	return ""
}

// highestLevels keeps the reading at the highest level for each pixel: a load test has
// many, and the page has room for one.
func highestLevels(all []Reading) (out []Reading) {
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

// countsFound lists counts and direction: in one line if all are as planned, else by
// run.
func (pg Page) countsFound(e Entry) []string {
	var differences []string
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
			differences = append(differences, fmt.Sprintf("%s: %d pixels found, %d planned", plain(r.Name), r.Found, now))
		}
		switch r.Travel {
		case "":
		case "as planned":
			right++
		default:
			differences = append(differences, fmt.Sprintf("%s: travel found %s", plain(r.Name), plain(r.Travel)))
		}
	}
	if n := len(pg.Prop.Runs); len(differences) == 0 && counted == n && right == n {
		return []string{"pixels counted and travel seen: as planned in every run"}
	}
	return differences
}

// expectedVolts is the voltage expected by the plan at the place and level of a reading, in
// white, with current falling as volts fall; empty if there is none.
func (pg Page) expectedVolts(v Reading) string {
	if v.Pixel < 1 || v.Pixel > pg.Prop.Pixels() || v.Level < 0 || v.Level > 1 {
		return ""
	}
	r, err := pg.Power.AtLevel(pg.Prop, v.Level)
	if err != nil || r.Sagging == nil {
		return ""
	}
	return fmt.Sprintf(" (%s reckoned in white)", words.Volts(r.Sagging.Volts(v.Pixel-1)))
}

// sum is the number and kind of the prop's pixels.
func (pg Page) sum() string {
	if pg.Prop.Bulb() {
		return "One " + plain(pg.Prop.Chip.Name)
	}
	return fmt.Sprintf("%s of %s in %s", words.Count(pg.Prop.Pixels(), "pixel"), plain(pg.Prop.Chip.Name), words.Count(len(pg.Rows), "run"))
}

// span is a range of numbers, or the one number.
func span(from, to int) string {
	if from == to {
		return fmt.Sprint(from)
	}
	return fmt.Sprintf("%d-%d", from, to)
}
