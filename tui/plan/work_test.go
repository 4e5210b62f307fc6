package plan

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/screen"
)

// Keys while a plan is worked out start no second one; when it is done, one
// more is, with the newest figures.
func TestOnePlanAtATimeAndTheNewestWins(t *testing.T) {
	b := porthole(t)
	first := b.give(named("-"))
	require.NotNil(t, first)
	for range 5 {
		assert.Nil(t, b.give(named("-")), "one is being worked out")
	}
	assert.Contains(t, b.view(), "working")
	was := b.works
	b.run(first)
	assert.Equal(t, was+2, b.works)
	assert.InDelta(t, b.m.level, b.m.plan.Power.Level, 1e-12)
	assert.NotContains(t, b.view(), "working")
}

func TestTheLightGetsThePropOnceFiguresRest(t *testing.T) {
	b := porthole(t)
	assert.Empty(t, b.used, "the same prop is connected already")
	b.edit("run", 0, "pixels", "40")
	require.Len(t, b.used, 1)
	assert.Equal(t, 148, b.used[0].Pixels())

	b.edit("run", 0, "pixels", "41")
	assert.Len(t, b.used, 1, "the bench is still at the first")
	b.feed(screen.ReadyMsg{Prop: b.used[0], Path: b.m.path})
	require.Len(t, b.used, 2)
	assert.Equal(t, 149, b.used[1].Pixels())
	b.feed(screen.ReadyMsg{Prop: b.used[1], Path: b.m.path})
	b.feed(screen.LeaveMsg{})
	assert.Len(t, b.used, 2)
	assert.Len(t, b.m.undo, 2, "its own props are not taken for another's")
}

func TestLeavingAcceptsWhatIsTyped(t *testing.T) {
	b := porthole(t)
	b.to("run", 0, "pixels")
	b.press("enter", "ctrl+u")
	b.write("38")
	b.feed(screen.LeaveMsg{})
	assert.False(t, b.m.Typing())
	require.NotEmpty(t, b.used)
	assert.Equal(t, 146, b.used[len(b.used)-1].Pixels())

	b.feed(screen.ReadyMsg{Prop: b.used[len(b.used)-1], Path: b.m.path})
	b.to("run", 0, "pixels")
	b.press("enter", "ctrl+u")
	b.write("none")
	b.feed(screen.LeaveMsg{})
	assert.True(t, b.m.Typing(), "what is refused waits for one's return")
	assert.Equal(t, "none", b.m.entry.String())
}

// A prop that cannot be connected is not asked for again and again, but the
// next change is.
func TestTrouble(t *testing.T) {
	b := porthole(t)
	b.edit("address", 0, "universe", "9")
	require.Len(t, b.used, 1)
	b.feed(screen.TroubleMsg{Err: assert.AnError}, screen.LeaveMsg{})
	assert.Len(t, b.used, 1)
	b.edit("address", 0, "universe", "10")
	assert.Len(t, b.used, 2)
}

func TestSetUpChangesTheSameFile(t *testing.T) {
	b := porthole(t)
	q := *b.m.doc.Prop()
	q.Address.Host, q.Address.Universe, q.Address.Slot, q.Supply.Amps = "10.0.0.7", 12, 30, 15
	was := b.m.doc.Text()
	b.feed(screen.ReadyMsg{Prop: &q, Path: "porthole.toml"})
	out, in := changed(was, b.m.doc.Text())
	assert.Len(t, out, 4)
	assert.Equal(t, []string{`amps       = "15 A" # as on its plate`, `host     = "10.0.0.7" # a name, an address or "multicast"`,
		`universe = 12`, `slot     = 31           # of the first pixel`}, in)
	assert.Empty(t, b.used, "it is connected")
	assert.Equal(t, "porthole.toml", b.m.Unsaved())
}

