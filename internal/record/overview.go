package record

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// A Standing is the state of one prop.
type Standing struct {
	File    string
	Name    string
	Last    Entry   // the last check-out
	Tests   []Entry // the last of each single test
	Checked bool
	Due     []string
	Changed bool  // the prop file has changed since the last check-out
	Err     error // why the prop or its record can't be read
}

// StandingOf derives a prop's standing from its history. propFile is the current text
// of the prop file.
func StandingOf(file, name, propFile string, h History, now time.Time) Standing {
	s := Standing{File: file, Name: name, Due: h.Due(propFile, now)}
	s.Last, s.Checked = h.Last()
	s.Changed = s.Last.changed(propFile)
	s.Tests = h.Tests()
	return s
}

// Fresh reports whether the last check-out is whole, younger than an age, and of the prop
// as its file has it.
func (s Standing) Fresh(age time.Duration, now time.Time) bool {
	return !s.Changed && !s.Last.Edited && s.Last.Verdict != Stopped && now.Sub(s.Last.At) < age && !s.Last.Ahead(now)
}

// Word is the standing in a word or two.
func (s Standing) Word() string {
	switch {
	case s.Err != nil:
		return "can't be read"
	case !s.Checked:
		return "not checked"
	case s.Last.Verdict == Pass && slices.ContainsFunc(s.Tests, func(e Entry) bool { return e.Verdict == Fail }):
		return "failed"
	case len(s.Due) > 0 && s.Last.Verdict == Pass:
		return "passed, due again"
	case s.Last.Verdict == Pass:
		return "passed"
	case s.Last.Verdict == Fail:
		return "failed"
	}
	return "stopped half-way"
}

// Overview is one page of Markdown over all props: the state of each, what is open, and
// what to bring.
func Overview(props []Standing, now time.Time) string {
	var b strings.Builder
	count := map[string]int{}
	for _, s := range props {
		count[s.Word()]++
	}
	fmt.Fprintf(&b, "# Season's check, %s\n\n", now.Format(Day))
	fmt.Fprintf(&b, "%d props: %s.\n\n| prop | standing | checked | file |\n|---|---|---|---|\n", len(props), counts(count))
	for _, s := range props {
		on := "never"
		if s.Checked {
			on = s.Last.At.Format(Day)
		}
		fmt.Fprintf(&b, "| %s | %s | %s | %s |\n", escapeMarkdown(s.Name), s.Word(), on, escapeMarkdown(s.File))
	}
	for _, s := range props {
		lines := s.lines()
		if len(lines) == 0 {
			continue
		}
		fmt.Fprintf(&b, "\n## %s\n\n", escapeMarkdown(s.Name))
		for _, l := range lines {
			fmt.Fprintf(&b, "- %s\n", escapeMarkdown(l))
		}
	}
	b.WriteString("\n## To bring\n\n")
	parts := ToBring(props)
	for _, p := range parts {
		fmt.Fprintf(&b, "- %s\n", escapeMarkdown(p))
	}
	if len(parts) == 0 {
		b.WriteString("Nothing beyond the usual tools.\n")
	}
	return b.String()
}

// counts writes "2 failed, 1 passed" in a fixed order.
func counts(by map[string]int) string {
	var parts []string
	for _, w := range []string{"failed", "stopped half-way", "not checked", "can't be read", "passed, due again", "passed"} {
		if by[w] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", by[w], w))
		}
	}
	if len(parts) == 0 {
		return "none"
	}
	return strings.Join(parts, ", ")
}

// open returns the faults that remained after the last check-out and the last of each
// single test.
func (s Standing) open() []Finding {
	out := s.Last.open()
	for _, e := range s.Tests {
		out = append(out, e.open()...)
	}
	return out
}

// lines lists what is open or due.
func (s Standing) lines() []string {
	if s.Err != nil {
		return []string{s.Err.Error()}
	}
	out := slices.Clone(s.Due)
	for _, f := range s.open() {
		if len(f.Remedy) > 0 {
			first := "first try: "
			if f.unsaid() {
				first += "power off, then "
			}
			out = append(out, first+f.Remedy[0])
		}
	}
	return out
}

// ToBring lists the parts that the open findings of all props need, each once, with the
// props they are for.
func ToBring(props []Standing) []string {
	var parts []string
	users := map[string][]string{}
	for _, s := range props {
		for _, part := range s.needs() {
			if users[part] == nil {
				parts = append(parts, part)
			}
			if !slices.Contains(users[part], s.Name) {
				users[part] = append(users[part], s.Name)
			}
		}
	}
	for i, part := range parts {
		parts[i] = fmt.Sprintf("%s (%s)", part, strings.Join(users[part], ", "))
	}
	return parts
}

// needs lists the parts for the open findings of one prop, each once.
func (s Standing) needs() (parts []string) {
	for _, f := range s.open() {
		for _, part := range f.Bring {
			if !slices.Contains(parts, part) {
				parts = append(parts, part)
			}
		}
	}
	return parts
}
