package canvas

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Where a legend has no room for each letter, the general rule stands for them: none is left out.
func TestNoLetterIsLeftOut(t *testing.T) {
	names := []Name{Named("Simulated, 2 a mark"), {"▶ data in, › its way", "▶ in, › on"}, Named("G green"), {"w half white", "w half"}}
	lines, all := Legend(46, 1, names...)
	require.True(t, all)
	require.Equal(t, []string{"Simulated, 2 a mark  ▶ in, › on  initials"}, lines)
	lines, all = Legend(48, 1, names...)
	require.True(t, all)
	require.Equal(t, []string{"Simulated, 2 a mark  ▶ in, › on  G green  w half"}, lines)
}
