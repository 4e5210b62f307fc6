package check

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// outcome is the end of a check-out in so few words that they can be drawn
// large.
func (m Model) outcome() string {
	f := m.st.findings
	switch {
	case m.st.absent != "":
		return "Not there"
	case len(f) == 0:
		return "Not settled"
	case !f[0].Sure.Firm():
		return "Not settled"
	case f[0].Good && len(m.mended) > 0:
		return "All is well now"
	case f[0].Good:
		return "All is well"
	case onePixel(f[0]):
		return fmt.Sprintf("Pixel %d", f[0].Causes[0].Faults[0].Pixel+1)
	}
	return "Fault found"
}

// onePixel reports whether the likeliest cause is one fault at one pixel.
func onePixel(f checkout.Finding) bool {
	if len(f.Causes) == 0 || len(f.Causes[0].Faults) != 1 {
		return false
	}
	switch f.Causes[0].Faults[0].Kind {
	case strip.OpenJoint, strip.DeadStop, strip.RailLost, strip.DeadPixel, strip.DeadChannel, strip.Flicker:
		return true
	}
	return false
}

// findingView is what came out, with the place on the drawing beside it, and
// at the foot whether it is recorded.
func (m Model) findingView(width, height int) []string {
	foot := m.foot(width)
	height -= len(foot)
	text, side := m.findingRoom(width, height)
	if side == 0 && m.turn%2 == 1 && height > 1 && m.sub != nil {
		page := append([]string{style.Cell(m.style.Quiet.Render(foundCaption), width)}, m.whereFound(width, height-1)...)
		return append(page, foot...)
	}
	page := m.scrolled(m.findingText(text, height), text, height)
	if side > 0 && m.sub != nil && height > 2 {
		draw := append([]string{m.style.Quiet.Render(foundCaption)}, m.whereFound(side, height-2)...)
		for i := range min(len(page), len(draw)) {
			page[i] += "  " + draw[i]
		}
	}
	return append(page, foot...)
}

// findingRoom is the width of the text and of the drawing beside it; narrow
// pages have none.
func (m Model) findingRoom(width, height int) (text, side int) {
	if width < 70 {
		return width, 0
	}
	side = min(width*2/5, 2*height)
	return width - side - 2, side
}

// foot says whether the findings are recorded.
func (m Model) foot(width int) []string {
	s := m.sayRecord()
	if s == "" {
		return nil
	}
	var out []string
	for _, l := range style.Wrap(style.Clean(s), width-2) {
		out = append(out, style.Cell(" "+m.style.Strong.Render(l), width))
	}
	return out
}

const foundCaption = "● here  ○ or here  ◆ data starts"

// A teller collects lines of one width.
type teller struct {
	m     Model
	width int
	lines []string
}

func (t *teller) say(indent int, text string, render func(...string) string) {
	t.hang("", indent, text, render)
}

// hang is say with a number in front, under which nothing else stands.
func (t *teller) hang(number string, indent int, text string, render func(...string) string) {
	for i, l := range style.Wrap(style.Clean(text), t.width-indent-len(number)-1) {
		if i > 0 {
			number = strings.Repeat(" ", len(number))
		}
		t.lines = append(t.lines, strings.Repeat(" ", indent)+number+render(l))
	}
}

func (t *teller) head(text string) {
	t.lines = append(t.lines, "", " "+t.m.style.Accent.Render(text))
}

func plain(s ...string) string { return strings.Join(s, " ") }

// findingText is all that is said of what came out.
func (m Model) findingText(width, height int) []string {
	t := &teller{m: m, width: width}
	if roomy(width+50, height) {
		t.lines = append(t.lines, "")
		for _, l := range digits.Words(m.outcome()) {
			t.lines = append(t.lines, " "+m.style.Strong.Render(l))
		}
		t.lines = append(t.lines, "")
	} else {
		t.say(1, m.outcome(), m.style.Accent.Render)
	}
	if m.note != "" {
		t.say(1, m.note, m.style.Strong.Render)
	}
	if m.st.left {
		t.say(1, "You ended it early: this is what is known so far.", plain)
	}
	switch {
	case m.st.absent != "":
		t.say(1, m.st.absent, m.style.Strong.Render)
		t.say(1, m.st.remedy, plain)
		t.say(1, "Nothing is said of a prop that no light reaches, and nothing is recorded; what you answered is kept. ← goes back to the question once it is there.", plain)
	case len(m.st.findings) == 0:
		t.say(1, "No answer has told anything yet.", plain)
	case !m.st.findings[0].Sure.Firm():
		t.shortList(m.st.findings)
	default:
		t.finding(m.st.findings[0])
	}
	if looks := m.quicker(); looks > 0 {
		t.head("Count again")
		t.say(1, fmt.Sprintf("A roll call counts %d pixels in %d looks, quicker than counting up: o begins it.", m.prop.Pixels(), looks), plain)
	}
	t.unsteady()
	t.hidden()
	if len(m.mended) > 0 {
		t.head("Mended before")
		for _, f := range m.mended {
			t.say(1, f.Text, plain)
		}
	}
	t.because()
	return t.lines
}

