package prop

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTakeOver(t *testing.T) {
	d := open(t, DemoFile("porthole"))
	next, err := d.TakeOver(Found{
		Order:   "RGB",
		Slot:    4,
		Pixels:  map[int]int{0: 35, 2: 61},
		Reverse: map[int]bool{1: true},
		Runs:    []int{0, 2, 1},
	})
	require.NoError(t, err)
	assert.Equal(t, DemoFile("porthole"), d.Text(), "the document itself stays")
	p := next.Prop()
	var got []string
	for _, r := range p.Runs {
		got = append(got, r.Name+" "+r.Travel())
	}
	assert.Equal(t, []string{"inner ring clockwise", "outer ring clockwise", "middle ring counter-clockwise"}, got)
	assert.Equal(t, []int{35, 61, 48}, []int{p.Runs[0].Pixels, p.Runs[1].Pixels, p.Runs[2].Pixels})
	assert.Equal(t, Order("RGB"), p.Chip.Order)
	assert.Equal(t, 3, p.Address.Slot)
	assert.Equal(t, 35, p.Feeds[1].Pixel, "the second feed stays with the outer ring")
	// By hand: slot 4, 35 + 61 + 48 = 144 pixels of 3 slots end at slot 435.
	rows, err := RowsFor(p)
	require.NoError(t, err)
	assert.Equal(t, 435, rows[2].LastSlot)
	assert.Equal(t, comments(DemoFile("porthole"))[0], comments(next.Text())[0])
	assert.Len(t, comments(next.Text()), len(comments(d.Text())))
}

func TestTakeOverIsAllOrNothing(t *testing.T) {
	d := open(t, notes)
	_, err := d.TakeOver(Found{Order: "RGB", Runs: []int{1, 0}})
	assert.EqualError(t, err, `t.toml line 29: part "all but one" spans runs that come apart: change or remove it by hand first`)
	_, err = d.TakeOver(Found{Pixels: map[int]int{7: 3}})
	assert.EqualError(t, err, "t.toml: there is no run 8: it has 2")
	assert.Equal(t, notes, d.Text())
	same, err := d.TakeOver(Found{})
	require.NoError(t, err)
	assert.Equal(t, d.Text(), same.Text())
}
