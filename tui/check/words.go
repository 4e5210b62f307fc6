package check

import (
	"cmp"
	"fmt"
	"math"
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
	share   float64
	percent int // as it is written, see withPercents
	text    string
}

// suspects lists the open explanations, likeliest first: each kind of fault once, with the
// number of its cases. Shares add up to 1.
func suspects(p *prop.Prop, standing []checkout.Suspect) []suspect {
	type group struct {
		suspect
		fit   int // of its cases, the answers
		one   string
		many  string // what its cases are
		alike bool   // the share of one is that of several causes together
	}
	var order []string
	by := map[string]*group{}
	for _, s := range standing {
		text, one, many := "nothing wrong", "nothing wrong", ""
		if !s.Sound() && len(s.Causes) > 0 {
			text, one, many = kindsOf(s.Causes[0]), withPlaces(p, s.Causes[0]), casesOf(s.Causes[0])
		}
		g := by[text]
		if g == nil {
			g = &group{one: one, many: many}
			by[text], order = g, append(order, text)
		}
		g.share += s.Share
		g.alike = g.alike || len(s.Causes) > 1
		if s.Fits || g.fit == 0 {
			g.fit++
		}
	}
	out, rest := make([]suspect, 0, len(order)), 1.0
	for _, text := range order {
		g := by[text]
		if g.share < leastListed {
			continue
		}
		rest -= g.share
		also := ""
		if g.alike {
			also = orAlike
		}
		g.text = g.one + also
		if g.fit > 1 {
			g.text = fmt.Sprintf("%s%s: %d %s fit", text, also, g.fit, g.many)
		}
		out = append(out, g.suspect)
	}
	if rest = min(rest, 1); len(order) > 0 && rest >= leastListed {
		out = append(out, suspect{share: rest, text: "something that is not on this list"})
	}
	return withPercents(sorted(out))
}

// withPercents gives suspects whole numbers that add up to 100: rounded down, and then those
// cut most get one more, least remainder last. One alone has 99 at most.
func withPercents(all []suspect) []suspect {
	left, order := 100, make([]int, len(all))
	remainder := func(i int) float64 { return all[i].share*100 - math.Floor(all[i].share*100) }
	for i := range all {
		all[i].percent, order[i] = checkout.Percent(all[i].share), i
		left -= all[i].percent
	}
	sorting.Stable(order, func(a, b int) int { return cmp.Compare(remainder(b), remainder(a)) })
	for k := 0; k < left && k < len(order) && len(all) > 1; k++ {
		all[order[k]].percent++
	}
	return all
}

// orAlike is said of a fault beside others that no light tells apart from it.
const orAlike = ", or one that looks alike"

// leastListed is the share from which on something is listed; with less its number would be
// 0 %.
const leastListed = 0.01

// kindsOf names kinds of fault whose places are open.
func kindsOf(faults []strip.Fault) string {
	return joinedNames(faults, func(f strip.Fault) string { return strip.FactsOf(f.Kind).Name })
}

// namesOf names faults of a prop by their places.
func namesOf(p *prop.Prop, faults []strip.Fault) string {
	return joinedNames(faults, func(f strip.Fault) string { return f.Name(p) })
}

func joinedNames(faults []strip.Fault, name func(strip.Fault) string) string {
	if len(faults) == 0 {
		return "another source" // the one cause that is no fault of the prop
	}
	names := make([]string, len(faults))
	for i, f := range faults {
		names[i] = name(f)
	}
	return strings.Join(names, " and ")
}

// casesOf is what the cases of kinds of fault are.
func casesOf(faults []strip.Fault) string {
	if len(faults) != 1 {
		return "cases"
	}
	return strip.FactsOf(faults[0].Kind).Cases()
}

// withPlaces is the kinds with their places.
func withPlaces(p *prop.Prop, faults []strip.Fault) string {
	places := make([]string, len(faults))
	for i, f := range faults {
		places[i] = f.Name(p) + at(p, f)
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

// weight is how likely a suspect is: a number, as words are kept for findings.
func weight(percent int) string { return fmt.Sprintf("%2d %%", percent) }

// sure is the certainty of a finding, and what it means. That of several causes is one for
// all of them.
func sure(f checkout.Finding) string {
	text := words.Capital(f.Chance())
	if n := len(f.Causes); n > 1 {
		text = fmt.Sprintf("It is one of these %s: %s", strings.ToLower(number(n)), f.Chance())
		if f.Sure != checkout.Certain && f.Sure != checkout.Unsettled {
			text += " for all of them together"
		}
		text += ". Light does not tell which"
	}
	if f.Sure == checkout.Certain {
		return text + ". More than one answer speaks against everything else."
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
		text += "; another look, to be sure" // the last look was announced before
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
