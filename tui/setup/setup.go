package setup

import (
	"context"
	"errors"

	"github.com/charmbracelet/bubbles/help"
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// Options are the arguments of New.
type Options struct {
	Style      style.Styles
	Values     Values                              // to start with
	Interfaces []string                            // of this machine, by name
	Resolve    func(context.Context, string) error // asks whether a host name has an address; nil skips it
	Save       func(Values) error                  // keeps values for next time; nil keeps nothing
	Rename     func(string) error                  // sends under this name from the next prop on, and keeps it; nil leaves the name
	Next       string                              // screen to turn to once connected
}

// Model is the set-up screen.
type Model struct {
	opt    Options
	keys   keyMap
	fields [fields]field
	at     int // line chosen; fields is the button
	base   *prop.Prop
	path   string  // of the file of base
	bad    problem // shown until the line is changed
	busy   bool    // asked to connect, no answer yet
	saying string
	sum    []string           // the sums of the values
	held   string             // that the light is held below full, in short; empty when it is not
	asSet  *prop.Prop         // the prop of the values; nil while they cannot be read
	drawn  *portrait.Portrait // a cache of View, nothing else
	first  *int               // row of the first field on the page that was drawn last
}

// New makes the form.
func New(o Options) Model {
	m := Model{opt: o, keys: newKeys(), bad: problem{field: -1}, drawn: &portrait.Portrait{}, first: new(int)}
	chips := prop.KnownChips()
	names := make([]string, len(chips))
	for i, c := range chips {
		names[i] = c.Name
	}
	m.fields = [fields]field{
		hostField:      {label: "Host", hint: "controller's name or address, or multicast", most: 253},
		interfaceField: {label: "Interface", hint: "which network port to send from", choices: append([]string{""}, o.Interfaces...)},
		universeField:  {label: "Universe", hint: "1 to 63999, as set in the controller", most: 12},
		slotField:      {label: "First slot", hint: "1 to 512, of the first pixel's first colour", most: 12},
		pixelsField:    {label: "Pixels", hint: "how many should be on the strip", most: 12},
		chipField:      {label: "Chip", hint: "as printed on the strip or its label", choices: names},
		orderField:     {label: "Colour order", hint: "a letter a slot, as GRB; the check proves it", most: 12},
		voltsField:     {label: "Supply volts", hint: "from the supply's plate", most: 12},
		ampsField:      {label: "Supply amps", hint: "from the supply's plate; light keeps to 80 %", most: 12},
		sourceField:    {label: "Sends as", hint: "name that others see, at most 63 bytes", most: 250},
	}
	if len(o.Interfaces) == 0 { // unknown: any name can be typed
		m.fields[interfaceField] = field{label: "Interface", hint: "network port to send from; empty: any", most: 64}
	}
	return m.fill(o.Values)
}

func (m Model) fill(v Values) Model {
	for i, t := range v.texts() {
		m.fields[i] = m.fields[i].with(t)
	}
	m.sum, m.held, m.asSet = m.worked()
	return m
}

func (m Model) texts() [fields]string {
	var t [fields]string
	for i := range t {
		t[i] = m.fields[i].value()
	}
	return t
}

// Name is the screen's name in the head line.
func (m Model) Name() string { return "Set-up" }

// Keys are the keys of the help page.
func (m Model) Keys() help.KeyMap {
	k := m.keys
	typed, filled := m.at < fields && !m.fields[m.at].choice(), m.at < fields && m.fields[m.at].value() != ""
	k.Turn.SetEnabled(m.at < fields && (!typed || filled))
	k.Edit.SetEnabled(typed && filled)
	k.Light.SetEnabled(m.asSet != nil && !m.hostless())
	if typed {
		k.Turn.SetHelp(k.Turn.Help().Key, "move in the text")
	}
	return k
}

// Typing is true on lines that take letters.
func (m Model) Typing() bool { return m.at < fields && !m.fields[m.at].choice() }

// checkedMsg is the result of the look-up of the host name.
type checkedMsg struct {
	v    Values
	p    *prop.Prop
	err  error
	save error
}

// Update handles keys and results of commands.
func (m Model) Update(msg tea.Msg) (screen.Screen, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.KeyMsg:
		return m.key(msg)
	case tea.MouseMsg:
		if i := msg.Y - *m.first; msg.Action == tea.MouseActionPress && msg.Button == tea.MouseButtonLeft && i >= 0 && i <= fields {
			m.at = min(i, fields)
		}
	case checkedMsg:
		return m.checked(msg)
	case screen.ReadyMsg:
		m.base, m.path = msg.Prop, msg.Path
		v := FromProp(msg.Prop)
		v.Source = m.fields[sourceField].value()
		m = m.fill(v)
		if m.busy {
			m.busy, m.saying = false, ""
			return m, screen.Ask(screen.GoMsg{Name: m.opt.Next})
		}
	case screen.TroubleMsg:
		if m.busy {
			m.busy, m.saying = false, ""
			m.bad = problem{fields, style.Clean(msg.Err.Error())}
		}
	}
	return m, nil
}

