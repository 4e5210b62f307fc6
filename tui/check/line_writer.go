package check

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/style"
)

// A lineWriter collects lines of one width.
type lineWriter struct {
	style style.Styles
	width int
	rows  int // of the page; 0 where what is written does not depend on it
	of    *prop.Prop
	lines []string
	cuts  cuts
	joins bool // what is written next belongs to what is above it
}

// cuts are the lines of a text, by number, at which a page may end before them, and those
// that get an empty row before them where rows are free.
type cuts struct {
	before, airy map[int]bool
	apart        bool // the note that more follows has an empty row before it on a low page too
}

// begins notes that the next line begins something new.
func (t *lineWriter) begins() {
	if t.cuts.before == nil {
		t.cuts.before, t.cuts.airy = map[int]bool{}, map[int]bool{}
	}
	if !t.joins {
		t.cuts.before[len(t.lines)] = true
	}
	t.joins = false
}

// gap is an empty row.
func (t *lineWriter) gap() {
	t.begins()
	t.lines, t.joins = append(t.lines, ""), true
}

func (t *lineWriter) say(indent int, text string, render func(...string) string) {
	t.hang("", indent, text, render)
}

// hang is say with a number and a hanging indent.
func (t *lineWriter) hang(number string, indent int, text string, render func(...string) string) {
	if text == "" {
		return
	}
	t.begins()
	for i, l := range style.Wrap(inOnePiece(style.Clean(text)), t.width-indent-ansi.StringWidth(number)-edge) {
		if i > 0 {
			number = strings.Repeat(" ", len(number))
		}
		t.lines = append(t.lines, strings.Repeat(" ", indent)+number+render(l))
	}
}

func (t *lineWriter) head(text string) {
	t.gap()
	t.lines = append(t.lines, strings.Repeat(" ", edge)+t.style.Strong.Render(text))
}

// airy asks for an empty row before the next line where rows are free.
func (t *lineWriter) airy() {
	t.begins()
	t.cuts.airy[len(t.lines)], t.joins = true, true
}

func plain(s ...string) string { return strings.Join(s, " ") }

// keyed is say with keys between backquotes.
func (t *lineWriter) keyed(indent int, text string) {
	if text != "" {
		t.begins()
		t.lines = append(t.lines, style.Indent(style.WrapKeys(text, t.width-indent-edge, style.Text{}, t.style.Accent), indent)...)
	}
}

// finding writes one finding. What to do comes right after the fault, so that it and its
// cautions are in sight on the smallest page.
func (t *lineWriter) finding(f checkout.Finding, recount, pointer string) {
	if len(f.Causes) == 1 {
		t.cause(f, recount)
	} else {
		t.causes(f, recount)
	}
	if pointer != "" {
		t.head("On the prop")
		t.keyed(edge, pointer)
	}
	if len(f.Rivals) > 0 {
		t.head("Not ruled out")
		for _, r := range f.Rivals {
			t.say(edge, r, plain)
		}
	}
}

// cause writes a finding of one cause.
func (t *lineWriter) cause(f checkout.Finding, recount string) {
	t.say(edge, f.Title, t.style.Strong.Render)
	if where := f.Causes[0].Where; !contains(f.Title, where) {
		t.say(edge, "Where: "+where+".", plain)
	}
	t.head("What to do")
	t.say(edge, f.Causes[0].Remedy, plain)
	t.keyed(edge, recount)
	t.head("How sure it is")
	t.say(edge, sure(f), plain)
}

// sound writes that nothing is wrong that light shows, and what no look has tried.
func (t *lineWriter) sound(st state) {
	f := st.findings[0]
	t.say(edge, f.Title, t.style.Strong.Render)
	t.say(edge, sure(f), plain)
	if st.measurable() { // the large words ask for it: in sight on the smallest page
		t.keyed(edge, "`enter` begins the load test.")
	}
	t.left(st)
}

// left writes what no look at a sound prop has tried, or that the load test has.
func (t *lineWriter) left(st state) {
	switch left := st.untried(); {
	case left != "":
		t.gap()
		for _, s := range strings.SplitAfter(left, ". ") { // a page may end after each
			t.say(edge, strings.TrimSpace(s), plain)
		}
	case st.measured:
		t.gap()
		t.say(edge, "The load test has found the joints and feeds sound.", plain)
	}
}

