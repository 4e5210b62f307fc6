package light

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/help"
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/screen"
)

// Keys are the keys of the help page. The foot line names the mark while counting.
func (m Model) Keys() help.KeyMap {
	if m.prop == nil { // nothing to light
		return keyMap{}
	}
	return m.usable()
}

// usable are the keys with an effect now.
func (m Model) usable() keyMap {
	k := *m.keys
	k.counting = m.pattern().ID == patterns.CountUp.ID
	stepped := m.pattern().Stepped
	for _, b := range []*key.Binding{&k.Forward, &k.Back, &k.Tens, &k.TensBack, &k.First, &k.Last, &k.Run, &k.Faster, &k.Slower} {
		b.SetEnabled(stepped && !m.dark)
	}
	now := m.settings() // at its ends a key of the speed does nothing
	k.Faster.SetEnabled(k.Faster.Enabled() && patterns.NextSpeed(m.pattern(), now, 1) > now.Speed)
	k.Slower.SetEnabled(k.Slower.Enabled() && patterns.NextSpeed(m.pattern(), now, -1) < now.Speed)
	k.Mark.SetEnabled(k.counting && !m.dark)
	if m.onePixel() {
		k.Pick.SetHelp(m.offeredKeys(), k.Pick.Help().Desc)
	}
	k.Call.SetEnabled(m.quicker() > 0)
	k.Part.SetEnabled(len(m.prop.Sections()) > 0)
	for _, b := range []*key.Binding{&k.Way, &k.View} {
		b.SetEnabled(!m.onePixel())
	}
	k.dark, k.unlit, k.walks = m.dark, m.unlit(), m.auto && !m.dark
	return k
}

// Follow implements screen.Follower.
func (Model) Follow() {}

// onePixel reports whether the prop has one pixel only: light has no way along it, and one
// drawing.
func (m Model) onePixel() bool { return m.prop != nil && m.prop.Pixels() == 1 }

// offered are the indexes of the patterns that are useful for this prop.
func (m Model) offered() (out []int) {
	for i, p := range m.pats {
		if !m.onePixel() || p.OnePixel {
			out = append(out, i)
		}
	}
	return out
}

// offeredKeys are the number keys of these patterns.
func (m Model) offeredKeys() string {
	at := m.offered()
	if len(at) == len(m.pats) || len(at) == 0 {
		return numberKeys(len(m.pats))
	}
	if first, last := at[0], at[len(at)-1]; last-first == len(at)-1 && last < 9 {
		return fmt.Sprintf("%d-%d", first+1, last+1)
	}
	var keys []string
	for _, i := range at {
		keys = append(keys, fmt.Sprint((i+1)%10))
	}
	return strings.Join(keys, " ")
}

// fitPattern leaves a pattern that is not offered for this prop.
func (m Model) fitPattern() Model {
	if at := m.offered(); len(at) > 0 && !slices.Contains(at, m.at) {
		m.at = at[0]
	}
	return m
}

// Update handles keys and reports of the show.
func (m Model) Update(msg tea.Msg) (screen.Screen, tea.Cmd) {
	switch msg := msg.(type) {
	case screen.ReadyMsg:
		m.prop, m.out, m.demo = msg.Prop, msg.Out, msg.Demo
		m.any, m.look, m.mark, m.step, m.colour, m.dark = false, strip.Look{}, 0, 0, 0, false
		m.section, m.chosen = section{}, false
		m = m.fitPattern()
		m.auto = m.pattern().Loops
		m.patch, _ = prop.PatchFor(msg.Prop) // the show has refused a bad one
		m.serial++
		m.draw = &drawings{}
		m.send()
	case screen.SnapshotMsg:
		m.snap, m.any = msg, true
	case screen.LightMsg:
		m.look = strip.Look(msg)
	case screen.EnterMsg:
		m.shown = true
		m.send()
	case screen.LeaveMsg:
		m.shown = false
	case tea.WindowSizeMsg:
		m.size = msg
	case tea.KeyMsg:
		if key.Matches(msg, m.keys.Call) && m.quicker() > 0 {
			return m, screen.Ask(screen.GoMsg{Name: "Check", Count: true})
		}
		m = m.key(msg)
	case tea.MouseMsg:
		m = m.mouse(msg)
	}
	return m, nil
}

