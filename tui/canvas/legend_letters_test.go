package canvas

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where a legend has no room for each letter, the general rule stands for them: none is left out.
func TestNoLetterIsLeftOut(t *testing.T) {
	names := []Name{Named("Simulated, 2 a mark"), {"▶ data in, › its way", "▶ in, › on"}, Named("G green"), {"w half white", "w half"}}
	lines, all := Legend(46, 1, names...)
	require.True(t, all)
	require.Equal(t, []string{"Simulated, 2 a mark  ▶ in, › on  letter=colour"}, lines)
	lines, all = Legend(48, 1, names...)
	require.True(t, all)
	require.Equal(t, []string{"Simulated, 2 a mark  ▶ in, › on  G green  w half"}, lines)
}

// The general rule of one drawing explains the letters of the other.
func TestTheRuleOfOneDrawingHoldsForBoth(t *testing.T) {
	green := Named("G green")
	assert.Equal(t, []Name{DarkName, initials, smallDim}, Union([]Name{DarkName, initials, smallDim}, []Name{DarkName, green}))
	assert.Equal(t, []Name{DarkName, green}, Union([]Name{DarkName, green}, []Name{green}))
}
