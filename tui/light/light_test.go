package light

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// output keeps what was wanted.
type output struct{ wants []show.Want }

func (o *output) Set(w show.Want) { o.wants = append(o.wants, w) }

func (o *output) last(t *testing.T) show.Want {
	t.Helper()
	require.NotEmpty(t, o.wants)
	return o.wants[len(o.wants)-1]
}

func styles(p termenv.Profile) style.Styles {
	r := lipgloss.NewRenderer(&strings.Builder{})
	r.SetColorProfile(p)
	return style.On(r, style.AnyGround)
}

// lit is a light screen with a prop, shown, at a size.
func lit(p *prop.Prop, demo bool, width, height int, depth termenv.Profile) (Model, *output) {
	out := &output{}
	m := New(styles(depth), patterns.All())
	m = feed(m, tea.WindowSizeMsg{Width: width, Height: height},
		screen.ReadyMsg{Prop: p, Out: out, Demo: demo}, screen.EnterMsg{})
	return m, out
}

func feed(m Model, msgs ...tea.Msg) Model {
	for _, msg := range msgs {
		s, _ := m.Update(msg)
		m = s.(Model)
	}
	return m
}

// press types keys by their names in key bindings.
func press(m Model, keys ...string) Model {
	for _, k := range keys {
		m = feed(m, named(k))
	}
	return m
}

