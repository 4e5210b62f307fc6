package check

import (
	"fmt"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/underway"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
)

// longLine is a straight line of 680 pixels.
func longLine() *prop.Prop {
	p := prop.Porthole()
	p.Name, p.Feeds = "line", nil
	p.Runs = []prop.Run{{Name: "line", Pixels: 680, Shape: prop.Shape{Kind: prop.Line}}}
	return p
}

func benchModel(b *testing.B, p *prop.Prop) Model {
	m := New(Options{Style: styles(termenv.TrueColor)})
	s, err := checkout.New(p, checkout.Options{})
	if err != nil {
		b.Fatal(err)
	}
	out := &output{}
	for _, msg := range []tea.Msg{tea.WindowSizeMsg{Width: 120, Height: 37}, screen.ReadyMsg{Prop: p, Out: out}, screen.EnterMsg{}} {
		next, _ := m.Update(msg)
		m = next.(Model)
	}
	m, _ = m.restart(underway.Part{})
	next, _ := m.Update(stateMsg{job: m.work.job, st: stateOf(underway.CheckOut{Sub: p, Session: s})})
	return next.(Model)
}

// A page is drawn up to 60 times a second, each time a snapshot came.
func BenchmarkView(b *testing.B) {
	for _, p := range []*prop.Prop{prop.Porthole(), longLine()} {
		b.Run(p.Name, func(b *testing.B) {
			m := benchModel(b, p)
			snap := screen.SnapshotMsg{Level: patterns.StartLevel}
			for b.Loop() {
				next, _ := m.Update(snap)
				m = next.(Model)
				m.View(120, 37)
			}
		})
	}
}

// What a key costs before the engine's command begins: this is all that can
// hold up the next key.
func BenchmarkAnswerKey(b *testing.B) {
	m := benchModel(b, longLine())
	k := named("1")
	for b.Loop() {
		m.Update(k)
	}
}

// What a page costs in a window of a new size: its room is worked out anew.
func BenchmarkNewSize(b *testing.B) {
	rings, _, err := prop.Load("../../testdata/props/fourrings.toml")
	if err != nil {
		b.Fatal(err)
	}
	for _, p := range append(prop.Demos(), longLine(), rings) {
		for _, size := range []tea.WindowSizeMsg{{Width: 100, Height: 30}, {Width: 120, Height: 37}, {Width: 200, Height: 60}} {
			for _, demo := range []bool{false, true} {
				b.Run(fmt.Sprintf("%s/%dx%d/demo=%v", p.Name, size.Width, size.Height, demo), func(b *testing.B) {
					m := benchModel(b, p)
					m.bench.demo = demo
					next, _ := m.Update(size)
					m = next.(Model)
					for b.Loop() {
						*m.draw = drawings{}
						m.View(size.Width, size.Height)
					}
				})
			}
		}
	}
}

// What each size costs while a window is dragged larger and smaller.
func BenchmarkDraggedSize(b *testing.B) {
	m := benchModel(b, prop.Porthole())
	for i := 0; b.Loop(); i++ {
		size := tea.WindowSizeMsg{Width: 100 + i%21, Height: 30 + i/21%7}
		next, _ := m.Update(size)
		m = next.(Model)
		m.View(size.Width, size.Height)
	}
}
