package record

import (
	"fmt"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/tui/screen"
)

// Pages are drawn with every frame of light, however long the record is.
func BenchmarkView(b *testing.B) {
	var h record.History
	for i := range 10_000 {
		h.Entries = append(h.Entries, record.Entry{Kind: "check-out", At: evening.Add(time.Duration(i) * time.Hour), Prop: "Porthole",
			Verdict: record.Pass, PropFile: prop.DemoFile("porthole") + fmt.Sprint("# ", i), Notes: "a note"})
	}
	for _, page := range []string{"list", "c", "enter"} {
		b.Run(page, func(b *testing.B) {
			m := New(Options{Style: styles(termenv.TrueColor), Now: func() time.Time { return evening }})
			for _, msg := range []tea.Msg{tea.WindowSizeMsg{Width: 120, Height: 37}, screen.ReadyMsg{Prop: prop.Porthole(), Path: "p.toml"}, readMsg{job: 1, history: h}, named(page)} {
				s, _ := m.Update(msg)
				m = s.(Model)
			}
			b.ReportAllocs()
			for b.Loop() {
				_ = m.View(120, 37)
			}
		})
	}
}
