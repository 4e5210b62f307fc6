package screen

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWaitingIsSaidBeforeTheWorkIsDone(t *testing.T) {
	free := make(chan struct{})
	cmds, ok := Waiting(func(waits func()) tea.Msg {
		waits()
		waits()
		<-free
		return "done"
	}, "waits")().(tea.BatchMsg)
	require.True(t, ok)
	require.Len(t, cmds, 2)
	end := make(chan tea.Msg)
	go func() { end <- cmds[0]() }()
	assert.Equal(t, "waits", cmds[1](), "while the work goes on")
	close(free)
	assert.Equal(t, "done", <-end)
}

func TestNothingIsSaidOfWorkThatNeverWaits(t *testing.T) {
	cmds := Waiting(func(func()) tea.Msg { return "done" }, "waits")().(tea.BatchMsg)
	assert.Equal(t, "done", cmds[0]())
	assert.Nil(t, cmds[1]())
}