func (m Model) key(k tea.KeyMsg) (screen.Screen, tea.Cmd) {
	switch {
	case key.Matches(k, m.keys.Down):
		m.at = min(fields, m.at+1)
	case key.Matches(k, m.keys.Up):
		m.at = max(0, m.at-1)
	case key.Matches(k, m.keys.Next):
		if m.at == fields {
			return m.connect()
		}
		m.at++
	case key.Matches(k, m.keys.Light):
		return m.connect()
	case m.at < fields:
		m = m.edit(k)
	}
	return m, nil
}

// edit changes the chosen line. A new chip sets its order and volts too.
func (m Model) edit(k tea.KeyMsg) Model {
	was := m.fields[m.at].value()
	m.fields[m.at] = m.fields[m.at].key(k)
	if m.fields[m.at].value() == was {
		return m
	}
	m.bad = problem{field: -1}
	if m.at == chipField {
		if c, ok := prop.ChipByName(m.fields[chipField].value()); ok {
			m.fields[orderField] = m.fields[orderField].with(string(c.Order))
			m.fields[voltsField] = m.fields[voltsField].with(number(c.Volts))
		}
	}
	m.sum, m.held, m.asSet = m.worked()
	return m
}

// connect checks the form, then looks up the host name in a command.
func (m Model) connect() (screen.Screen, tea.Cmd) {
	if m.busy {
		return m, nil
	}
	v, err := read(m.texts(), m.opt.Interfaces)
	var p *prop.Prop
	if err == nil {
		p, err = v.Prop(m.base)
	}
	if err != nil {
		return m.refuse(err), nil
	}
	m.busy, m.saying = true, "Connecting."
	resolve, save, rename := m.opt.Resolve, m.opt.Save, m.opt.Rename
	return m, func() tea.Msg {
		c := checkedMsg{v: v, p: p}
		if resolve != nil && v.Host != multicast {
			c.err = resolve(context.Background(), v.Host)
		}
		if c.err == nil && rename != nil {
			c.save = rename(v.Source)
		}
		if c.err == nil && save != nil {
			c.save = errors.Join(c.save, save(v))
		}
		return c
	}
}

// refuse moves to the line that is wrong.
func (m Model) refuse(err error) Model {
	var p problem
	if !errors.As(err, &p) {
		p = problem{fields, err.Error()}
	}
	m.bad, m.at, m.busy, m.saying = p, p.field, false, ""
	return m
}

func (m Model) checked(c checkedMsg) (screen.Screen, tea.Cmd) {
	if c.err != nil {
		return m.refuse(problem{hostField, "the name " + c.v.Host + " gives no address: check the spelling, or write the address itself"}), nil
	}
	if c.save != nil {
		m.saying = "Connecting; not kept for next time: " + style.Clean(c.save.Error())
	}
	use := screen.UseMsg{Prop: c.p}
	if m.base != nil && m.base.Pixels() == c.p.Pixels() {
		use.Path = m.path // the same prop at another address
	}
	return m, screen.Ask(use)
}
