package cli

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// The demo bench holds one run with its fault, then the whole prop again. A repaired
// fault stays until the prop is connected again.
func TestDemoBenchLaysARunAlone(t *testing.T) {
	p := prop.Porthole()
	faults, err := strip.ParseFaults("count run 2 by -2", p)
	require.NoError(t, err)
	b := &demoBench{whole: p, faults: faults}
	run := *p
	run.Runs, run.Parts, run.Feeds = p.Runs[1:2], nil, nil
	assert.ErrorContains(t, b.lay(&run, 1), "not connected yet")

	moved, node, err := simulate(t.Context(), p, faults)
	require.NoError(t, err)
	defer node.Close()
	assert.Equal(t, "127.0.0.1", moved.Address.Host)
	b.node = node
	sizes := func() (out []int) {
		for _, r := range node.Look().Light {
			out = append(out, len(r))
		}
		return out
	}
	becomes := func(want ...int) {
		t.Helper()
		require.Eventually(t, func() bool { return assert.ObjectsAreEqual(want, sizes()) }, 10*time.Second, 5*time.Millisecond, "%v", sizes())
	}
	becomes(36, 46, 60)
	require.NoError(t, b.lay(&run, 1))
	becomes(46)
	run.Runs = p.Runs[2:]
	require.NoError(t, b.lay(&run, 2))
	becomes(60)
	require.NoError(t, b.lay(p, -1))
	becomes(36, 46, 60)
	b.mend()
	assert.Equal(t, []strip.Fault(nil), b.faults)
	becomes(36, 46, 60)
}
