package check

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/tui/screen"
)

func TestLeavingAsksAboutAnUnrecordedCheckOut(t *testing.T) {
	var k screen.Editor = Model{}
	assert.Empty(t, k.Unsaved())
	m := Model{rec: recording{pending: []record.Entry{{}}}}
	assert.Equal(t, "the bench record", m.Unsaved())
	m.bench.demo = true
	assert.Empty(t, m.Unsaved(), "a simulated prop has nothing to lose")
	m.bench.path = "lantern.toml"
	assert.Equal(t, "the bench record", m.Unsaved())
}

// A record that another program holds is named as long as it is waited for, and
// what waits for it is not left behind unasked.
func TestHeldRecordIsNamed(t *testing.T) {
	e := begin(t, Options{}, prop.Porthole(), "")
	e.feed(heldMsg("porthole.record"))
	assert.NotContains(t, sayRecord(e.m), "Waiting", "nothing is being written")
	e.m.rec.busy = true
	e.feed(heldMsg("porthole.record"))
	assert.Equal(t, "Waiting for porthole.record, which another program holds: it is recorded once that lets go.", sayRecord(e.m))
	e.m.bench.path = "porthole.toml"
	assert.Equal(t, "the bench record", e.m.Unsaved())
	e.feed(recordedMsg{desk: e.m.desk, path: "porthole.record"})
	assert.Equal(t, "Recorded in porthole.record.", sayRecord(e.m))
	assert.Empty(t, e.m.Unsaved())
}
