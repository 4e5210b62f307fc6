package checkout

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

func TestFlexTest(t *testing.T) {
	f, err := NewFlexTest(prop.Porthole())
	require.NoError(t, err)
	require.Len(t, f.Joints, 3)
	frame := f.Show()(nil, 144, 0)
	assert.Equal(t, HueGreen.Colour(), frame[0])
	assert.Equal(t, HueGreen.Colour(), frame[2], "the joint being bent is marked wider")
	assert.Equal(t, HueWhite.Colour(), frame[3])
	assert.Equal(t, HueBlue.Colour(), frame[35])
	assert.Equal(t, HueGreen.Colour(), frame[36])
	assert.Equal(t, HueWhite.Colour(), frame[37])
	require.NoError(t, f.Mark(Held))
	assert.Equal(t, HueGreen.Colour(), f.Show()(nil, 144, 0)[38])
	require.NoError(t, f.Mark(Flickered))
	assert.Error(t, f.Mark("perhaps"))
	require.NoError(t, f.Mark(Held))
	assert.Error(t, f.Mark(Held))
	fs := f.Findings()
	require.Len(t, fs, 1)
	assert.Contains(t, fs[0].Title, "inner ring and middle ring")
	assert.True(t, f.Back())
	assert.True(t, f.Back())
	require.NoError(t, f.Mark(Held))
	require.Len(t, f.Findings(), 1)
	assert.True(t, f.Findings()[0].Good)
}

// meter plays the voltmeter on a prop with too much resistance before a run.
func TestLoadTestSession(t *testing.T) {
	p := prop.Porthole()
	lt, err := NewLoadTest(p)
	require.NoError(t, err)
	assert.False(t, lt.Undo())
	st, ok := lt.Next()
	require.True(t, ok)
	assert.Error(t, lt.Put(50, st.Level), "ten times the supply")
	require.NoError(t, lt.Put(4.95, st.Level))
	assert.True(t, lt.Undo())
	assert.Empty(t, lt.Readings())
	lt.Skip()
	st2, _ := lt.Next()
	assert.NotEqual(t, st, st2)
	_, most := levels(p)
	for _, s := range lt.Steps() {
		assert.LessOrEqual(t, s.Level, most, "never brighter than the supply carries for hours")
		assert.LessOrEqual(t, float64(p.Pixels())*power.PixelAmps(p.Chip, dim(HueWhite.Colour(), s.Level)), p.Supply.Amps*p.Supply.Continuous*1.02)
	}
	fit, err := lt.Fit()
	require.NoError(t, err)
	assert.Equal(t, power.FitTooFew, fit.Verdict)
	fs, err := lt.Findings()
	require.NoError(t, err)
	assert.False(t, fs[0].Good)
}

func TestBulbOrders(t *testing.T) {
	// Every order a bulb of four or five slots can have, seen by the test's
	// own eyes through the simulated strip.
	for _, name := range []string{"bulb RGBW", "bulb RGBWC"} {
		p := prop.BuoyLamp()
		p.Chip, _ = prop.ChipByName(name)
		planned := p.Chip.Order
		for _, o := range append(orders(planned), planned) {
			var faults []strip.Fault
			if o != planned {
				faults = append(faults, strip.Fault{Kind: strip.WrongOrder, Order: o})
			}
			st, err := strip.New(p, faults...)
			require.NoError(t, err)
			b, err := NewBulbTest(p)
			require.NoError(t, err)
			for b.At() < planned.Slots() {
				step, ok := b.Next()
				require.True(t, ok)
				require.NoError(t, b.Answer(bulbKey(st, step)))
			}
			got, ok := b.Order()
			require.True(t, ok, o)
			assert.Equal(t, o, got)
			for b.At() < b.Steps() {
				require.NoError(t, b.Answer(1))
			}
			require.Len(t, b.Findings(), 1)
			assert.Equal(t, o == planned, b.Findings()[0].Good)
		}
	}
}

// bulbKey is the answer of someone who sees the bulb and knows warm from cool.
func bulbKey(st *strip.Strip, step BulbStep) int {
	c := st.Shine(step.Show(nil, 1, 0))[0][0]
	word := "nothing"
	switch {
	case c.W > 0:
		word = "warm"
	case c.C > 0:
		word = "cool"
	case !c.Dark():
		word = call(c)
	}
	for _, a := range step.Answers {
		if a.Word == word {
			return a.Key
		}
	}
	return NotSure
}

func TestBulbTroubles(t *testing.T) {
	rows := []struct {
		name  string
		keys  []int
		title string
	}{
		{"nothing lights alone", []int{6, 6, 6, 6}, "No slot alone"},
		{"one dead", []int{1, 2, 3, 6}, "1 of 4 slots light nothing"},
		{"double", []int{1, 1, 3, 4}, "Slots 1 and 2 show the same"},
		{"another mode", []int{7, 2, 3, 4}, "Slot 1 does not drive one light"},
		{"order", []int{2, 1, 3, 4}, "as GRBW, not RGBW"},
		{"glows", []int{1, 2, 3, 4, 2}, "not dark at 0"},
		{"jumps", []int{1, 2, 3, 4, 1, 3}, "not smooth"},
		{"holds", []int{1, 2, 3, 4, 1, 1, 2}, "holds its last colour"},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			b, err := NewBulbTest(prop.BuoyLamp())
			require.NoError(t, err)
			for _, k := range r.keys {
				require.NoError(t, b.Answer(k))
			}
			require.NotEmpty(t, b.Findings())
			assert.Contains(t, b.Findings()[0].Title, r.title)
		})
	}
	b, _ := NewBulbTest(prop.BuoyLamp())
	assert.Error(t, b.Answer(9))
	assert.False(t, b.Undo())
	require.NoError(t, b.Answer(NotSure))
	_, ok := b.Order()
	assert.False(t, ok)
	_, err := NewBulbTest(prop.Porthole())
	assert.Error(t, err)
}

func TestBulbRiseIsSlow(t *testing.T) {
	// WCAG 2.3.1: no more than three flashes a second; here one rise takes ten.
	last := uint8(0)
	for at := time.Duration(0); at < riseTime; at += 100 * time.Millisecond {
		v := rise(nil, 1, at)[0].W
		assert.GreaterOrEqual(t, v, last)
		assert.LessOrEqual(t, v-last, uint8(3))
		last = v
	}
}