// The simulated prop listens at an address of its own, which is no figure.
func TestTheDemosAddressStaysOut(t *testing.T) {
	b := open(t, prop.DemoFile("porthole"), "", 120, 37, termenv.Ascii)
	was := b.m.doc.Text()
	q := *b.m.doc.Prop()
	q.Address.Host, q.Address.Port = "127.0.0.1", 40123
	b.feed(screen.ReadyMsg{Prop: &q, Demo: true})
	assert.Equal(t, was, b.m.doc.Text())
	q.Address.Universe = 3
	b.feed(screen.ReadyMsg{Prop: &q, Demo: true})
	_, in := changed(was, b.m.doc.Text())
	assert.Equal(t, []string{"universe = 3"}, in)
	assert.Empty(t, b.used)
}

func TestAnotherStripFromSetUp(t *testing.T) {
	b := porthole(t)
	b.edit("supply", 0, "amps", "12 A")
	edited := b.m.doc.Text()
	strip := prop.BuoyLamp()
	strip.Name, strip.Runs[0].Pixels = "Strip", 60
	b.feed(screen.ReadyMsg{Prop: strip})
	assert.Equal(t, strip, b.m.doc.Prop())
	assert.Empty(t, b.m.path, "it is not to be written over the Porthole")
	assert.Empty(t, b.m.Unsaved())
	b.press("u")
	assert.Equal(t, edited, b.m.doc.Text(), "nothing is lost")
	assert.Equal(t, "porthole.toml", b.m.path)
	assert.Equal(t, "porthole.toml", b.m.Unsaved())
}

func TestAPropWithoutAFile(t *testing.T) {
	m := New(Options{Style: styles(termenv.Ascii)})
	b := &bench{t: t, m: m}
	b.feed(tea.WindowSizeMsg{Width: 80, Height: 21})
	b.press("enter", "a", "s", "down", "u", "v", "c")
	assert.Contains(t, b.view(), "This page plans a prop")
	p := prop.Porthole()
	b.feed(screen.ReadyMsg{Prop: p})
	assert.Equal(t, p, b.m.doc.Prop())
	assert.Empty(t, b.m.Unsaved())
	assert.Empty(t, b.used)
	require.NotNil(t, b.m.plan)
	assert.Contains(t, b.view(), "Not in a file yet")
}

// The check-out writes the file and connects what it wrote.
func TestAFileWrittenByTheCheckOut(t *testing.T) {
	for _, unsaved := range []bool{false, true} {
		b, path := inFile(t)
		if unsaved {
			b.edit("supply", 0, "amps", "12 A")
			b.feed(screen.ReadyMsg{Prop: b.m.asked, Path: path})
		}
		before := b.m.doc.Text()
		_, d, err := prop.Load(path)
		require.NoError(t, err)
		require.NoError(t, d.Set(prop.Where{Table: "strip", Key: "order"}, "RGB"))
		require.NoError(t, d.SetPixels(0, 30))
		require.NoError(t, d.Save(path))
		b.feed(screen.ReadyMsg{Prop: d.Prop(), Path: path})
		assert.Equal(t, d.Text(), b.m.doc.Text())
		assert.Empty(t, b.m.Unsaved())
		assert.Equal(t, unsaved, b.m.note != "")
		b.press("u")
		assert.Equal(t, before, b.m.doc.Text())
		assert.Equal(t, "porthole.toml", b.m.Unsaved())
	}
}

// A file that came without its text is read.
func TestAPathAlone(t *testing.T) {
	_, path := inFile(t)
	b := &bench{t: t, m: New(Options{Style: styles(termenv.Ascii), Path: path})}
	p, d, err := prop.Load(path)
	require.NoError(t, err)
	b.feed(tea.WindowSizeMsg{Width: 80, Height: 21}, screen.ReadyMsg{Prop: p, Path: path})
	assert.Equal(t, d.Text(), b.m.doc.Text())
	assert.Contains(t, b.view(), "porthole.toml")
	assert.NotNil(t, b.m.plan)
}