// finding is one finding: what, where, how sure, what to do, what else.
func (t *teller) finding(f checkout.Finding) {
	if f.Good || len(f.Causes) == 1 {
		t.say(1, f.Title, t.m.style.Strong.Render)
	} else {
		t.say(1, fmt.Sprintf("%s look just like this.", number(len(f.Causes))), t.m.style.Strong.Render)
	}
	if f.Good {
		t.say(1, sure(f), plain)
		t.say(1, "It may be closed up.", plain)
		return
	}
	if where := f.Causes[0].Where; where != "" {
		t.say(1, "Where: "+where+".", plain)
	}
	t.say(1, sure(f), plain)
	if len(f.Causes) == 1 {
		t.head("What to do")
		t.say(1, f.Causes[0].Remedy, plain)
	} else {
		t.head("Try in this order")
		for i, c := range f.Causes {
			t.hang(fmt.Sprintf("%d. ", i+1), 1, c.Text, t.m.style.Strong.Render)
			t.say(4, c.Remedy, plain)
		}
	}
	if len(f.Rivals) > 0 {
		t.head("Not ruled out")
		for _, r := range f.Rivals {
			t.say(1, r, plain)
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

// shortList is what is left when nothing could tell it apart.
func (t *teller) shortList(all []checkout.Finding) {
	if why := t.m.st.stopped; why != "" {
		t.say(1, sentence(fmt.Errorf("%s", why)), plain)
	}
	t.head("It may be, likeliest first")
	named := 0.0
	for _, f := range all {
		named += f.Share
	}
	if named < 0.6 { // single places say too little
		for _, s := range t.m.st.suspects[:min(6, len(t.m.st.suspects))] {
			t.hang(style.Cell(weight(s.share), 13), 1, s.text, plain)
		}
		return
	}
	for i, f := range all {
		t.hang(fmt.Sprintf("%d. ", i+1), 1, f.Title, t.m.style.Strong.Render)
		t.say(4, sure(f), plain)
		if len(f.Causes) > 0 {
			t.say(4, f.Causes[0].Remedy, plain)
		}
	}
}

// because lists the answers that led here.
func (t *teller) because() {
	t.head("You said")
	for _, a := range t.m.st.asked {
		t.hang(fmt.Sprintf("%d. ", a.ID), 1, fmt.Sprintf("%s %s.", a.Question, a.Text()), t.m.style.Quiet.Render)
	}
}

// hidden tells what was put into the demo's prop and whether it was found.
func (t *teller) hidden() {
	m := t.m
	if !m.demo || !m.opt.Faulty || !m.st.over() || m.st.absent != "" {
		return
	}
	t.head("The demo's secret")
	put, verdict := m.secret()
	t.say(1, put, plain)
	if verdict != "" {
		t.say(1, verdict, m.style.Strong.Render)
	}
}

// compared says whether a finding names what was hidden in p, or what looks
// just like it.
func compared(p *prop.Prop, found []checkout.Finding, hidden []strip.Fault) string {
	for i, f := range found {
		named, looks := f.Good && len(hidden) == 0, f.Good && looksAlike(p, nil, hidden)
		for _, c := range f.Causes {
			named = named || same(c.Faults, hidden)
			looks = looks || looksAlike(p, c.Faults, hidden)
		}
		settled := i == 0 && f.Sure.Firm()
		switch {
		case named && settled && f.Good:
			return "Found to be sound, and it is."
		case named && settled && len(f.Causes) > 1:
			return "Found: it is one of those that look alike."
		case named && settled:
			return "Found."
		case looks && settled:
			return "Found as far as light tells: it looks just like that."
		case named || looks:
			return "It is on the short list."
		}
	}
	return "It was not found."
}

// looksAlike reports whether no light could tell the two apart.
func looksAlike(p *prop.Prop, a, b []strip.Fault) bool {
	x, errA := strip.New(p, a...)
	y, errB := strip.New(p, b...)
	if errA != nil || errB != nil || x.Flickers() != y.Flickers() {
		return false
	}
	sent := x.Lay(motley(p.Pixels())).Slots()
	return sameLight(x.Light(sent), y.Light(sent)) && sameLight(x.LetGo(nil, sent), y.LetGo(nil, sent))
}

// motley is a frame in which hardly any pixel is like another.
func motley(n int) patterns.Frame {
	f := make(patterns.Frame, n)
	for i := range f {
		f[i] = patterns.Colour{R: uint8(1 + i*7), G: uint8(3 + i*31 + i/256), B: uint8(5 + i*101 + i/128), W: uint8(7 + i*59), C: uint8(9 + i*13)}
	}
	return f
}

func same(a, b []strip.Fault) bool {
	if len(a) != len(b) {
		return false
	}
	for _, f := range a {
		if !slices.ContainsFunc(b, func(g strip.Fault) bool { return alike(f, g) }) {
			return false
		}
	}
	return true
}

// alike reports whether two faults are one, apart from how much there is of a
// sagging voltage.
func alike(a, b strip.Fault) bool {
	if a.Kind == strip.Sag && b.Kind == strip.Sag {
		return true
	}
	if a.Kind == strip.RunsSwapped && b.Kind == a.Kind {
		return min(a.Run, a.Run2) == min(b.Run, b.Run2) && max(a.Run, a.Run2) == max(b.Run, b.Run2)
	}
	return a == b
}
