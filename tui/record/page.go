package record

import (
	"fmt"
	"path/filepath"
	"slices"

	"github.com/charmbracelet/bubbles/key"

	"example.org/ringout/internal/record"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// A page is one of the screen's pages, with everything that differs between pages.
type page interface {
	title(m Model) string
	lines(m Model, width int) []string // to be scrolled, at the left edge of text
	large(m Model) screen.FarView      // its result; no texts for nothing
	short(k keyMap) []key.Binding      // the keys needed most
	only(m Model, k *keyMap)           // disables keys without an effect
	key(m Model, is func(key.Binding) bool) Model
	compared() []int // the entries that it compares, older first
}

// The pages. The list is the one the screen begins with.
type (
	listPage    struct{ basePage }
	entryPage   struct{ basePage }
	comparePage struct {
		from, to int // entries, older first
	}
	duePage struct{ basePage } // everything due, and the problems of the file
)

// basePage has the methods of most pages.
type basePage struct{}

func (basePage) compared() []int { return nil }

func (p comparePage) compared() []int { return []int{p.from, p.to} }

// isList reports whether the list is shown.
func (m Model) isList() bool { return m.page == page(listPage{}) }

func (listPage) title(m Model) string {
	st := m.style
	if m.path == "" {
		return st.Strong.Render("Bench record")
	}
	return st.Strong.Render("Bench record") + "  " + st.Quiet.Render(style.Clean(filepath.Base(record.Beside(m.path).Path)))
}

func (entryPage) title(m Model) string {
	e, _ := m.entry()
	title := m.style.Strong.Render(fmt.Sprintf("Entry %d of %d", m.at+1, len(m.history.Entries))) + "  " + e.At.Format(dayTime)
	if slices.Contains(m.marks, m.at) {
		title += "  " + m.style.Accent.Render("* marked")
	}
	return title
}

func (p comparePage) title(m Model) string {
	a, b := m.history.Entries[p.from], m.history.Entries[p.to]
	title := m.style.Strong.Render(fmt.Sprintf("Entries %d and %d", p.from+1, p.to+1))
	if days := "  " + a.At.Format(day) + " and " + b.At.Format(day); style.Width(title+days) <= m.size.Width-2*edge {
		title += days // else they are over the columns only
	}
	return title
}

func (duePage) title(m Model) string { return m.style.Strong.Render("Before it goes up") }

// Dates have one form on all pages, with the time of day where it matters.
const (
	day     = record.Day
	dayTime = day + " 15:04"
)

// lines of the list are the text while it has no entries.
func (listPage) lines(m Model, width int) []string {
	switch {
	case m.path == "" && m.simulated:
		return m.textPage(width, "This prop is simulated, so nothing is added to a bench record.",
			"`n` writes a note to a file, `s` the bench sheet. On Check, `w` writes what was found.")
	case m.path == "":
		return m.textPage(width, "The bench record lies beside the prop's file, and this prop has no file yet. On the Prop page (`P`), `s` saves it. Every check-out is then recorded beside it.",
			"A note (`n`) or the bench sheet (`s`) can go to another file meanwhile.")
	case m.reading || m.failed != "":
		return nil
	}
	text := m.textPage(width, "Nothing is recorded of this prop yet. Every check-out and every note is kept here.")
	return append(append(text, ""), m.planned(width)...)
}

func (entryPage) lines(m Model, width int) []string { return m.wholeEntry(width) }

// lines of what is due begin with a number: the title and the large words say that it is due.
func (duePage) lines(m Model, width int) []string {
	var out []string
	for i, r := range m.reminders() {
		if r.label == dueLabel {
			r.label.text, r.text = fmt.Sprintf("%d", i+1), words.Sentence(words.Capital(r.text))
		}
		out = append(append(out, m.labelled(r.label, r.text, width)...), "")
	}
	if out == nil {
		return m.textPage(width, "Nothing is due, and the record is in order.")
	}
	if len(m.due) == 0 {
		return out[:len(out)-1]
	}
	last := m.textPage(width, "Power off, mend what is left, check again (`C`): what passes is no longer due.")
	if len(out)+len(last) > m.rows() { // only the caution keeps its empty row
		out = append(slices.DeleteFunc(out, style.Blank), "")
	}
	return append(out, last...)
}

func (listPage) large(m Model) screen.FarView {
	if m.path == "" {
		return screen.FarView{Texts: record.History{}.Large()}
	}
	if says := (entryPage{}).large(m); says.Texts != nil {
		return says
	}
	return screen.FarView{Texts: m.history.Large()}
}

func (entryPage) large(m Model) screen.FarView {
	e, _ := m.entry()
	return screen.FarView{Texts: e.Large(), Bad: e.Kind == "check-out" && e.Verdict == record.Fail}
}

func (p comparePage) large(m Model) screen.FarView {
	a, b := m.history.Entries[p.from], m.history.Entries[p.to]
	changes := record.Compare(a, b)
	worse := 0
	for _, c := range changes {
		if c.Worse {
			worse++
		}
	}
	year := "since " + digits.Whole(a.At.Format(day))
	switch {
	case len(changes) == 0:
		return screen.FarView{Texts: []string{"Nothing changed " + year, "Nothing changed"}}
	case worse == 0:
		return screen.FarView{Texts: []string{"Nothing is worse " + year, "Nothing is worse"}}
	}
	return screen.FarView{
		Texts: []string{words.Count(worse, "thing") + words.Plural(worse, " is", " are") + " worse", fmt.Sprintf("%d worse", worse)},
		Bad:   true,
	}
}

func (duePage) large(m Model) screen.FarView {
	n := len(m.reminders())
	if n == 0 {
		return screen.FarView{Texts: []string{"Nothing due"}}
	}
	return screen.FarView{Texts: []string{fmt.Sprintf("%d due", n)}}
}
