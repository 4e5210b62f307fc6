package check

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/style"
)

// A suspect is a line of the list of open explanations.
type suspect struct {
	share float64
	text  string
}

// suspects lists the open explanations, likeliest first: each kind of fault once, with the
// number of its places.
func suspects(p *prop.Prop, standing []checkout.Suspect) []suspect {
	type group struct {
		suspect
		places int  // that fit the answers
		placed bool // they differ by place
		one    string
	}
	var order []string
	by := map[string]*group{}
	for _, s := range standing {
		text, one := "nothing wrong", "nothing wrong"
		if !s.Sound() && len(s.Causes) > 0 {
			text, one = kindsOf(s.Causes[0]), withPlaces(p, s.Causes[0])
		}
		g := by[text]
		if g == nil {
			g = &group{one: one, placed: len(s.Pixels) > 0 && !s.Sound() && s.Causes[0][0].Kind.Placed()}
			by[text], order = g, append(order, text)
		}
		g.share += s.Share
		if s.Fits || g.places == 0 {
			g.places++
		}
	}
	out := make([]suspect, 0, len(order))
	for _, text := range order {
		g := by[text]
		g.text = g.one
		switch {
		case g.places > 1 && g.placed:
			g.text = fmt.Sprintf("%s, at one of %d places", text, g.places)
		case g.places > 1:
			g.text = fmt.Sprintf("%s, in one of %d ways", text, g.places)
		}
		out = append(out, g.suspect)
	}
	return sorted(out)
}

// kindsOf names kinds of fault whose places are open.
func kindsOf(faults []strip.Fault) string {
	names := make([]string, len(faults))
	for i, f := range faults {
		names[i] = strip.FactsOf(f.Kind).Name
	}
	return strings.Join(names, " and ")
}

// withPlaces is the kinds with their places.
func withPlaces(p *prop.Prop, faults []strip.Fault) string {
	places := make([]string, len(faults))
	for i, f := range faults {
		places[i] = kindsOf(faults[i:i+1]) + at(p, f)
	}
	return strings.Join(places, " and ")
}

// at names the place of a fault in few words.
func at(p *prop.Prop, f strip.Fault) string {
	switch strip.FactsOf(f.Kind).Scope {
	case strip.AtPixel:
		return fmt.Sprintf(": pixel %d", f.Pixel+1)
	case strip.FromPixel:
		return fmt.Sprintf(" before pixel %d", f.Pixel+1)
	case strip.ChipsFrom:
		if f.Pixel > 0 {
			return fmt.Sprintf(" from pixel %d on", f.Pixel+1)
		}
	case strip.OneRun:
		return ": " + runName(p, f.Run) + difference(f)
	case strip.TwoRuns:
		return ": " + runName(p, f.Run) + ", " + runName(p, f.Run2)
	}
	return ""
}

// difference is the number of pixels that a run has more or fewer, in words; empty for
// other faults.
func difference(f strip.Fault) string {
	switch {
	case !strip.FactsOf(f.Kind).Counted:
		return ""
	case f.N < 0:
		return fmt.Sprintf(", %d fewer", -f.N)
	case f.OrMore:
		return fmt.Sprintf(", %d or more too many", f.N)
	}
	return fmt.Sprintf(", %d more", f.N)
}

// runName is the name of a run without control characters.
func runName(p *prop.Prop, run int) string { return style.Clean(p.RunName(run)) }

// weight is a posterior in words.
func weight(share float64) string {
	switch {
	case share >= 0.95:
		return "nearly sure"
	case share >= 0.6:
		return "likely"
	case share >= 0.25:
		return "may well be"
	case share >= 0.05:
		return "possible"
	}
	return "unlikely"
}

// sure is the certainty of a finding, and what it means.
func sure(f checkout.Finding) string {
	text := words.Capital(f.Certainty())
	if f.Sure == checkout.Certain {
		return text + ": more than one answer speaks against everything else."
	}
	return text + "."
}

// progress is the progress of the check-out in words.
func progress(m Model) string {
	n := len(m.st.asked) + 1
	text := ordinal(n) + " question"
	switch left := m.st.open.Left; {
	case !m.under():
		return "Preparing the questions"
	case m.work.busy:
		return "Working out the next question"
	case left == 1 && slices.ContainsFunc(m.past, func(s state) bool { return s.open.Left == 1 }):
		text += "; one more look, to be sure" // the last look was announced before
	case left == 1:
		text += "; likely the last"
	case left > 1:
		text += fmt.Sprintf("; likely %d more after it", left-1)
	}
	return text
}

func ordinal(n int) string {
	end := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			end = "st"
		case 2:
			end = "nd"
		case 3:
			end = "rd"
		}
	}
	return fmt.Sprint(n) + end
}

// sentence is an error as a sentence.
func sentence(err error) string { return words.Sentence(style.Clean(err.Error())) }

// sorted puts the likeliest first and keeps the order of equals.
func sorted(s []suspect) []suspect {
	sorting.Stable(s, func(a, b suspect) int { return cmp.Compare(b.share, a.share) })
	return s
}
