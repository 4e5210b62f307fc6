package plan

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

// The text is in the order of work: cut, drill, solder, feed, address, power.
func TestTheOrderOfTheEvening(t *testing.T) {
	pl, err := For(parse(t, fourRings), 1, power.FullWhite())
	require.NoError(t, err)
	text, at := pl.Text(100), -1
	for _, head := range []string{"\nCut: counts from lengths\n", "\nCut: strip\n", "\nDrill: nested rings\n", "\nPower off, then solder: joint by joint\n", "\nPower off, then feed and fuse\n", "\nAddress\n", "\nPower at level"} {
		next := strings.Index(text, head)
		assert.Greater(t, next, at, head)
		at = next
	}
}

// Every conductor has the number of the joint whose line it stands below.
func TestJointsHaveOneNumber(t *testing.T) {
	for _, p := range prop.Demos() {
		if p.Bulb() { // nothing is soldered
			continue
		}
		pl, err := For(p, 1, power.FullWhite())
		require.NoError(t, err)
		at, conductors := "", 0
		for l := range strings.Lines(pl.Text(120)) {
			if f := strings.Fields(l); len(f) > 1 && f[0] == "-" && strings.HasPrefix(f[1], "J") {
				at = f[1]
			} else if strings.Contains(l, "→") {
				assert.Equal(t, at, fmt.Sprintf("J%d", pl.JSON().Wiring[conductors].Joint), l)
				conductors++
			}
		}
		assert.Equal(t, conductors, len(pl.Wiring), p.Name)
	}
}

// What the wires carry comes first, before anything is cut, where it is less than full level.
func TestThinWiresComeFirst(t *testing.T) {
	p := prop.Porthole()
	text := func() string {
		pl, err := For(p, 1, power.FullWhite())
		require.NoError(t, err)
		return pl.Text(200)
	}
	p.Chip.MinVolts = 3
	assert.NotContains(t, text(), "The wires carry")
	p.Feeds[1].Wire = prop.Wire{AWG: 28}
	first, _, _ := strings.Cut(text(), "\nCut")
	assert.Contains(t, first, "- The wires carry level 41 % in this colour at most. For more, power off and use thicker wire or more feeds.")
	assert.Contains(t, text(), "level 90 % by its amps alone; the wires carry less, level 41 %")
	pl, err := For(p, 1, power.FullWhite())
	require.NoError(t, err)
	j := pl.JSON().Power
	assert.InDelta(t, 41, j.Wires, 1)
	assert.InDelta(t, 41, j.Highest, 1)
	assert.InDelta(t, 90, j.Allowed, 1)
}

// The table has every conductor of every joint once. By hand: three rings have three
// leads of three wires; the first has no plus, which the feeds bring, and the lead to a
// run whose plus rail is apart has none either.
func TestWiringTable(t *testing.T) {
	p := prop.Porthole()
	pl, err := For(p, 1, power.FullWhite())
	require.NoError(t, err)
	require.Len(t, pl.Wiring, 2+3+3)
	assert.Equal(t, LeadConductor{2, "green", "data out of inner ring, pixel 36", "data in of middle ring, pixel 37", 0.6}, pl.Wiring[3])
	assert.Equal(t, "data of the controller", pl.Wiring[0].From)
	assert.Equal(t, 1, pl.JSON().Wiring[0].Joint, "J1 of the text")
	assert.Equal(t, 2, pl.JSON().Version)
	assert.Contains(t, pl.Text(120), "green   data out of inner ring, pixel 36     →  data in of middle ring, pixel 37")
	p.Runs[2].Apart, p.Feeds = true, nil
	p.Chip, _ = prop.ChipByName("APA102")
	pl, err = For(p, 0.1, power.FullWhite())
	require.NoError(t, err)
	require.Len(t, pl.Wiring, 4+4+3)
	assert.Equal(t, "plus of the supply, through its fuse", pl.Wiring[0].From)
	for _, w := range pl.Wiring[8:] {
		assert.NotEqual(t, "red", w.Colour, "plus stays apart")
	}
	assert.Len(t, pl.JSON().Wiring, 11)
	assert.Equal(t, 11, strings.Count(pl.Text(120), "  →  "), "each is printed, the last one too")
}

// The caution stands where the work is: before soldering, and before plus is cut.
func TestPowerOffBeforeTheWork(t *testing.T) {
	p := prop.Porthole()
	pl, err := For(p, 1, power.FullWhite())
	require.NoError(t, err)
	require.NotNil(t, pl.Power.Supplies)
	text := pl.Text(100)
	assert.Contains(t, text, "\nPower off, then solder: joint by joint\n")
	assert.Contains(t, text, "\nSupplies for full level\n  - Power off, cut plus before")
	p.Runs = p.Runs[:1]
	p.Feeds = p.Feeds[:1]
	p.Runs[0].Closed, p.Runs[0].Pixels = true, 200
	pl, err = For(p, 1, power.FullWhite())
	require.NoError(t, err)
	require.NotNil(t, pl.Power.Supplies)
	assert.Contains(t, strings.Join(strings.Fields(pl.Text(100)), " "), "never the data (run 1); with several supplies join ground alone there")
	p.Supply.Amps = 40
	pl, err = For(p, 1, power.FullWhite())
	require.NoError(t, err)
	assert.NotContains(t, pl.Text(100), "ground alone")
}