// contains reports whether a text has the words of another, whatever their quotes and capitals.
func contains(text, words string) bool {
	bare := func(s string) string { return strings.ToLower(strings.ReplaceAll(s, `"`, "")) }
	return strings.Contains(bare(text), bare(words))
}

// causes writes a finding of several causes that look alike. How sure it is comes after
// them all: it is no share of the first. Where they take more rows than the page has, their
// kinds are named first, so that it shows what is to be tried, or after the first cause, where
// that and its cautions would be out of sight.
func (t *lineWriter) causes(f checkout.Finding, recount string) {
	n := number(len(f.Causes))
	head := fmt.Sprintf("%s faults look alike here. Try in this order, the quickest first:", n)
	first, rest := f.Causes[:1], f.Causes[1:]
	brief, then := n+" faults look alike, quickest first: "+t.namesInOrder(f.Causes), ""
	switch {
	case t.rows == 0 || len(t.lines)+t.rowsOf(head, f.Causes) < t.rows:
	case len(t.lines)+t.rowsOf(brief, first)+moreRows <= t.rows:
		head = brief
	default:
		head, then = n+" faults look alike. Quickest first:", "Then: "+t.namesInOrder(rest)
	}
	t.say(edge, head, t.style.Strong.Render)
	t.listed(first, 0)
	t.say(edge, then, t.style.Strong.Render)
	t.listed(rest, 1)
	t.keyed(edge+3, recount)
	t.head("How sure it is")
	t.say(edge, sure(f), plain)
}

// moreRows are those of the note that more follows: an empty one before it.
const moreRows = 2

// rowsOf is how many rows causes take under a line on them.
func (t *lineWriter) rowsOf(head string, causes []checkout.Cause) int {
	probe := lineWriter{style: t.style, width: t.width}
	probe.say(edge, head, plain)
	probe.listed(causes, 0)
	return len(probe.lines)
}

// listed writes causes with their remedies, numbered after so many others.
func (t *lineWriter) listed(causes []checkout.Cause, after int) {
	for i, c := range causes {
		t.airy()
		t.hang(fmt.Sprintf("%d. ", after+i+1), edge, c.Text, t.style.Strong.Render)
		t.joins = after+i == 0 // the first comes with what to do and its cautions
		t.say(edge+3, c.Remedy, plain)
	}
}

// namesInOrder are the causes by their kinds, each name in one piece up to what it does.
func (t *lineWriter) namesInOrder(causes []checkout.Cause) string {
	all := make([]string, len(causes))
	for i, c := range causes {
		name, does, more := strings.Cut(namesOf(t.of, c.Faults), " that ")
		if all[i] = strings.ReplaceAll(name, " ", "\u00a0"); more {
			all[i] += " that " + does
		}
	}
	return strings.Join(all, ", ") + "."
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

// number is a number in words, at the beginning of a sentence.
func number(n int) string {
	words := []string{"No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine"}
	if n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
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
	if look := st.withheld(); look != "" {
		t.say(edge, look, t.style.Strong.Render)
		t.keyed(edge, againKeys(st))
		t.left(st)
	} else if why := st.stopped; why != "" {
		t.say(edge, words.Sentence(style.Clean(why)), plain)
	}
	t.head("It may be, likeliest first")
	if st.listsKinds() {
		t.kinds(st.suspects)
		return
	}
	for i, f := range all {
		if i > 0 {
			t.airy()
		}
		t.hang(fmt.Sprintf("%d. ", i+1), edge, f.Title, t.style.Strong.Render)
		t.joins = true
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

// againKeys says how to answer a look that keeps a prop from being signed off.
func againKeys(st state) string {
	if st.left && st.more {
		return "`←` goes on with the looks."
	}
	return "`e` shows your answers: look again, and change one that was wrong or not sure."
}

// kinds lists the likeliest kinds of fault, and the others in one line.
func (t *lineWriter) kinds(all []suspect) {
	const most = 6
	others := suspect{text: fmt.Sprintf("%d others together", len(all)-most)}
	for i, s := range all {
		if len(all) <= most+1 || i < most {
			t.hang(style.Cell(weight(s.percent), weightWide), edge, s.whole(), plain)
			continue
		}
		others.percent += s.percent
	}
	if others.percent > 0 {
		t.hang(style.Cell(weight(others.percent), weightWide), edge, others.text, plain)
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
		t.joins = true
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
