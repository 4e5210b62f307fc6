package check

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/style"
)

// A lineWriter collects lines of one width.
type lineWriter struct {
	style style.Styles
	width int
	lines []string
	joins map[int]bool // lines that a page is not cut before: the rest of a paragraph, and what a heading is of
}

// join keeps the next line with the one before it.
func (t *lineWriter) join() {
	if t.joins == nil {
		t.joins = map[int]bool{}
	}
	t.joins[len(t.lines)] = true
}

func (t *lineWriter) say(indent int, text string, render func(...string) string) {
	t.hang("", indent, text, render)
}

// hang is say with a number and a hanging indent.
func (t *lineWriter) hang(number string, indent int, text string, render func(...string) string) {
	if text == "" {
		return
	}
	for i, l := range style.Wrap(style.Clean(text), t.width-indent-ansi.StringWidth(number)-edge) {
		if i > 0 {
			number = strings.Repeat(" ", len(number))
			t.join()
		}
		t.lines = append(t.lines, strings.Repeat(" ", indent)+number+render(l))
	}
}

func (t *lineWriter) head(text string) {
	t.lines = append(t.lines, "", strings.Repeat(" ", edge)+t.style.Strong.Render(text))
	t.join()
}

func plain(s ...string) string { return strings.Join(s, " ") }

// finding writes one finding: fault, place, certainty, remedy, rivals.
func (t *lineWriter) finding(f checkout.Finding, pointer string) {
	if f.Good || len(f.Causes) == 1 {
		t.say(edge, f.Title, t.style.Strong.Render)
	} else {
		t.say(edge, fmt.Sprintf("%s would look like this.", number(len(f.Causes))), t.style.Strong.Render)
	}
	if f.Good {
		t.say(edge, sure(f), plain)
		t.say(edge, f.Untried, plain)
		return
	}
	if where := f.Causes[0].Where; where != "" {
		t.say(edge, "Where: "+where+".", plain)
	}
	t.say(edge, sure(f), plain)
	if pointer != "" {
		t.say(edge, pointer, plain)
	}
	if len(f.Causes) == 1 {
		t.head("What to do")
		t.say(edge, f.Causes[0].Remedy, plain)
	} else {
		t.head("Try in this order")
		for i, c := range f.Causes {
			t.hang(fmt.Sprintf("%d. ", i+1), edge, c.Text, t.style.Strong.Render)
			t.say(edge+3, c.Remedy, plain)
		}
	}
	if len(f.Rivals) > 0 {
		t.head("Not ruled out")
		for _, r := range f.Rivals {
			t.say(edge, r, plain)
		}
	}
}

// unknown writes the finding that no listed fault fits: the closest one, the looks that
// contradict it, and what to do.
func (t *lineWriter) unknown(all []checkout.Finding) {
	u := all[0].Unknown
	t.say(edge, all[0].Title, t.style.Strong.Render)
	t.say(edge, sure(all[0]), plain)
	t.head("What fits most")
	t.say(edge, u.Closest.Text, plain)
	t.head("What does not fit it")
	for _, m := range u.Misfits() {
		t.say(edge, m, plain)
	}
	t.head("What to do")
	t.say(edge, u.Next, plain)
	if len(all) > 1 {
		t.head("Not ruled out")
		for _, f := range all[1:] {
			t.say(edge, f.Title, plain)
		}
	}
}

// number is a number of faults in words, at the beginning of a sentence.
func number(n int) string {
	words := []string{"No faults", "One fault", "Two faults", "Three faults", "Four faults", "Five faults", "Six faults", "Seven faults", "Eight faults", "Nine faults"}
	if n < len(words) {
		return words[n]
	}
	return fmt.Sprintf("%d faults", n)
}

// listsKinds reports whether nothing is settled and the findings have so little of the
// posterior that kinds of fault are listed instead.
func (s state) listsKinds() bool {
	if len(s.findings) == 0 || s.findings[0].Unknown != nil || s.findings[0].Sure.Firm() {
		return false
	}
	named := 0.0
	for _, f := range s.findings {
		named += f.Share
	}
	return named < 0.6
}

// shortList writes the explanations that no look could tell apart.
func (t *lineWriter) shortList(st state) {
	all := st.findings
	if why := st.stopped; why != "" {
		t.say(edge, words.Sentence(style.Clean(why)), plain)
	}
	t.head("It may be, likeliest first")
	if st.listsKinds() {
		for _, s := range st.suspects[:min(6, len(st.suspects))] {
			t.hang(style.Cell(weight(s.share), weightWide), edge, s.text, plain)
		}
		return
	}
	for i, f := range all {
		t.hang(fmt.Sprintf("%d. ", i+1), edge, f.Title, t.style.Strong.Render)
		for _, c := range f.Causes[min(1, len(f.Causes)):] {
			t.say(edge+3, "Or, as it looks the same: "+c.Text, plain)
		}
		t.say(edge+3, sure(f), plain)
		if len(f.Causes) > 0 {
			t.say(edge+3, f.Causes[0].Remedy, plain)
		}
		for _, m := range f.Against {
			t.say(edge+3, "Does not fit it: "+m, plain)
		}
		if f.Unknown != nil {
			t.say(edge+3, f.Unknown.Next, plain)
		}
	}
}

// because lists the answers that led here.
func (t *lineWriter) because(asked []checkout.AnsweredQuestion) {
	if len(asked) == 0 {
		return
	}
	t.head("You said")
	for _, a := range asked {
		number := fmt.Sprintf("%d. ", a.ID)
		t.hang(number, edge, words.Sentence(a.Text()), t.style.Strong.Render)
		t.say(edge+len(number), a.Question, t.style.Quiet.Render)
	}
}

// hidden writes the hidden faults of the demo and whether they were found.
func (t *lineWriter) hidden(m Model) {
	if !m.bench.demo || !m.opt.Faulty || !m.st.over() || m.st.absent != "" {
		return
	}
	t.head("The demo's secret")
	put, verdict := secretOf(m).reveal()
	t.say(edge, put, plain)
	t.say(edge, verdict.text, m.style.Strong.Render)
}
