package setup

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/charmbracelet/x/exp/golden"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

func form(o Options) Model {
	r := lipgloss.NewRenderer(&strings.Builder{})
	r.SetColorProfile(termenv.Ascii)
	o.Style, o.Next = style.On(r, style.AnyGround), "Light"
	if o.Values == (Values{}) {
		o.Values = Defaults()
		o.Values.Host = "192.0.2.7"
	}
	return New(o)
}

// firstEvening is the form as it is before a host was ever given.
func firstEvening(o Options) Model {
	o.Values = Defaults()
	return form(o)
}

// feed hands messages over and returns the last command.
func feed(m Model, msgs ...tea.Msg) (Model, tea.Cmd) {
	var c tea.Cmd
	for _, msg := range msgs {
		var s screen.Screen
		s, c = m.Update(msg)
		m = s.(Model)
	}
	return m, c
}

func press(t tea.KeyType) tea.KeyMsg { return tea.KeyMsg{Type: t} }

func typed(s string) tea.KeyMsg { return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(s)} }

// write replaces the text of a line.
func write(m Model, field int, text string) Model {
	for m.at < field {
		m, _ = feed(m, press(tea.KeyDown))
	}
	for m.at > field {
		m, _ = feed(m, press(tea.KeyUp))
	}
	m, _ = feed(m, press(tea.KeyCtrlU), typed(text))
	return m
}

// Each refusal is one sentence: what is wrong, what to do; and the cursor
// stands on the line.
func TestBadInput(t *testing.T) {
	for _, row := range []struct {
		field int
		text  string
		want  string
	}{
		{universeField, "0", "universe 0 does not exist: write 1 to 63999"},
		{universeField, "64000", "universe 64000 does not exist: write 1 to 63999"},
		{universeField, "one", `universe "one" is not a whole number: write 1 to 63999`},
		{universeField, "", "the universe is missing: write 1 to 63999"},
		{slotField, "0", "first slot 0 does not exist: write 1 to 512"},
		{slotField, "513", "first slot 513 does not exist: write 1 to 512"},
		{pixelsField, "0", "pixel count 0 does not exist: write 1 to 100000"},
		{pixelsField, "100001", "pixel count 100001 does not exist: write 1 to 100000"},
		{pixelsField, "1.5", `pixel count "1.5" is not a whole number: write 1 to 100000`},
		{hostField, "", "no host yet: name, address or multicast"},
		{hostField, "192.168.1", `host "192.168.1" is not an address: four numbers 0 to 255 with dots, or an IPv6 address`},
		{hostField, "192.168.1.256", `host "192.168.1.256" is not an address: four numbers 0 to 255 with dots, or an IPv6 address`},
		{hostField, "fe80:::1", `host "fe80:::1" is not an address: four numbers 0 to 255 with dots, or an IPv6 address`},
		{hostField, "239.255.0.1", "address 239.255.0.1 is not one host: write the host's own, or the word multicast"},
		{hostField, "http://bench", `host "http://bench" has a space or a slash: write only the name or the address`},
		{orderField, "GRX", `colour order "GRX" has the letter 'X'; only R, G, B, W and C are known`},
		{orderField, "GRBW", "colour order GRBW has 4 letters, but WS2812B takes 3 slots a pixel: write 3 letters or choose another chip"},
		{voltsField, "12", "12 V would destroy WS2812B, which takes 5 V: change the supply or the chip"},
		{voltsField, "3.3", "3.3 V is too low for WS2812B, which needs 4.5 V at least: change the supply or the chip"},
		{voltsField, "-5", "supply volts -5 is out of range: write more than 0, up to 48"},
		{ampsField, "", "supply amps are missing: read them off the supply's plate"},
		{ampsField, "lots", `supply amps "lots" is not a number: write such as 5 or 4.5`},
		{sourceField, "", `the source name is empty: give one of 1 to 63 bytes, such as "ringout bench"`},
		{sourceField, strings.Repeat("灯", 22), "the source name has 66 bytes and at most 63 fit: shorten it (letters beyond plain English take 2 to 4 bytes each)"},
		{ampsField, "NaN", "supply amps NaN is out of range: write more than 0, up to 1000"},
	} {
		m := write(form(Options{}), row.field, row.text)
		if row.field == hostField || row.field == orderField { // an empty line is a text too
			require.Equal(t, row.text, m.fields[row.field].value())
		}
		m, cmd := feed(m, press(tea.KeyCtrlL))
		assert.Nil(t, cmd)
		assert.Equal(t, row.want, m.bad.text)
		assert.Equal(t, row.field, m.at, "%q", row.text)
		assert.Contains(t, strings.Join(strings.Fields(m.View(80, 21)), " "), "! "+strings.ToUpper(row.want[:1])+row.want[1:])
		m, _ = feed(m, press(tea.KeyHome), typed("1"))
		assert.Empty(t, m.bad.text, "a change takes the refusal away")
	}
}

