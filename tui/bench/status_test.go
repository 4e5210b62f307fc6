package bench

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/tui/screen"
)

func TestStatusSaysThatTheStreamHasEnded(t *testing.T) {
	m, _, _ := setup(Options{})
	m = feed(m, enter, screen.ReadyMsg{Prop: prop.BuoyLamp()}, screen.SnapshotMsg{Want: show.Want{Ended: true}})
	assert.Contains(t, m.View(), "The stream has ended")
	m = feed(m, screen.SnapshotMsg{})
	assert.NotContains(t, m.View(), "The stream has ended")
}
