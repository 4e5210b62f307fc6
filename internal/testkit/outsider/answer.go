package outsider

import (
	"fmt"
	"slices"
	"strings"
)

// A Scene is the light of each run's places at one moment, counted from the
// planned data end.
type Scene [][]Light

// eyes holds what an observer sees: the colour name of each place at each moment,
// in data order, without the empty places.
type eyes struct {
	probe   Probe
	plan    Plan
	rest    Scene
	runs    [][]string // colour names at rest, by run
	names   []string   // the same, all runs in one list
	moments [][]string // colour names at every moment, at rest first
}

// Answer returns the answer token, by the page's table, for a probe and its light.
// moments are further moments of that light.
func Answer(p Probe, plan Plan, rest Scene, moments ...Scene) string {
	e := eyes{probe: p, plan: plan, rest: rest, runs: look(rest, plan)}
	e.names = slices.Concat(e.runs...)
	e.moments = append(e.moments, e.names)
	for _, m := range moments {
		e.moments = append(e.moments, slices.Concat(look(m, plan)...))
	}
	switch p.Kind {
	case "even":
		return e.even()
	case "last-lit":
		return lastLit(e.names)
	case "before-odd", "odd-colour", "last-mark":
		return e.walk()
	case "place":
		return e.place()
	case "first-run", "confirm":
		return e.firstRun()
	case "sequence":
		return sequence(e.names)
	case "steady":
		return e.steady()
	case "stays-lit":
		return e.staysLit()
	case "fade":
		return e.fade()
	}
	return "else"
}

// look returns the colour names of the places looked at, by run.
func look(s Scene, plan Plan) [][]string {
	out := make([][]string, len(s))
	for run, places := range s {
		for i, l := range places {
			if !plan.isEmpty(run, i) {
				out[run] = append(out[run], l.Name())
			}
		}
	}
	return out
}

func isLit(name string) bool { return name != dark }

func lastLit(names []string) string {
	for _, n := range slices.Backward(names) {
		if isLit(n) {
			return n
		}
	}
	return "none"
}

func sequence(names []string) string {
	all := stretches(names)
	var out []string
	for _, s := range all[:min(3, len(all))] {
		out = append(out, s.Colour)
	}
	if len(all) > 3 {
		out = append(out, "more")
	}
	return strings.Join(out, ",")
}

// walk compares the light with the picture up to the first stretch that differs,
// and answers by the kind of probe.
func (e eyes) walk() string {
	drawn := stretches(slices.Concat(picture(e.probe, e.plan)...))
	seen := stretches(e.names)
	at := 0
	for at < len(drawn) && at < len(seen) && drawn[at].Colour == seen[at].Colour {
		at++
	}
	if at == len(drawn) && at == len(seen) {
		return "as-drawn"
	}
	if e.probe.Kind == "odd-colour" {
		if at == len(seen) {
			return "missing"
		}
		return seen[at].Colour
	}
	for _, s := range slices.Backward(seen[:at]) {
		if e.probe.Kind == "before-odd" || s.Colour != hueName(e.probe.Base) {
			return s.Colour
		}
	}
	return "first"
}

func (e eyes) place() string {
	if e.probe.Run >= len(e.rest) {
		return dark
	}
	run := e.rest[e.probe.Run]
	at := e.probe.Pixel
	if at < 0 {
		at += len(run)
	}
	if at < 0 || at >= len(run) {
		return dark
	}
	return run[at].Name()
}

func (e eyes) firstRun() string {
	drawn := make([][]Stretch, len(e.runs))
	if e.probe.Kind == "confirm" {
		for i, run := range e.probe.Expected {
			for _, s := range run {
				drawn[i] = addStretch(drawn[i], Stretch{hueName(s.Colour), s.Pixels})
			}
		}
	} else {
		for i, names := range picture(e.probe, e.plan) {
			drawn[i] = stretches(names)
		}
	}
	for i, names := range e.runs {
		if !slices.EqualFunc(drawn[i], stretches(names), alike) {
			return fmt.Sprintf("run-%d", i+1)
		}
	}
	return "as-drawn"
}

// alike reports whether a stretch looks like the drawn one: one or two pixels must
// match exactly, longer ones within a quarter plus 3 pixels.
func alike(drawn, seen Stretch) bool {
	off := max(drawn.Pixels-seen.Pixels, seen.Pixels-drawn.Pixels)
	if drawn.Colour != seen.Colour || drawn.Pixels <= 2 && off > 0 {
		return false
	}
	return off <= 3+drawn.Pixels/4
}

func (e eyes) fade() string {
	places := slices.Concat(e.lookedAt()...)
	if len(places) == 0 {
		return "else"
	}
	near, far := places[0], places[len(places)-1]
	switch {
	case near.Name() == dark || far.Name() == dark:
		return "else"
	case near.Name() != far.Name(), far.Brightness()*10 < near.Brightness()*6:
		return "fades"
	}
	return "alike"
}

// lookedAt returns the light at rest without the empty places.
func (e eyes) lookedAt() Scene {
	out := make(Scene, len(e.rest))
	for run, places := range e.rest {
		for i, l := range places {
			if !e.plan.isEmpty(run, i) {
				out[run] = append(out[run], l)
			}
		}
	}
	return out
}
