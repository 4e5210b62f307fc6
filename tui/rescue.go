package tui

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// keepDrafts writes unsaved changes to disk when the program ends without a question,
// and returns a sentence with the place; empty when there are none.
func keepDrafts(m tea.Model, folder string) string {
	b, ok := m.(interface{ Drafts() []screen.Draft })
	if !ok {
		return ""
	}
	var saved []string
	for _, d := range b.Drafts() {
		saved = append(saved, keepDraft(d, folder))
	}
	return strings.Join(saved, "; ")
}

// onlyOnce calls f the first time only: the end must not wait twice for a disk that
// hangs.
func onlyOnce(f func() string) func() string {
	var tried atomic.Bool
	return func() string {
		if tried.Swap(true) {
			return ""
		}
		return f()
	}
}

func keepDraft(d screen.Draft, folder string) string {
	name, open := "the prop", "ringout"
	if d.Path != "" {
		name, open = style.Clean(filepath.Base(d.Path)), "ringout "+style.Clean(d.Path)
	}
	if d.Prop != "" {
		open = "ringout " + style.Clean(d.Prop)
	}
	file, err := prop.KeepUnsaved(d.Path, folder, d.Text)
	if err != nil {
		return fmt.Sprintf("%s was not saved, and %v", name, err)
	}
	if d.Taken != "" && d.Taken != file {
		os.Remove(d.Taken) // the new file replaces it
	}
	return fmt.Sprintf("the changes of %s that were not saved are kept in %s: %s offers them again", name, style.Clean(file), open)
}
