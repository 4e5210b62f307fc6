package check

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/record"
	"example.org/ringout/tui/screen"
)

func TestLeavingAsksAboutAnUnrecordedCheckOut(t *testing.T) {
	var k screen.Keeper = Model{}
	assert.Empty(t, k.Unsaved())
	m := Model{rec: recording{pending: []record.Entry{{}}}}
	assert.Equal(t, "the bench record", m.Unsaved())
	m.bench.demo = true
	assert.Empty(t, m.Unsaved(), "a simulated prop has nothing to lose")
	m.bench.path = "lantern.toml"
	assert.Equal(t, "the bench record", m.Unsaved())
}