func named(k string) tea.KeyMsg {
	special := map[string]tea.KeyType{"up": tea.KeyUp, "down": tea.KeyDown, "left": tea.KeyLeft, "right": tea.KeyRight,
		"enter": tea.KeyEnter, "home": tea.KeyHome, "end": tea.KeyEnd, "pgup": tea.KeyPgUp, "pgdown": tea.KeyPgDown}
	if t, ok := special[k]; ok {
		return tea.KeyMsg{Type: t}
	}
	if k == " " {
		return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
}

// answer is what a show would report for a want, at a step it has reached.
func answer(p *prop.Prop, w show.Want, step int) (screen.SnapshotMsg, patterns.Frame) {
	pat, ok := patterns.ByID(w.Pattern)
	if !ok {
		pat = patterns.Black
	}
	s := w.Settings
	s.Pixels, s.Channels = p.Pixels(), p.Chip.Order.Channels()
	at := patterns.Moment{Step: patterns.StepAt(pat, s, step)}
	wanted := pat.Frame(nil, s, at)
	sent := make(patterns.Frame, len(wanted))
	for i, c := range wanted {
		sent[i] = c.Dim(w.Level)
	}
	return screen.SnapshotMsg{Want: w, Wanted: wanted, Sent: sent, Moment: at, Level: w.Level, Amps: 0.5, MaxAmps: 8}, sent
}

func TestKeysTurnTheWant(t *testing.T) {
	for _, row := range []struct {
		name string
		keys []string
		want func(t *testing.T, w show.Want)
	}{
		{"start", nil, func(t *testing.T, w show.Want) {
			assert.Equal(t, "chase", w.Pattern)
			assert.Equal(t, 0.2, w.Level)
		}},
		{"choose", []string{"2"}, func(t *testing.T, w show.Want) {
			assert.Equal(t, "count-up", w.Pattern)
			assert.False(t, w.Auto, "counting waits for the builder")
		}},
		{"steps", []string{"3", "right", "right", "left", "pgdown", "pgdown", "pgup"}, func(t *testing.T, w show.Want) {
			assert.Equal(t, 11, w.Step)
		}},
		{"dot and comma", []string{"3", ".", ".", ","}, func(t *testing.T, w show.Want) { assert.Equal(t, 10, w.Step) }},
		{"last", []string{"3", "end"}, func(t *testing.T, w show.Want) { assert.Equal(t, 143, w.Step) }},
		{"past the last", []string{"3", "end", "right"}, func(t *testing.T, w show.Want) { assert.Equal(t, 143, w.Step) }},
		{"first", []string{"3", "end", "home"}, func(t *testing.T, w show.Want) { assert.Equal(t, 0, w.Step) }},
		{"brighter", []string{"up"}, func(t *testing.T, w show.Want) { assert.Equal(t, 0.25, w.Level) }},
		{"dimmer", []string{"down", "down"}, func(t *testing.T, w show.Want) { assert.Equal(t, 0.12, w.Level) }},
		{"lowest", strings.Fields(strings.Repeat("down ", 40)), func(t *testing.T, w show.Want) { assert.Zero(t, w.Level) }},
		{"one percent", append(strings.Fields(strings.Repeat("down ", 40)), "up"), func(t *testing.T, w show.Want) { assert.Equal(t, 0.01, w.Level) }},
		{"walk", []string{"2", "enter"}, func(t *testing.T, w show.Want) { assert.True(t, w.Auto) }},
		{"walk and hold", []string{"2", "enter", "enter"}, func(t *testing.T, w show.Want) { assert.False(t, w.Auto) }},
		{"faster", []string{"+"}, func(t *testing.T, w show.Want) { assert.Equal(t, 3.0, w.Settings.Speed) }},
		{"slower", []string{"-"}, func(t *testing.T, w show.Want) { assert.Equal(t, 1.0, w.Settings.Speed) }},
		{"other way", []string{"r"}, func(t *testing.T, w show.Want) { assert.True(t, w.Settings.Reverse) }},
		{"colour", []string{"c", "c"}, func(t *testing.T, w show.Want) { assert.Equal(t, patterns.Colour{R: 255}, w.Settings.Colour) }},
		{"dark", []string{"l"}, func(t *testing.T, w show.Want) { assert.Zero(t, w.Level); assert.Empty(t, w.Pattern) }},
		{"dark and light", []string{"l", "l"}, func(t *testing.T, w show.Want) { assert.Equal(t, "chase", w.Pattern) }},
	} {
		t.Run(row.name, func(t *testing.T) {
			m, out := lit(prop.Porthole(), false, 80, 21, termenv.Ascii)
			press(m, row.keys...)
			row.want(t, out.last(t))
		})
	}
}

// Every key that the help page lists does something.
func TestEveryListedKeyIsAnswered(t *testing.T) {
	for _, group := range newKeys().FullHelp() {
		for _, b := range group {
			for _, k := range b.Keys() {
				m, _ := lit(prop.Porthole(), false, 80, 21, termenv.Ascii)
				m = press(m, "3", "right", "right") // so that every way can be gone
				if k == " " {
					m = press(m, "2")
				}
				before := m.View(80, 21)
				after := press(m, k)
				if b.Help().Key == "home" || k == "3" {
					continue // where it stands already
				}
				assert.NotEqual(t, before, after.View(80, 21), "key %q", k)
			}
		}
	}
}

func TestStepsCountFromWhereTheWalkIs(t *testing.T) {
	p := prop.Porthole()
	m, out := lit(p, false, 80, 21, termenv.Ascii)
	m = press(m, "1")
	require.True(t, out.last(t).Auto)
	snap, _ := answer(p, out.last(t), 40)
	m = feed(m, snap)
	assert.Equal(t, 41, m.number())
	serial := out.last(t).Serial
	m = press(m, "right")
	assert.Equal(t, 41, out.last(t).Step)
	assert.False(t, out.last(t).Auto)
	assert.NotEqual(t, serial, out.last(t).Serial, "the show takes a step only with a new serial")
	// A report of the walk that comes late does not move it.
	m = feed(m, snap)
	assert.Equal(t, 42, m.number())
}

func TestMark(t *testing.T) {
	p := prop.Porthole() // rings of 36, 48 and 60
	m, _ := lit(p, false, 120, 37, termenv.Ascii)
	m = press(m, " ")
	assert.Contains(t, m.note, "choose Count up first")
	m = press(m, "2", "pgdown", "pgdown", " ")
	assert.Equal(t, 21, m.mark)
	assert.True(t, m.FarView().Bad, "fewer than planned")
	assert.Equal(t, 20, m.markedPixel(), "the 21st from the data end")
	assert.Contains(t, m.View(120, 37), canvas.Marked+" marked", "the drawing has a sign for it, with its name")
	m.reverse = true
	assert.Equal(t, 123, m.markedPixel(), "the 21st from the far end")
	m.reverse, m.mark = false, 0
	assert.Equal(t, -1, m.markedPixel())
	assert.False(t, m.FarView().Bad, "nothing is marked")
	for _, row := range []struct {
		count   int
		reverse bool
		want    string
	}{
		{144, false, "Marked: all 144 light. Are there dark ones after the last? Then raise the count in Set-up."},
		{36, false, "Marked: 36 of 144 light. It ends between inner ring and middle ring. Power off, then look at the joint's data wire."},
		{40, false, "Marked: 40 of 144 light. Data stops in middle ring between its pixels 4 and 5. Power off, then look at both and the joint between."},
		{1, false, "Marked: 1 of 144 light. Data stops in inner ring between its pixels 1 and 2. Power off, then look at both and the joint between."},
		{20, true, "Marked: 20 of 144, counted from the far end. Count from the data end (r) to find where the data stops."},
	} {
		assert.Equal(t, row.want, marked(p, row.count, row.reverse))
	}
}

func TestNothingIsSetWhileNotShown(t *testing.T) {
	m, out := lit(prop.Porthole(), false, 80, 21, termenv.Ascii)
	m = feed(m, screen.LeaveMsg{})
	n := len(out.wants)
	other := &output{}
	m = feed(m, screen.ReadyMsg{Prop: prop.BuoyLamp(), Out: other})
	assert.Len(t, out.wants, n, "a closed show is not used")
	assert.Empty(t, other.wants)
	feed(m, screen.EnterMsg{})
	assert.Equal(t, 1, other.last(t).Settings.Pixels)
}

func TestViewIsExact(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	keys := []string{"1", "2", "3", "4", "5", "6", "7", "8", "9", "0", "up", "down", "left", "right", "pgdown", "pgup",
		"home", "end", "enter", " ", "+", "-", "r", "c", "v", "l", "x"}
	for _, p := range prop.Demos() {
		for _, size := range [][2]int{{50, 17}, {80, 21}, {120, 37}, {79, 17}, {200, 60}} {
			m, out := lit(p, true, size[0], size[1], termenv.TrueColor)
			s, err := strip.New(p)
			require.NoError(t, err)
			for range 60 {
				m = press(m, keys[r.IntN(len(keys))])
				snap, sent := answer(p, out.last(t), r.IntN(200))
				m = feed(m, snap, screen.LightMsg{Light: s.Shine(sent), Driven: true})
				lines := strings.Split(m.View(size[0], size[1]), "\n")
				require.Len(t, lines, size[1])
				for _, l := range lines {
					require.Equal(t, size[0], ansi.StringWidth(l), "%q", l)
				}
			}
		}
	}
}

func BenchmarkView(b *testing.B) {
	p := prop.Porthole()
	m, out := lit(p, true, 120, 37, termenv.TrueColor)
	m = press(m, "6")
	s, _ := strip.New(p)
	b.ReportAllocs()
	for n := 0; b.Loop(); n++ {
		snap, sent := answer(p, out.wants[len(out.wants)-1], n)
		m = feed(m, snap, screen.LightMsg{Light: s.Shine(sent)})
		_ = m.View(120, 37)
	}
}

// What a page costs in a window of a new size: all its room is worked out anew.
func BenchmarkNewSize(b *testing.B) {
	for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant()} {
		for _, size := range [][2]int{{80, 21}, {120, 37}, {160, 47}, {200, 57}} {
			for _, demo := range []bool{false, true} {
				b.Run(fmt.Sprintf("%s/%dx%d/demo=%v", p.Name, size[0], size[1], demo), func(b *testing.B) {
					m, _ := lit(p, demo, size[0], size[1], termenv.TrueColor)
					for b.Loop() {
						*m.draw = drawings{}
						m.View(size[0], size[1])
					}
				})
			}
		}
	}
}