// Nothing is sent before the builder says where to: no key asks for a show, and
// the page says what is missing and what to do.
func TestNoHostSendsNothing(t *testing.T) {
	const says = "! No host yet: name, address or multicast."
	saved := 0
	o := Options{Save: func(Values) error { saved++; return nil }}
	for _, way := range [][]tea.Msg{
		{press(tea.KeyCtrlL)},
		{press(tea.KeyDown), press(tea.KeyCtrlL)},
		{press(tea.KeyUp), press(tea.KeyCtrlU), press(tea.KeyCtrlL)},
	} {
		m, cmd := feed(firstEvening(o), way...)
		assert.Nil(t, cmd)
		assert.Equal(t, hostField, m.at)
		assert.Contains(t, strings.Join(strings.Fields(m.View(80, 21)), " "), says)
	}
	m := firstEvening(o)
	for _, size := range [][2]int{{50, 17}, {80, 21}, {120, 37}, {200, 57}} {
		assert.Contains(t, m.View(size[0], size[1]), says, "before any key, too, in a line at every size")
	}
	assert.Contains(t, strings.Join(strings.Fields(m.View(80, 30)), " "), "60 pixels: universe 1, slots 1 to 180.", "the sums need no host")
	assert.Equal(t, []string{"No host yet", "No host"}, m.FarView().Texts)
	for m.at < fields {
		m, _ = feed(m, press(tea.KeyDown))
	}
	assert.Contains(t, strings.Join(strings.Fields(m.View(80, 21)), " "), says, "on the button")
	m, cmd := feed(m, press(tea.KeyEnter))
	assert.Nil(t, cmd)
	assert.Zero(t, saved)
	_, err := Defaults().Prop(nil)
	require.Error(t, err, "nor past the form")
}

// The whole network is chosen with a word, never by leaving something out.
func TestMulticastIsChosenPlainly(t *testing.T) {
	var kept Values
	asked := 0
	o := Options{Save: func(v Values) error { kept = v; return nil },
		Resolve: func(context.Context, string) error { asked++; return nil }}
	m := firstEvening(o)
	m, cmd := feed(m, typed("Multicast"), press(tea.KeyCtrlL))
	require.NotNil(t, cmd)
	m, cmd = feed(m, cmd())
	require.NotNil(t, cmd)
	p := cmd().(screen.UseMsg).Prop
	assert.Empty(t, p.Address.Host, "no host is the group")
	assert.Equal(t, "multicast", kept.Host, "kept as a word: an empty host stays none")
	assert.Zero(t, asked, "multicast is no name to look up")
	m, _ = feed(m, screen.ReadyMsg{Prop: p})
	assert.Equal(t, "multicast", m.fields[hostField].value())
}

func TestMissingInterface(t *testing.T) {
	v := Defaults()
	v.Host, v.Interface = "192.0.2.7", "eth9"
	m, cmd := feed(form(Options{Values: v, Interfaces: []string{"eth0"}}), press(tea.KeyCtrlL))
	assert.Nil(t, cmd)
	assert.Equal(t, `this machine has no interface "eth9": choose another with ← →`, m.bad.text)
	m, _ = feed(m, press(tea.KeyRight))
	assert.Equal(t, "", m.fields[interfaceField].value(), "a choice that is gone starts over")
	m, _ = feed(m, press(tea.KeyRight))
	assert.Equal(t, "eth0", m.fields[interfaceField].value())
}

func TestInterfaceCanBeTypedWhereNoneAreKnown(t *testing.T) {
	m := write(form(Options{}), interfaceField, "eth7")
	v, err := read(m.texts(), nil)
	require.NoError(t, err)
	assert.Equal(t, "eth7", v.Interface)
}

func TestTooManySlots(t *testing.T) {
	m := write(form(Options{}), universeField, "63999")
	m = write(m, pixelsField, "171")
	m, _ = feed(m, press(tea.KeyCtrlL))
	assert.Equal(t, pixelsField, m.at)
	assert.Contains(t, m.bad.text, "start lower or use fewer pixels")
}

