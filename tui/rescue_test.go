//go:build unix

package tui

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/lateness"
	"example.org/ringout/tui/screen"
)

// draftBench is a bench with drafts.
type draftBench struct {
	panicBench
	drafts []screen.Draft
}

func (w draftBench) Drafts() []screen.Draft { return w.drafts }

func TestDraftsAreKept(t *testing.T) {
	dir := t.TempDir()
	path, text := filepath.Join(dir, "porthole.toml"), prop.DemoFile("porthole")
	assert.Empty(t, keepDrafts(draftBench{}, dir), "nothing to keep, nothing to say")
	assert.Empty(t, keepDrafts(panicBench{}, dir))
	taken := filepath.Join(dir, "older")
	require.NoError(t, os.WriteFile(taken, nil, 0o644))
	told := keepDrafts(draftBench{drafts: []screen.Draft{{Path: path, Text: text, Taken: taken}}}, dir)
	assert.Equal(t, "the changes of porthole.toml that were not saved are kept in "+path+".unsaved: ringout "+path+" offers them again", told)
	kept, err := os.ReadFile(path + ".unsaved")
	require.NoError(t, err)
	assert.Equal(t, text, string(kept))
	assert.NoFileExists(t, taken, "the new one goes on from it")

	told = keepDrafts(draftBench{drafts: []screen.Draft{{Path: path, Text: text, Taken: path + ".unsaved"}}}, dir)
	assert.FileExists(t, path+".unsaved", "the same text is not taken away again")
	assert.Contains(t, told, "are kept in "+path+".unsaved")
	record := filepath.Join(dir, "porthole.bench.jsonl")
	assert.Equal(t, "the changes of porthole.bench.jsonl that were not saved are kept in "+record+".unsaved: ringout "+path+" offers them again",
		keepDrafts(draftBench{drafts: []screen.Draft{{Path: record, Prop: path, Text: "a note"}}}, dir))
	assert.Equal(t, "the prop was not saved, and what was not saved is lost: there is no folder to keep it in",
		keepDrafts(draftBench{drafts: []screen.Draft{{Text: text}}}, ""))
}

// A disk that hangs keeps nothing lit, and the program ends.
func TestADiskThatHangsKeepsNothingLit(t *testing.T) {
	d, h := newDesk(t), &hall{}
	go d.read()
	st := newStage(t.Context(), h.connect)
	st.send = func(tea.Msg) {}
	st.Use(prop.Porthole())
	w, _ := h.last(t)
	g := &guard{bench: quitter{}}
	p := tea.NewProgram(g, tea.WithInput(d.slave), tea.WithOutput(d.slave), tea.WithAltScreen(), tea.WithoutSignalHandler())
	ctx, stop := context.WithCancel(t.Context())
	hang := make(chan struct{})
	defer close(hang)
	done := make(chan error, 1)
	go func() {
		_, err := drive(ctx, p, st, func() string { <-hang; return "" })
		done <- err
	}()
	began, late := time.Now(), lateness.Watch(t)
	stop()
	soon(t, func() bool { return w.ends() == 1 }, "dark at once")
	assert.Less(t, time.Since(began), patience+late.Total())
	ended(t, done)
}

// quitter ends at any message.
type quitter struct{}

func (quitter) Init() tea.Cmd                         { return nil }
func (q quitter) Update(tea.Msg) (tea.Model, tea.Cmd) { return q, tea.Quit }
func (quitter) View() string                          { return "" }
