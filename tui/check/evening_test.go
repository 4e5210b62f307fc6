package check

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/testkit/checkouttest"
	"example.org/ringout/internal/underway"
	"example.org/ringout/patterns"
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
	if os.Getenv("RINGOUT_CAPTURES") != "" { // pictures are of the ground that was asked for
		if p == termenv.Ascii {
			return style.NoColour()
		}
		return style.On(r, style.GroundOf(os.Getenv))
	}
	return style.On(r, style.AnyGround)
}

// An evening is the screen with a prop on the bench and someone who answers.
type evening struct {
	t    *testing.T
	m    Model
	out  *output
	asks []tea.Msg // messages for the bench
	real *strip.Strip
	eyes checkouttest.Eyes
}

var then = time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)

// at the bench with a prop that has these faults. path may be empty.
func begin(t *testing.T, o Options, p *prop.Prop, path string, faults ...strip.Fault) *evening {
	t.Helper()
	if o.Style.Depth == style.Letters && o.Style.Strong.Render("x") == "x" { // none, or plain
		o.Style = styles(termenv.Ascii)
	}
	o.Now = func() time.Time { return then }
	underway.ReleaseAll() // as at the end of the process before
	real, err := strip.New(p, faults...)
	require.NoError(t, err)
	e := &evening{t: t, m: New(o), out: &output{}, real: real}
	e.feed(tea.WindowSizeMsg{Width: 80, Height: 21}, screen.ReadyMsg{Prop: p, Out: e.out, Path: path, Demo: path == ""}, screen.EnterMsg{})
	return e
}

// on reports whether a page is shown.
func on[P page](m Model) bool {
	_, is := m.page.(P)
	return is
}

// feed gives the screen messages and runs what it asks for.
func (e *evening) feed(msgs ...tea.Msg) {
	for _, msg := range msgs {
		s, cmd := e.m.Update(msg)
		e.m = s.(Model)
		e.run(cmd)
	}
}

func (e *evening) run(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	switch msg := cmd().(type) {
	case nil:
	case tea.BatchMsg:
		for _, c := range msg {
			e.run(c)
		}
	case screen.UseMsg, screen.GoMsg:
		e.asks = append(e.asks, msg)
	default:
		e.feed(msg)
	}
}

// press types keys by their names in key bindings.
func (e *evening) press(keys ...string) {
	for _, k := range keys {
		e.feed(named(k))
	}
}

func named(k string) tea.KeyMsg {
	special := map[string]tea.KeyType{"up": tea.KeyUp, "down": tea.KeyDown, "left": tea.KeyLeft, "enter": tea.KeyEnter,
		"esc": tea.KeyEsc, "pgup": tea.KeyPgUp, "pgdown": tea.KeyPgDown, "backspace": tea.KeyBackspace, "ctrl+u": tea.KeyCtrlU}
	if t, ok := special[k]; ok {
		return tea.KeyMsg{Type: t}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
}

// light is what the prop shows of the last want, by the way of the show:
// frame, level, slots.
func (e *evening) light() [][]byte {
	w := e.out.last(e.t)
	var f patterns.Frame
	if w.Frames != nil {
		f = w.Frames(nil, e.real.Prop().Pixels(), 0)
		f = f[min(e.m.of.first, len(f)):] // real is the part alone
	}
	for i, c := range f {
		for ch := range patterns.Channel(patterns.NumChannels) {
			f[i] = f[i].With(ch, uint8(math.Round(float64(c.Get(ch))*w.Level)))
		}
	}
	return e.real.Lay(f).Slots()
}

// answer looks at the prop and presses the digit of what it sees.
func (e *evening) answer() string {
	p := e.m.st.probe
	text, err := json.Marshal(p.Spec)
	require.NoError(e.t, err)
	var q checkouttest.Question
	require.NoError(e.t, json.Unmarshal(text, &q))
	var sizes []int
	for _, r := range e.m.of.sub.Runs {
		sizes = append(sizes, r.Pixels)
	}
	var words []string
	for _, a := range p.Answers {
		words = append(words, a.Sees.String())
	}
	e.eyes.Watch(e.real, e.light())
	key := "0"
	if n := e.eyes.Choose(q, sizes, words); n > 0 {
		key = p.Answers[n-1].Press
	}
	e.press(key)
	return key
}

// through answers until the findings are shown.
func (e *evening) through() {
	e.t.Helper()
	for n := 0; on[questionPage](e.m); n++ {
		require.Less(e.t, n, 60, "the check-out does not end")
		e.answer()
	}
	require.IsType(e.t, findingPage{}, e.m.page)
}

// text is the page without colours, its lines joined by spaces.
func (e *evening) text() string {
	return strings.Join(strings.Fields(ansi.Strip(e.m.View(e.m.size.Width, e.m.size.Height))), " ")
}

// findings is the whole text of the findings, without drawing and scrolling.
func (e *evening) findings() string {
	return strings.Join(strings.Fields(ansi.Strip(strings.Join(findingPage{}.text(e.m, 100), " "))), " ")
}

// onDisk writes a demo prop's file and reads it.
func onDisk(t *testing.T, name string) (*prop.Prop, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), name+".toml")
	require.NoError(t, os.WriteFile(path, []byte(prop.DemoFile(name)), 0o644))
	p, _, err := prop.Load(path)
	require.NoError(t, err)
	return p, path
}

// randomKey is any key, click or size.
func randomKey(r *rand.Rand) tea.Msg {
	switch r.IntN(30) {
	case 0:
		return tea.WindowSizeMsg{Width: 50 + r.IntN(90), Height: 17 + r.IntN(30)}
	case 1, 2:
		return tea.MouseMsg{X: r.IntN(120), Y: r.IntN(40), Action: tea.MouseActionPress, Button: tea.MouseButton(r.IntN(6))}
	}
	special := []tea.KeyType{tea.KeyEnter, tea.KeyUp, tea.KeyDown, tea.KeyLeft, tea.KeyRight, tea.KeyPgDown, tea.KeyPgUp,
		tea.KeyBackspace, tea.KeyEsc, tea.KeyCtrlU, tea.KeyHome}
	if n := r.IntN(3 * len(special)); n < len(special) {
		return tea.KeyMsg{Type: special[n]}
	}
	all := []rune("0123456789123456+-=bcxmpwnvdttt äß\x1b\x00/")
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{all[r.IntN(len(all))]}}
}

func faultOf(t *testing.T, p *prop.Prop, text string) strip.Fault {
	t.Helper()
	f, err := strip.ParseFault(text, p)
	require.NoError(t, err)
	return f
}
