package record

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// A Pair is one value in two check-outs, older first.
type Pair struct {
	What string `json:"what"`
	From string `json:"from"`
	To   string `json:"to"`
}

// notChecked is shown for a check-out without the value.
const notChecked = "not checked"

// SideBySide lists every value that at least one of two check-outs has.
func SideBySide(from, to Entry) []Pair {
	out := []Pair{
		{"verdict", orNotChecked(string(from.Verdict)), orNotChecked(string(to.Verdict))},
		{"left to mend", fmt.Sprint(len(from.open())), fmt.Sprint(len(to.open()))},
		{"answers", fmt.Sprint(len(from.Steps)), fmt.Sprint(len(to.Steps))},
		{"colour order", orNotChecked(from.Order), orNotChecked(to.Order)},
	}
	by := func(figures func(Entry) []Pair) { out = append(out, merge(figures(from), figures(to))...) }
	by(func(e Entry) (f []Pair) {
		for _, r := range e.Runs {
			if r.Found > 0 || r.Travel != "" {
				f = append(f, Pair{What: "run " + plain(r.Name) + ", pixels", From: r.found()})
			}
		}
		return f
	})
	by(func(e Entry) (f []Pair) {
		for _, j := range e.Joints {
			f = append(f, Pair{What: "joint " + plain(j.Name), From: j.ohms()})
		}
		return f
	})
	by(func(e Entry) (f []Pair) {
		for _, v := range e.Volts {
			f = append(f, Pair{What: v.place(), From: words.Volts(v.Volts)})
		}
		return f
	})
	return out
}

// found is a run's count and direction in few words.
func (r Run) found() string {
	switch {
	case r.Found == 0:
		return "not counted, " + plain(r.Travel)
	case r.Travel == "":
		return fmt.Sprint(r.Found)
	}
	return fmt.Sprint(r.Found) + ", " + plain(r.Travel)
}

// merge pairs values of the same name. In the input lists From holds the value.
func merge(from, to []Pair) []Pair {
	var out []Pair
	for _, f := range from {
		out = append(out, Pair{f.What, f.From, notChecked})
	}
	for _, t := range to {
		i := slices.IndexFunc(out, func(p Pair) bool { return p.What == t.What && p.To == notChecked })
		if i < 0 {
			out = append(out, Pair{t.What, notChecked, t.From})
			continue
		}
		out[i].To = t.From
	}
	return out
}

func orNotChecked(s string) string {
	if s == "" {
		return notChecked
	}
	return plain(s)
}

// PropChanges lists the differences between the prop files of two check-outs; empty if
// either did not keep it.
func PropChanges(from, to Entry) []string {
	if from.PropFile == "" || to.PropFile == "" {
		return nil
	}
	var out []string
	for _, c := range prop.Changes(from.PropFile, to.PropFile) {
		out = append(out, plain(c.Says("before", "after")))
	}
	return out
}