func TestHostThatDoesNotResolve(t *testing.T) {
	saved := 0
	o := Options{Resolve: func(context.Context, string) error { return errors.New("no such host") },
		Save: func(Values) error { saved++; return nil }}
	m := write(form(o), hostField, "porch")
	m, cmd := feed(m, press(tea.KeyCtrlL))
	require.NotNil(t, cmd)
	m, cmd = feed(m, cmd())
	assert.Nil(t, cmd)
	assert.Equal(t, "the name porch gives no address: check the spelling, or write the address itself", m.bad.text)
	assert.Equal(t, hostField, m.at)
	assert.Zero(t, saved)
}

func TestGoodForm(t *testing.T) {
	var kept Values
	var name string
	o := Options{Resolve: func(context.Context, string) error { return nil }, Save: func(v Values) error { kept = v; return nil },
		Rename: func(s string) error { name = s; return nil }}
	m := write(form(o), hostField, "192.0.2.7")
	m = write(m, universeField, "3")
	m = write(m, slotField, "109")
	m = write(m, pixelsField, "48")
	m = write(m, ampsField, "2,5")
	m = write(m, sourceField, "Laterne 灯")
	m, cmd := feed(m, press(tea.KeyDown), press(tea.KeyEnter))
	require.NotNil(t, cmd)
	m, cmd = feed(m, cmd())
	assert.Equal(t, "Laterne 灯", name)
	require.NotNil(t, cmd)
	use := cmd().(screen.UseMsg)
	p := use.Prop
	assert.Equal(t, prop.Address{Host: "192.0.2.7", Universe: 3, Slot: 108, Packing: prop.Whole, Priority: 100}, p.Address)
	assert.Equal(t, 48, p.Pixels())
	assert.Equal(t, prop.Supply{Volts: 5, Amps: 2.5, Continuous: 0.8}, p.Supply)
	assert.Equal(t, prop.Order("GRB"), p.Chip.Order)
	assert.Equal(t, Values{Host: "192.0.2.7", Universe: 3, Slot: 109, Pixels: 48, Chip: "WS2812B", Order: "GRB", Volts: 5, Amps: 2.5, Source: "Laterne 灯"}, kept)
	m, cmd = feed(m, screen.ReadyMsg{Prop: p})
	assert.Equal(t, screen.GoMsg{Name: "Light"}, cmd())
	assert.Equal(t, "Laterne 灯", m.fields[sourceField].value(), "another prop does not change who sends")
	_, cmd = feed(m, screen.ReadyMsg{Prop: p})
	assert.Nil(t, cmd, "a prop that others connect does not turn the page")
}

func TestConnectingCanFail(t *testing.T) {
	m, cmd := feed(form(Options{}), press(tea.KeyCtrlL))
	m, _ = feed(m, cmd())
	m, again := feed(m, press(tea.KeyCtrlL))
	assert.Nil(t, again, "one at a time")
	m, _ = feed(m, screen.TroubleMsg{Err: errors.New("port 5568 is taken: end the other program")})
	assert.Contains(t, m.View(80, 21), "Port 5568 is taken: end the other program.")
	_, cmd = feed(m, press(tea.KeyCtrlL))
	assert.NotNil(t, cmd)
}

func TestSavingMayFail(t *testing.T) {
	m, cmd := feed(form(Options{Save: func(Values) error { return errors.New("disk full") }}), press(tea.KeyCtrlL))
	m, cmd = feed(m, cmd())
	assert.IsType(t, screen.UseMsg{}, cmd())
	assert.Contains(t, m.View(80, 21), "not kept for next time: disk full")
}

func TestChipBringsOrderAndVolts(t *testing.T) {
	m := form(Options{})
	m.at = chipField
	for m.fields[chipField].value() != "SK6812 RGBW" {
		m, _ = feed(m, press(tea.KeyRight))
	}
	assert.Equal(t, "GRBW", m.fields[orderField].value())
	for m.fields[chipField].value() != "WS2811 12V" {
		m, _ = feed(m, press(tea.KeyLeft))
	}
	assert.Equal(t, "RGB", m.fields[orderField].value())
	assert.Equal(t, "12", m.fields[voltsField].value())
	assert.False(t, m.Typing(), "letters on a choice belong to the bench")
}