// key handles one key and sends a change to the show at once.
func (m Model) key(k tea.KeyMsg) Model {
	m.note = ""
	is := func(b key.Binding) bool { return key.Matches(k, b) }
	if m.dark && key.Matches(k, m.keys.steps()...) {
		m.note = "Every pixel is dark: l lights the pattern again, then it steps."
		return m
	}
	switch {
	case is(m.keys.Pick):
		m = m.pick(digit(k))
	case is(m.keys.Forward):
		m = m.walk(1)
	case is(m.keys.Back):
		m = m.walk(-1)
	case is(m.keys.Tens):
		m = m.walk(10)
	case is(m.keys.TensBack):
		m = m.walk(-10)
	case is(m.keys.First):
		m = m.goTo(0)
	case is(m.keys.Last):
		m = m.goTo(patterns.Steps(m.pattern(), m.settings()) - 1)
	case is(m.keys.Run):
		m = m.run()
	case is(m.keys.Mark):
		m = m.setMark()
	case is(m.keys.Call):
		m.note = "A roll call counts the whole prop: choose Count up, where it is quicker."
	case is(m.keys.Dark):
		m.dark = !m.dark
	default:
		m = m.turn(is)
	}
	m.send()
	return m
}

// turn handles the keys that change a setting.
func (m Model) turn(is func(key.Binding) bool) Model {
	switch {
	case is(m.keys.Brighter):
		m.level = patterns.NextLevel(m.level, 1)
	case is(m.keys.Dimmer):
		m.level = patterns.NextLevel(m.level, -1)
	case is(m.keys.Faster):
		m.speed = patterns.NextSpeed(m.pattern(), m.settings(), 1)
	case is(m.keys.Slower):
		m.speed = patterns.NextSpeed(m.pattern(), m.settings(), -1)
	case is(m.keys.Way):
		m.reverse = !m.reverse
	case is(m.keys.Colour):
		m.colour = (m.colour + 1) % (len(m.palette()) + 1)
	case is(m.keys.View):
		m.rows, m.chosen = m.view() != canvas.Rows, true
	case is(m.keys.Part):
		m = m.nextPart()
	}
	return m
}

// digit is the index of the pattern of a digit key, -1 for none.
func digit(k tea.KeyMsg) int {
	if len(k.Runes) != 1 {
		return -1
	}
	return (int(k.Runes[0]-'0') + 9) % 10 // 1 is the first, 0 the tenth
}

// pick starts another pattern from its first step. A counting pattern waits for keys, the
// others run by themselves.
func (m Model) pick(i int) Model {
	if i < 0 || i >= len(m.pats) {
		m.note = "No pattern has that digit."
		return m
	}
	if !slices.Contains(m.offered(), i) {
		m.note = fmt.Sprintf("No pattern has that digit here: %s are those for one pixel.", m.offeredKeys())
		return m
	}
	m.at, m.step, m.dark, m.mark = i, 0, false, 0
	m.serial++
	m.auto = m.pattern().Loops
	return m
}

// walk moves by steps; the pattern then waits for keys.
func (m Model) walk(by int) Model {
	if !m.pattern().Stepped {
		m.note = m.pattern().Name + " has no steps."
		return m
	}
	return m.goTo(m.now() + by)
}

func (m Model) goTo(step int) Model {
	m.auto = false
	m.step = patterns.StepAt(m.pattern(), m.settings(), step)
	m.serial++
	return m
}

// run lets a pattern of steps run by itself, or stops it.
func (m Model) run() Model {
	if !m.pattern().Stepped {
		m.note = m.pattern().Name + " has no steps to walk."
		return m
	}
	auto := !m.auto
	m = m.goTo(m.now())
	m.auto = auto
	return m
}

// mouse steps with the wheel, picks a pattern by its line, a pixel by its mark.
func (m Model) mouse(e tea.MouseMsg) Model {
	if e.Action != tea.MouseActionPress {
		return m
	}
	m.note = ""
	switch e.Button {
	case tea.MouseButtonWheelDown:
		m = m.walk(1)
	case tea.MouseButtonWheelUp:
		m = m.walk(-1)
	case tea.MouseButtonLeft:
		i := e.Y - listTop
		if m.compact() || e.X >= sideWidth-1 {
			m = m.click(e)
		} else if at := m.offered(); i >= 0 && i < len(at) {
			m = m.pick(at[i])
		} else {
			return m
		}
	default:
		return m
	}
	m.send()
	return m
}