// Where a roll call counts quicker than counting up, Count up offers it and o
// asks for it; a bulb, a part and other patterns have no use for it.
func TestCountUpOffersTheRollCall(t *testing.T) {
	m, _ := lit(prop.Porthole(), false, 120, 37, termenv.Ascii)
	press := func(m Model, k string) (Model, tea.Cmd) {
		next, cmd := m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)})
		return next.(Model), cmd
	}
	_, cmd := press(m, "o")
	assert.Nil(t, cmd, "a chase does not count")
	m, _ = press(m, "2")
	require.Equal(t, patterns.CountUp.ID, m.pattern().ID)
	assert.Contains(t, m.words(100, 100), "o begins a roll call: 144 pixels in 6 looks.")
	assert.Contains(t, m.View(120, 37), "begins a roll call")
	m, cmd = press(m, "o")
	require.NotNil(t, cmd)
	assert.Equal(t, screen.GoMsg{Name: "Check", Count: true}, cmd())
	part, _ := press(m, "p")
	assert.NotContains(t, part.View(120, 37), "roll call")

	m, _ = lit(prop.BuoyLamp(), false, 120, 37, termenv.Ascii)
	m, _ = press(m, "2")
	assert.NotContains(t, m.View(120, 37), "roll call", "one pixel is counted at a glance")
	_, cmd = press(m, "o")
	assert.Nil(t, cmd)
}

// A bulb is offered the patterns that say something of one pixel, on their keys: the
// others tell pixels apart.
func TestABulbHasThePatternsOfOnePixel(t *testing.T) {
	m, out := lit(prop.BuoyLamp(), true, 120, 37, termenv.Ascii)
	assert.Equal(t, patterns.Colours.ID, out.last(t).Pattern, "each slot in turn comes first")
	keys := m.Keys().ShortHelp()[0].Help().Key
	line := 0
	for i, p := range patterns.All() {
		offered := strings.Contains(m.View(120, 37), fmt.Sprintf("%d %s", (i+1)%10, p.Name))
		assert.Equal(t, p.OnePixel, offered, p.Name)
		m = press(m, "8", fmt.Sprint((i+1)%10))
		assert.Equal(t, offered, m.pattern().ID == p.ID, p.Name)
		assert.Equal(t, !offered, strings.HasPrefix(m.note, "No pattern has that digit here: "+keys), p.Name)
		if offered {
			m = press(m, "7")
			m = feed(m, tea.MouseMsg{X: 3, Y: listTop + line, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
			assert.Equal(t, p.ID, m.pattern().ID, "line %d", line+1)
			line++
		}
	}
	assert.GreaterOrEqual(t, line, 3, "each slot in turn, even light and black at least")
	m = feed(m, screen.ReadyMsg{Prop: prop.Porthole(), Out: out})
	assert.Contains(t, m.View(120, 37), "1 Chase", "another prop has them all")
	for want, pats := range map[string][]patterns.Pattern{
		"2-3": {patterns.Chase, patterns.Colours, patterns.Black}, "1 3": {patterns.Even, patterns.Ruler, patterns.Black}, "1-2": {patterns.Even, patterns.Black},
	} {
		few := feed(New(styles(termenv.Ascii), pats), screen.ReadyMsg{Prop: prop.BuoyLamp(), Out: out})
		assert.Equal(t, want, few.Keys().ShortHelp()[0].Help().Key)
	}
}