// A prop with the same count keeps its runs; another count is a plain strip.
func TestFormAndPropFile(t *testing.T) {
	base := prop.Porthole()
	base.Address.Port = 6000
	m, _ := feed(form(Options{}), screen.ReadyMsg{Prop: base})
	v, err := read(m.texts(), nil)
	require.NoError(t, err)
	same, err := v.Prop(base)
	require.NoError(t, err)
	assert.Equal(t, base, same)
	v.Pixels, v.Host = 60, "192.0.2.1"
	other, err := v.Prop(base)
	require.NoError(t, err)
	assert.Len(t, other.Runs, 1)
	assert.Zero(t, other.Address.Port)
	assert.Len(t, base.Runs, 3, "the prop itself is not changed")
}

func TestEditing(t *testing.T) {
	f := field{most: 6}.with("abc")
	f = f.key(press(tea.KeyLeft)).key(press(tea.KeyBackspace))
	assert.Equal(t, "ac", f.value())
	assert.Equal(t, "  a▏c", f.view(true, 30))
	assert.Equal(t, "  ac", f.view(false, 30))
	c := field{choices: []string{"", "eth0"}}
	assert.Equal(t, "‹ any ›", c.view(true, 30))
	assert.Equal(t, "  eth0", c.key(press(tea.KeyLeft)).view(false, 30))
}

func TestClickChoosesALine(t *testing.T) {
	m := form(Options{})
	m.View(80, 20)
	m, _ = feed(m, tea.MouseMsg{X: 5, Y: *m.first + slotField, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
	assert.Equal(t, slotField, m.at)
}

func TestPages(t *testing.T) {
	for _, row := range []struct {
		name          string
		width, height int
		make          func() Model
	}{
		{"80x24 first evening", 80, 21, func() Model { return firstEvening(Options{Interfaces: []string{"eth0"}}) }},
		{"50x20 first evening, another line", 50, 17, func() Model {
			m, _ := feed(firstEvening(Options{Interfaces: []string{"eth0"}}), press(tea.KeyDown))
			return m
		}},
		{"50x20 wrong slot", 50, 17, func() Model {
			m, _ := feed(write(form(Options{Interfaces: []string{"eth0"}}), slotField, "513"), press(tea.KeyCtrlL))
			return m
		}},
		{"120x40 more than the supply gives", 120, 37, func() Model {
			m := write(form(Options{Interfaces: []string{"eth0"}}), pixelsField, "300")
			m.at = fields
			return m
		}},
	} {
		t.Run(row.name, func(t *testing.T) { golden.RequireEqual(t, []byte(row.make().View(row.width, row.height))) })
	}
}

// The whole form and its message stay on the smallest page.
func TestFitsTheSmallestPage(t *testing.T) {
	m, _ := feed(write(form(Options{}), orderField, "GRBW"), press(tea.KeyCtrlL))
	lines := strings.Split(m.View(50, 17), "\n")
	assert.LessOrEqual(t, len(lines), 17)
	for _, l := range lines {
		assert.LessOrEqual(t, ansi.StringWidth(l), 50)
	}
}

func FuzzForm(f *testing.F) {
	f.Add("192.0.2.1", "1", "1", "60", "GRB", "5", "4")
	f.Add("::1", "63999", "512", "100000", "RGBWC", "1e309", "0x10")
	f.Fuzz(func(t *testing.T, host, universe, slot, pixels, order, volts, amps string) {
		m := form(Options{})
		for i, s := range map[int]string{hostField: host, universeField: universe, slotField: slot, pixelsField: pixels,
			orderField: order, voltsField: volts, ampsField: amps} {
			m = write(m, i, s)
		}
		v, err := read(m.texts(), nil)
		if err != nil {
			var p problem
			require.ErrorAs(t, err, &p)
			require.NotContains(t, p.text, "\n")
			return
		}
		p, err := v.Prop(nil)
		if err != nil {
			return
		}
		back := FromProp(p)
		back.Source = v.Source // who sends is not part of a prop
		again, err := read(back.texts(), nil)
		require.NoError(t, err)
		q, err := again.Prop(nil)
		require.NoError(t, err)
		require.Equal(t, p.Address, q.Address)
		require.Equal(t, p.Pixels(), q.Pixels())
	})
}

// The key that lights is a hint only where it lights: not before there is a host, and not
// while a line cannot be read.
func TestLightIsHintedWhereItActs(t *testing.T) {
	for host, acts := range map[string]bool{"": false, "10.0.0.999": false, "10.0.0.9": true, "multicast": true} {
		v := Defaults()
		v.Host = host
		m := form(Options{Values: v})
		assert.Equal(t, acts, slices.ContainsFunc(m.Keys().ShortHelp(), func(b key.Binding) bool {
			return b.Enabled() && b.Help().Key == "ctrl+l"
		}), host)
	}
}
