package check

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// planPage shows the changes of the prop file before they are saved.
type planPage struct {
	basePage
	scroll   scroll
	path     string
	old, new *prop.Document
	changes  []prop.Change
	from     page   // to go back to
	doubt    string // what must hold before it is saved; empty for nothing
}

// plannedMsg is the prop file changed to the prop as built.
type plannedMsg struct {
	job  int
	plan planPage
	err  error
}

// takenMsg is the prop as it was saved.
type takenMsg struct {
	prop *prop.Prop
	path string
	from page
	err  error
}

// takeOver changes a copy of the prop file, in a command; nothing is saved yet. Where there is
// nothing to change the note says why.
func takeOver(m Model, built single.AsBuilt) (Model, tea.Cmd) {
	switch {
	case built.Why != "":
		m.note = built.Why
		return m, nil
	case m.bench.path == "":
		m.note = "This prop has no file to take it over into: write one with ringout new, and check it again."
		return m, nil
	case m.work.busy:
		return m, nil
	}
	m.work.job, m.work.busy = m.work.job+1, true
	path, from, job := m.bench.path, m.page, m.work.job
	return m, func() tea.Msg {
		_, doc, err := prop.Load(path)
		if err != nil {
			return plannedMsg{job: job, err: err}
		}
		next, err := doc.TakeOver(built.Found)
		if err != nil {
			return plannedMsg{job: job, err: err}
		}
		return plannedMsg{job: job, plan: planPage{path: path, from: from, doubt: built.Doubt, old: doc, new: next, changes: prop.Changes(doc.Text(), next.Text())}}
	}
}

// planned shows the difference.
func planned(m Model, msg plannedMsg) Model {
	if msg.job != m.work.job {
		return m
	}
	m.work.busy = false
	switch {
	case msg.err != nil:
		m.note = sentence(msg.err)
	case msg.plan.old.Text() == msg.plan.new.Text():
		m.note = "The prop file says so already."
	default:
		m.page = msg.plan
	}
	return m
}

func (p planPage) leave(m Model) Model           { m.page = p.from; return m }
func (p planPage) back(m Model) (Model, tea.Cmd) { return p.leave(m), nil }
func (p planPage) traits(Model) traits           { return traits{loses: true} }

func (p planPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	if at, ok := p.scroll.moved(m, k, len(p.text(m, m.size.Width)), m.size.Height); ok {
		p.scroll = at
		m.page = p
		return m, nil, true
	}
	if key.Matches(k, m.keys.Take) && !m.work.busy {
		m, cmd := p.save(m)
		return m, cmd, true
	}
	return m, nil, false
}

func (p planPage) help(m Model) []key.Binding {
	return []key.Binding{screen.Hint(m.keys.Take, "enter", "save it"), screen.Hint(m.keys.Leave, "esc", "back")}
}

// save writes the prop file, unless it was changed meanwhile.
func (p planPage) save(m Model) (Model, tea.Cmd) {
	m.work.busy = true
	return m, func() tea.Msg {
		_, now, err := prop.Load(p.path)
		if now == nil || now.Text() != p.old.Text() {
			if err == nil {
				err = fmt.Errorf("%s was changed meanwhile: nothing was saved, take it over once more", p.path)
			}
			return takenMsg{from: p.from, err: err}
		}
		if err := p.new.Save(p.path); err != nil {
			return takenMsg{from: p.from, err: err}
		}
		return takenMsg{prop: p.new.Prop(), path: p.path, from: p.from}
	}
}

// taken connects the prop of the saved file.
func taken(m Model, msg takenMsg) (Model, tea.Cmd) {
	m.work.busy = false
	m.page = msg.from
	if msg.err != nil {
		m.note = sentence(msg.err)
		return m, nil
	}
	m.note = "Saved. The bench now uses the file as it is."
	return m, screen.Ask(screen.UseMsg{Prop: msg.prop, Path: msg.path})
}

// lines are the changes, in words and in large letters.
func (p planPage) lines(m Model, width, height int) ([]string, []zone) {
	lines := p.text(m, width)
	lines = append(lines, style.Indent(p.words(m.style, width-2*edge, height-len(lines)), edge)...)
	return scrolled(m.style, lines, cuts{}, p.scroll, width, height), nil
}

// text is each change with its name, old and new value.
func (p planPage) text(m Model, width int) []string {
	name := style.Clean(p.path)
	if ansi.StringWidth(name) > width-24 {
		name = style.Clean(filepath.Base(p.path))
	}
	t := &lineWriter{style: m.style, width: width}
	t.say(edge, "This would change in "+name, m.style.Strong.Render)
	t.keyed(edge, "`enter` saves it, `esc` leaves the file as it is.")
	if p.doubt != "" {
		t.say(edge, p.doubt, m.style.Strong.Render)
	}
	t.lines = append(t.lines, "")
	for _, c := range p.changes {
		was, is, _ := strings.Cut(style.Clean(c.Says("now", "then")), " now, ")
		if line := was + " now, "; ansi.StringWidth(line+is) <= width-2*edge {
			t.lines = append(t.lines, strings.Repeat(" ", edge)+line+m.style.Strong.Render(is))
			continue
		}
		t.say(edge, was+" now,", plain)
		t.say(edge, is, m.style.Strong.Render)
	}
	return t.lines
}

// large is the change in large letters, or the number of changes.
func (p planPage) large() []string {
	if len(p.changes) != 1 {
		return []string{words.Count(len(p.changes), "change")}
	}
	c := p.changes[0]
	what := style.Clean(c.What)
	if c.Was == "" || c.Is == "" {
		return []string{what + ": " + style.Clean(c.Was+c.Is), what}
	}
	change := style.Clean(c.Was) + " to " + style.Clean(c.Is)
	if ansi.StringWidth(change) > mostLarge { // the lines above have it
		return []string{what}
	}
	return []string{change}
}

// words are the large words of the page; on a narrow one the new value has a line of its own, in larger letters.
func (p planPage) words(st style.Styles, width, rows int) []string {
	large := p.large()
	if before, after, found := strings.Cut(large[0], " to "); found && width < narrow-2*edge {
		if out := portrait.Stack(st, width, rows, portrait.MostHigh, []string{before, "to " + after}); out != nil {
			return out
		}
	}
	const most = 8*digits.Rows + 2 // two lines as large as a page's largest
	return portrait.Block(st, width, min(most, rows), large...)
}

func (p planPage) farView(Model) screen.FarView { return screen.FarView{Texts: p.large()} }

// mostLarge is the largest number of letters of a large text (assumed).
const mostLarge = 24
