//go:build linux

// Command bench measures the speed of ringout relative to reference programs.
// Both are measured in turns within the same minute, so other load on the
// machine affects both. Figures are medians over all rounds.
//
//	go run ./internal/bench             every row, about ten minutes
//	go run ./internal/bench -only key   the groups whose name contains "key"
//
// It needs Linux and a C compiler, and sends on 127.0.0.1 only.
package main

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
)

func main() {
	only := flag.String("only", "", "run the groups whose name holds this")
	rounds := flag.Int("rounds", 7, "how often each pair is measured")
	flag.Parse()
	if err := run(*only, *rounds); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

func run(only string, rounds int) error {
	r, err := newRig()
	if err != nil {
		return err
	}
	defer r.close()
	fmt.Print("| what | ringout | yardstick | ratio | goal | |\n|---|---|---|---|---|---|\n")
	for _, g := range groups {
		if !strings.Contains(g.name, only) {
			continue
		}
		all := make([][]sample, len(g.lines))
		for range rounds {
			one, err := g.measure(r)
			if err != nil {
				return fmt.Errorf("%s: %w", g.name, err)
			}
			for i := range g.lines {
				all[i] = append(all[i], one[i])
			}
		}
		for i, l := range g.lines {
			fmt.Println(l.row(all[i]))
		}
	}
	return nil
}

// A group is the rows that one measurement yields together.
type group struct {
	name    string
	measure func(*rig) ([]sample, error) // one sample per row
	lines   []line
}

// A line is one row of the table.
type line struct {
	what, unit string
	goal       float64
	kind       kind
}

// A kind says which figure the goal limits.
type kind int

const (
	atMostTimes  kind = iota // ratio of ours to the reference, at most
	atLeastTimes             // ratio of ours to the reference, at least
	atMost                   // ours alone, at most
	within                   // distance of ours from 0, at most
	none                     // no goal was set
)

// A sample is the figures of one round: the program's and the reference's.
type sample struct{ ours, other []float64 }

// row formats the line as a row of a Markdown table.
func (l line) row(all []sample) string {
	var ours, yard []float64
	for _, s := range all {
		ours, yard = append(ours, s.ours...), append(yard, s.other...)
	}
	a, b := median(ours), median(yard)
	value, ratio, goal := a, "–", fmt.Sprintf("≤ %.4g %s", l.goal, l.unit)
	beside := "–"
	if len(yard) > 0 {
		beside = fmt.Sprintf("%.3g %s", b, l.unit)
		ratio = fmt.Sprintf("%.2f", a/b)
	}
	good := value <= l.goal
	switch l.kind {
	case atMostTimes:
		goal, good = fmt.Sprintf("≤ %.4g times", l.goal), a/b <= l.goal
	case atLeastTimes:
		goal, good = fmt.Sprintf("≥ %.4g times", l.goal), a/b >= l.goal
	case none:
		return fmt.Sprintf("| %s | %.3g %s | %s | %s | – | |", l.what, a, l.unit, beside, ratio)
	case within:
		goal, good = fmt.Sprintf("within %.4g %s", l.goal, l.unit), max(a, -a) <= l.goal
	}
	shown := "not shown"
	if good {
		shown = "shown"
	}
	return fmt.Sprintf("| %s | %.3g %s | %s | %s | %s | %s |", l.what, a, l.unit, beside, ratio, goal, shown)
}

// median is the median; 0 for an empty list.
func median(v []float64) float64 { return quantile(v, 0.5) }

// quantile is the value that a share q, 0 to 1, of all values lie below; 0 for an
// empty list.
func quantile(v []float64, q float64) float64 {
	if len(v) == 0 {
		return 0
	}
	v = slices.Clone(v)
	slices.Sort(v)
	return v[min(int(q*float64(len(v))), len(v)-1)]
}
