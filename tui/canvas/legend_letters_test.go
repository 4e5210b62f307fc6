package canvas

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where a legend has no room for each letter, the general rule stands for them: none is left out.
func TestNoLetterIsLeftOut(t *testing.T) {
	names := []Name{Named("Simulated, 2 a sign"), {"▶ data in, › its way", "▶ in, › on"}, Named("G green"), {"w half white", "w half"}}
	lines, all := Legend(46, 1, names...)
	require.True(t, all)
	require.Equal(t, []string{"Simulated, 2 a sign  ▶ in, › on  Gw\u00a0lit"}, lines)
	lines, all = Legend(49, 1, names...)
	require.True(t, all)
	require.Equal(t, []string{"Simulated, 2 a sign  ▶ in, › on  G green  w half"}, lines)
}

// Letters have their names where these have room, else the general rules, else one word; the rule of
// small letters says how bright their light is.
func TestLettersByTheRoomThereIs(t *testing.T) {
	names := []Name{Named("G green"), Named("R red"), Named("W white"), {"b faint blue", "b faint"}, {"g dim green", "g dim"}}
	for width, want := range map[int]string{
		60: "G green  R red  W white  b faint blue  g dim green",
		49: "G green  R red  W white  b faint blue  g dim",
		38: "letter=colour  small=faint/dim",
		20: "GRWbg\u00a0lit",
	} {
		lines, all := Legend(width, 1, names...)
		assert.True(t, all, width)
		assert.Equal(t, []string{want}, lines, width)
	}
}

// Lines of a legend are about as long, in as many as it is given where it has so many names; a title stands alone
// where the others need no other form for it.
func TestLinesOfALegend(t *testing.T) {
	title, names := Named("Should show"), []Name{{"▶ data in, › its way", "▶ in, › on"}, Named("R red"), Named("W white")}
	for _, r := range []struct {
		width, rows int
		atMost, in  []string
	}{
		{60, 2, []string{"Should show  ▶ data in, › its way  R red  W white"}, []string{"Should show", "▶ data in, › its way  R red  W white"}},
		{40, 2, []string{"Should show  ▶ data in, › its way", "R red  W white"}, []string{"Should show", "▶ data in, › its way  R red  W white"}},
		{34, 2, []string{"Should show  ▶ data in, › its way", "R red  W white"}, []string{"Should show  ▶ data in, › its way", "R red  W white"}},
		{60, 3, []string{"Should show  ▶ data in, › its way  R red  W white"}, []string{"Should show", "▶ data in, › its way", "R red  W white"}},
		{60, 5, []string{"Should show  ▶ data in, › its way  R red  W white"}, []string{"Should show", "▶ data in, › its way", "R red", "W white"}},
	} {
		lines, all := Legend(r.width, r.rows, append([]Name{title}, names...)...)
		assert.True(t, all)
		assert.Equal(t, r.atMost, lines, "%d wide", r.width)
		lines, all = LegendIn(r.width, r.rows, title, names...)
		assert.True(t, all)
		assert.Equal(t, r.in, lines, "%d wide, %d rows", r.width, r.rows)
	}
}
