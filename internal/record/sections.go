package record

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/words"
)

// A Section is a heading of an entry with its lines, without control characters.
type Section struct {
	Head  string   `json:"head"`
	Lines []string `json:"lines"`
}

// Sections returns everything in an entry in reading order: findings first, questions
// last. What was not checked is listed only in the first section, under "not checked".
func (e Entry) Sections() []Section {
	if e.Kind != "check-out" {
		return []Section{{"Note", paragraphs(e.Notes)}}
	}
	all := []Section{
		{"Findings", e.findingLines()},
		{"Runs as found", e.runLines()},
		{"Colour order", e.orderLines()},
		{"Joints", e.jointLines()},
		{"Volts", e.voltLines()},
		{"Notes", paragraphs(e.Notes)},
		{"Questions and answers", e.stepLines()},
	}
	var out []Section
	var missing []string
	for _, s := range all {
		switch {
		case len(s.Lines) > 0:
			out = append(out, s)
		case s.Head != "Notes":
			missing = append(missing, strings.ToLower(s.Head))
		}
	}
	if len(missing) > 0 {
		out = append(out, Section{"Not in this record", []string{strings.Join(missing, ", ")}})
	}
	return out
}

// findingLines are the findings with their remedies. A reason shared by several is
// written once, with the first of them.
func (e Entry) findingLines() []string {
	var out []string
	reasons := map[string]bool{}
	for _, f := range e.Findings {
		text := plain(f.Text)
		if f.Fixed {
			text += " (mended)"
		}
		switch {
		case f.Certainty != "":
			text = words.Aside(text, plain(f.Certainty))
		case f.Kind != "good" && f.Sure > 0 && f.Sure < 0.995: // of tests without answers, and older entries
			sure, percent := checkout.Certainty(f.Sure, false)
			text = words.Aside(text, checkout.Finding{Sure: sure, Percent: percent}.Chance())
		}
		out = append(out, text)
		if f.Kind == "good" || f.Fixed {
			continue
		}
		if f.unsaid() {
			out = append(out, "  Power off first.")
		}
		for i, r := range f.Remedy {
			out = append(out, fmt.Sprintf("  try %d: %s", i+1, plain(r)))
		}
		if len(f.Bring) > 0 {
			out = append(out, "  bring: "+plain(strings.Join(f.Bring, ", ")))
		}
		for _, b := range e.because(f) {
			if !reasons[b] {
				out = append(out, "  because: "+plain(b))
			}
			reasons[b] = true
		}
	}
	return out
}

// handwork is what a remedy says where an iron, a cutter or fingers go to the wires.
var handwork = regexp.MustCompile(`(?i)solder|reflow|replace|cut |new one in|turn it|turn the run|lead|wire|joint`)

// unsaid reports whether the remedies are work on the wires and do not say that the power
// goes off first, as in records of older versions.
func (f Finding) unsaid() bool {
	all := strings.Join(f.Remedy, " ")
	return handwork.MatchString(all) && !strings.Contains(strings.ToLower(all), "power off")
}

// because lists the reasons of a finding. Answers, which are listed below, appear as
// their numbers.
func (e Entry) because(f Finding) []string {
	steps := e.stepLines()
	var out, answers []string
	for _, b := range f.Because {
		if i := slices.Index(steps, plain(b)); i >= 0 {
			answers = append(answers, fmt.Sprint(i+1))
			continue
		}
		out = append(out, b)
	}
	switch n := len(answers); n {
	case 0:
		return out
	case 1:
		return append(out, "answer "+answers[0])
	default:
		return append(out, "answers "+strings.Join(answers[:n-1], ", ")+" and "+answers[n-1])
	}
}

func (e Entry) runLines() []string {
	var out []string
	for _, r := range e.Runs {
		if r.Found > 0 || r.Travel != "" {
			out = append(out, plain(r.Name)+": "+r.count()+", "+r.travel())
		}
	}
	return out
}

func (r Run) count() string {
	switch {
	case r.Found == 0:
		return words.Count(r.Planned, "pixel") + " planned, not counted"
	case r.Found == r.Planned:
		return words.Count(r.Found, "pixel") + ", as planned"
	}
	return fmt.Sprintf("%s found, %d planned", words.Count(r.Found, "pixel"), r.Planned)
}

func (r Run) travel() string {
	if r.Travel == "" {
		return "travel not checked"
	}
	return "travel " + plain(r.Travel)
}

func (e Entry) orderLines() []string {
	if e.Order == "" {
		return nil
	}
	return []string{plain(e.Order)}
}

func (e Entry) jointLines() []string {
	var out []string
	for _, j := range e.Joints {
		out = append(out, plain(j.Name)+": "+j.ohms())
	}
	return out
}

func (j Joint) ohms() string {
	if j.PlusMinus == 0 {
		return words.Ohms(j.Ohms)
	}
	return words.Figure(j.Ohms) + " ± " + words.Ohms(j.PlusMinus)
}

func (e Entry) voltLines() []string {
	var out []string
	for _, v := range e.Volts {
		out = append(out, v.place()+": "+words.Volts(v.Volts))
	}
	return out
}

func (v Reading) place() string {
	return fmt.Sprintf("at pixel %d, level %s", v.Pixel, words.WholePercent(v.Level))
}

func (e Entry) stepLines() []string {
	var out []string
	for i, s := range e.Steps {
		out = append(out, fmt.Sprintf("%d. %s %s", i+1, plain(s.Question), plain(s.Answer)))
	}
	return out
}

// paragraphs are the non-empty lines of a text.
func paragraphs(text string) []string {
	var out []string
	for l := range strings.Lines(text) {
		if l = strings.TrimSpace(plain(l)); l != "" {
			out = append(out, l)
		}
	}
	return out
}

// WholeText is one entry for a terminal, in full.
func (e Entry) WholeText() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s  %s\n", e.At.Format("2006-01-02 15:04"), e.Headline())
	for _, s := range e.Sections() {
		fmt.Fprintf(&b, "\n%s\n", s.Head)
		for _, l := range s.Lines {
			fmt.Fprintf(&b, "  %s\n", l)
		}
	}
	if e.Ringout != "" {
		fmt.Fprintf(&b, "\nwritten by ringout %s\n", plain(e.Ringout))
	}
	return b.String()
}

// CompareText shows on a terminal what changed from an earlier check-out to a later
// one, then both side by side, then the changes in the prop file.
func CompareText(from, to Entry) string {
	var b strings.Builder
	fmt.Fprintf(&b, "From %s to %s:\n", from.At.Format("2 January 2006 15:04"), to.At.Format("2 January 2006 15:04"))
	changes := Compare(from, to)
	for _, ch := range changes {
		mark := "  "
		if ch.Worse {
			mark = "! "
		}
		b.WriteString(mark + plain(ch.Text) + "\n")
	}
	if len(changes) == 0 {
		b.WriteString("  nothing changed in what both of them checked\n")
	}
	b.WriteString("\nSide by side:\n")
	pairs := SideBySide(from, to)
	var first, second int // widths of the columns
	for _, p := range pairs {
		first, second = max(first, utf8.RuneCountInString(p.What)), max(second, utf8.RuneCountInString(p.From))
	}
	for _, p := range pairs {
		fmt.Fprintf(&b, "  %-*s  %-*s  %s\n", first, p.What, second, p.From, p.To)
	}
	if lines := PropChanges(from, to); len(lines) > 0 {
		b.WriteString("\nIn the prop file:\n")
		for _, l := range lines {
			b.WriteString("  " + l + "\n")
		}
	}
	return b.String()
}
