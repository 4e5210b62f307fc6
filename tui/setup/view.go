package setup

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/key"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// firstLine is the row of the first field.
const firstLine = 1

type keyMap struct{ Up, Down, Next, Turn, Edit, Light key.Binding }

func newKeys() keyMap {
	b := func(shown, does string, keys ...string) key.Binding {
		return key.NewBinding(key.WithKeys(keys...), key.WithHelp(shown, does))
	}
	return keyMap{
		Up:    b("↑", "line above", "up"),
		Down:  b("↓", "line below", "down"),
		Next:  b("enter", "next line; on the last, light it", "enter"),
		Turn:  b("← →", "choose", "left", "right"),
		Edit:  b("ctrl+u", "empty the line", "ctrl+u"),
		Light: b("ctrl+l", "light it from any line", "ctrl+l"),
	}
}

// ShortHelp is the keys needed most.
func (k keyMap) ShortHelp() []key.Binding {
	down := k.Down
	down.SetHelp("↑ ↓", "line")
	next := k.Next
	next.SetHelp("enter", "next")
	light := k.Light
	light.SetHelp("ctrl+l", "light it")
	return []key.Binding{down, next, k.Turn, light}
}

// FullHelp is all of them.
func (k keyMap) FullHelp() [][]key.Binding {
	return [][]key.Binding{{k.Up, k.Down, k.Next, k.Turn, k.Edit, k.Light}}
}

// View draws the form.
func (m Model) View(width, height int) string {
	st := m.opt.Style
	lines := []string{"  " + st.Strong.Render("What is on the bench")}
	for i, f := range m.fields {
		mark, label := "  ", style.Cell(f.label, 13)
		if i == m.at {
			mark, label = "▸ ", st.Accent.Render(label)
		}
		if m.bad.field == i {
			mark = st.Warn.Render("! ")
		}
		value := f.view(i == m.at, width-20)
		if i == hostField && i != m.at && m.hostless() {
			value = "  " + st.Warn.Render("none yet")
		}
		lines = append(lines, mark+label+" "+value)
	}
	button := "  [ Light it ]"
	if m.at == fields {
		button = "▸ " + st.Accent.Render("[ Light it ]")
	}
	lines = append(lines, button, "")
	for _, l := range style.Wrap(m.message(), width-4) {
		lines = append(lines, "  "+l)
	}
	if height > len(lines)+4 {
		lines = append(lines, "")
		for _, l := range m.sum {
			for _, w := range style.Wrap(l, width-4) {
				lines = append(lines, "  "+st.Quiet.Render(w))
			}
		}
	}
	return strings.Join(lines, "\n")
}

// message is what is wrong, what goes on, or what the chosen line is for.
func (m Model) message() string {
	switch {
	case m.bad.text != "":
		return m.opt.Style.Warn.Render("! " + words.Capital(m.bad.text) + ".")
	case m.saying != "":
		return m.saying
	case m.hostless() && (m.at == hostField || m.at == fields):
		return m.opt.Style.Warn.Render("! " + words.Capital(noHost) + ".")
	case m.at < fields:
		return words.Capital(m.fields[m.at].hint) + "."
	}
	return "Enter connects, and turns to the light at 20 %."
}

// Far is the line that is chosen.
func (m Model) Far() screen.Far {
	if m.at >= fields {
		return screen.Far{Texts: []string{"Light it"}}
	}
	value := m.fields[m.at].value()
	if value == "" {
		value = "none yet"
	}
	return screen.Far{Texts: []string{m.fields[m.at].label + " " + value, value}}
}

// hostless is true as long as no host was given: then nothing is sent.
func (m Model) hostless() bool { return strings.TrimSpace(m.fields[hostField].value()) == "" }

// sums is what the values come to, when they can be read. It lays out the whole
// patch, so it is worked out on a change and not while drawing.
func (m Model) sums() []string {
	t := m.texts()
	if m.hostless() {
		t[hostField] = multicast // any will do: the sums do not depend on it
	}
	v, err := read(t, m.opt.Interfaces)
	if err != nil {
		return nil
	}
	p, err := v.Prop(m.base)
	if err != nil {
		return nil
	}
	patch, err := prop.NewPatch(p.Pixels(), p.Chip.Order, p.Address)
	if err != nil {
		return nil
	}
	first, last := patch.At(0, 0), patch.At(p.Pixels()-1, p.Chip.Order.Slots()-1)
	to := fmt.Sprintf("universe %d slot %d to universe %d slot %d", first.Universe, first.Slot+1, last.Universe, last.Slot+1)
	if last.Universe == first.Universe {
		to = fmt.Sprintf("universe %d, slots %d to %d", first.Universe, first.Slot+1, last.Slot+1)
	}
	out := []string{fmt.Sprintf("%d pixels of %d slots: %s.", p.Pixels(), p.Chip.Order.Slots(), to)}
	if text := patch.Moved(); text != "" {
		out = append(out, "Mind: "+text+".")
	}
	if m.base != nil && len(m.base.Runs) > 1 && p.Pixels() != m.base.Pixels() {
		out = append(out, fmt.Sprintf("%s has %d pixels: with another count this is one straight strip.", style.Clean(m.base.Name), m.base.Pixels()))
	}
	var full patterns.Colour
	for _, ch := range p.Chip.Order.Channels() {
		full = full.With(ch, 255)
	}
	_, lit := p.Lights()
	amps := float64(lit)*power.PixelAmps(p.Chip, full) + float64(p.Pixels()-lit)*p.Chip.IdleAmps
	allowed := p.Supply.Amps * p.Supply.Continuous
	s := fmt.Sprintf("All channels full: about %.1f A. The supply gives %.1f A for hours on end", amps, allowed)
	if amps > allowed {
		dark := float64(p.Pixels()) * p.Chip.IdleAmps
		return append(out, s+fmt.Sprintf(", so the light is held at about %d %%.", power.FloorPercent(max(0, allowed-dark)/(amps-dark))))
	}
	return append(out, s+".")
}
