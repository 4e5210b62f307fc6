package bench

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
)

func refused() screen.SnapshotMsg {
	return screen.SnapshotMsg{Links: []link.Status{{State: link.Refused, Target: link.Target{Host: "127.0.0.1"}}}}
}

// Where the prop should be on this machine and no program listens there. V puts a
// simulated one there, and takes it away again. Nothing that is found meanwhile
// belongs to the file.
func TestSimulatedPropWhereNobodyListens(t *testing.T) {
	var turned []bool
	p := prop.Porthole() // its host is 127.0.0.1
	m, _, st := setup(Options{Prop: p, Path: "porthole.toml", Simulate: func(on bool) { turned = append(turned, on) }})
	m = feed(m, enter, screen.ReadyMsg{Prop: p}, refused())
	assert.Contains(t, m.View(), "No prop listens at 127.0.0.1. I simulates it here.")
	assert.Contains(t, feed(m, letter("?")).View(), "simulate the prop")

	m, cmd := feedCmd(m, letter("I"))
	require.NotNil(t, cmd)
	assert.Equal(t, []bool{true}, turned)
	cmd()
	assert.Equal(t, []*prop.Prop{p}, st.used)
	m = feed(m, screen.ReadyMsg{Prop: p, Demo: true})
	assert.Empty(t, m.status.ready.Path)
	assert.Contains(t, m.View(), "Porthole, simulated")
	m = feed(m, screen.UseMsg{Prop: p, Path: "porthole.toml"}, screen.ReadyMsg{Prop: p, Demo: true})
	assert.Empty(t, m.status.ready.Path, "also after a new set-up")

	m = feed(m, letter("I"), screen.ReadyMsg{Prop: p})
	assert.Equal(t, []bool{true, false}, turned)
	assert.Equal(t, "porthole.toml", m.status.ready.Path)
}

func TestNoSimulatedPropWhereOneMayBe(t *testing.T) {
	far := *prop.Porthole()
	far.Address.Host = "192.0.2.7"
	for name, row := range map[string]struct {
		ready screen.ReadyMsg
		snap  screen.SnapshotMsg
		can   func(bool)
	}{
		"another machine":    {screen.ReadyMsg{Prop: &far}, refused(), func(bool) {}},
		"a prop listens":     {screen.ReadyMsg{Prop: prop.Porthole()}, screen.SnapshotMsg{Links: []link.Status{{State: link.Sending}}}, func(bool) {}},
		"the demo":           {screen.ReadyMsg{Prop: prop.Porthole(), Demo: true}, refused(), func(bool) {}},
		"nothing to do with": {screen.ReadyMsg{Prop: prop.Porthole()}, refused(), nil},
	} {
		m, got, _ := setup(Options{Simulate: row.can})
		m = feed(m, enter, row.ready, row.snap)
		assert.NotContains(t, m.View(), "I simulates", name)
		assert.NotContains(t, feed(m, letter("?")).View(), "simulate the prop", name)
		*got = nil
		feed(m, letter("I"))
		assert.Equal(t, []string{"One tea.KeyMsg"}, *got, name)
	}
}
