package eyes

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestPlacesAreToldAsStretches(t *testing.T) {
	s := sceneOf(t, 10, 3)
	s.Order = "GRB"
	s.Runs = []Run{{"row", make([]Point, 10)}}
	place := func(pixel int, order string) Place {
		return Place{State: Read, Reading: Reading{Slot: 3 * (pixel - 1), Chip: 3, Order: order, Strength: [4]float64{1, 1, 1}}}
	}
	places := []Place{place(1, "GRB"), place(2, "GRB"), place(3, "GR."), {State: Dark}, {State: Unread}, {State: Stuck},
		place(10, "GRB"), place(9, "GRB"), place(8, "BGR"), {State: Read, Reading: Reading{Slot: 4, Chip: 4, Order: "GRBW", Strength: [4]float64{0.3}}}}
	var lines []string
	for _, st := range AsBuilt(s, places) {
		lines = append(lines, s.Text(st))
	}
	require.Equal(t, []string{
		"row, places 1 to 2: as planned",
		"row, place 3: as planned, but blue does not show",
		"row, place 4: dark",
		"row, place 5: unread",
		"row, place 6: lit though black is sent",
		"row, places 7 to 8: shows the data of pixel 10 to pixel 9, against the plan's direction",
		"row, place 9: shows the data of pixel 8, colour order BGR where GRB was planned",
		"row, place 10: shows the data of pixel 2 from its slot 2 on, 4 slots a pixel where 3 were planned, colour order GRBW where GRB was planned, 0.3 times as bright as most",
	}, lines)
	require.Equal(t, map[Verdict]int{Right: 2, Lost: 1, NoLight: 1, Unknown: 1, Always: 1, Other: 4}, s.Counts(places))
	s.Empty = make([]bool, 10)
	s.Empty[3] = true
	require.Equal(t, Nothing, s.Verdict(3, places[3]))
}
