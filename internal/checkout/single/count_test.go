package single

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// rollCall is a roll call of a prop of one run of which so many pixels light, in a colour order:
// at gives the channels that red, green and blue light. palette: 0 six colours, 1 three, 2 light
// and dark.
func rollCall(t *testing.T, p *prop.Prop, palette, lit int, at [3]int) *CountTest {
	t.Helper()
	made, err := New(Count, p)
	require.NoError(t, err)
	c := made.(*CountTest)
	for range palette {
		require.NoError(t, c.Answer(Reply{Other: true}))
	}
	for s, more := c.Step(); more; s, more = c.Step() {
		sent := s.Show(nil, p.Pixels(), 0)[lit-1]
		var rgb [3]uint8
		for i, v := range [3]uint8{sent.R, sent.G, sent.B} {
			rgb[at[i]] = v
		}
		seen := patterns.Colour{R: rgb[0], G: rgb[1], B: rgb[2]}
		key := 0
		for _, a := range s.Answers {
			if a.Hue != "" && a.Hue.Colour() == seen || palette == 2 && (a.Text == "my finger is on it" || a.Text == map[bool]string{true: "dark", false: "lit"}[sent.Dark()]) {
				key = a.Key
			}
		}
		require.NotZero(t, key, "%s: %v", s.Question, seen)
		require.NoError(t, c.Answer(Reply{Key: key}))
	}
	return c
}

// line is a prop of one run.
func line(t *testing.T, pixels int) *prop.Prop {
	t.Helper()
	p, _, err := prop.Parse([]byte(prop.Template(prop.Answers{Name: "line"})), "line.toml")
	require.NoError(t, err)
	require.Len(t, p.Runs, 1)
	p.Runs[0].Pixels = pixels
	return p
}

// A roll call counts right in any colour order, at every length; where the order is not the planned
// one it says so, and offers nothing to the plan.
func TestRollCallInAnyColourOrder(t *testing.T) {
	const planned = 60
	p := line(t, planned)
	for _, at := range [][3]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
		asPlanned := at == [3]int{0, 1, 2}
		for _, palette := range []int{0, 1, 2} {
			for lit := 1; lit <= planned; lit++ {
				r, err := rollCall(t, p, palette, lit, at).Result()
				require.NoError(t, err)
				require.Equal(t, lit, r.Number, "order %v, palette %d", at, palette)
				settled := asPlanned || palette == 2
				require.Equal(t, settled && lit == planned, r.Good, "%d lit in order %v", lit, at)
				require.Equal(t, settled && lit < planned, r.Built.Why == "", "%d lit in order %v: %s", lit, at, r.Built.Why)
				require.Equal(t, r.Built.Why == "", r.Built.Doubt != "", "fewer lights may be an open joint")
				if !settled {
					require.Contains(t, r.Lines[len(r.Lines)-1].Text, "not in the planned order")
				}
			}
		}
	}
}

// Where the order was not seen, or pixels differ, there is no count.
func TestRollCallWithoutItsOrder(t *testing.T) {
	p := line(t, 60)
	made, err := New(Count, p)
	require.NoError(t, err)
	c := made.(*CountTest)
	require.NoError(t, c.Answer(Reply{Key: mixedKey}))
	_, more := c.Step()
	assert.False(t, more)
	r, err := c.Result()
	require.NoError(t, err)
	assert.Equal(t, "Colours differ", r.Title)
	assert.False(t, r.Whole || r.Good || r.Built.Why == "")
	require.True(t, c.Undo())
	require.NoError(t, c.Answer(Reply{Key: 0}))
	for s, more := c.Step(); more; s, more = c.Step() {
		sent := s.Show(nil, 60, 0)[59]
		for _, a := range s.Answers {
			if a.Hue != "" && a.Hue.Colour() == sent {
				require.NoError(t, c.Answer(Reply{Key: a.Key}))
				break
			}
		}
	}
	r, err = c.Result()
	require.NoError(t, err)
	assert.Equal(t, "Count not settled", r.Title)
	assert.Zero(t, r.Number)
	assert.Contains(t, r.Lines[0].Text, "The count is 60 if the colours are in the planned order.")
	assert.False(t, r.Whole || r.Good || r.Built.Why == "")

	again := (*RestartError)(nil)
	require.NoError(t, c.begin(checkout.SixColours))
	require.NoError(t, c.Answer(Reply{Key: 1}))
	require.ErrorAs(t, c.Answer(Reply{Key: 1}), &again, "red for red and for green")
}

// A count up to pixels left empty is as planned, and changes no plan.
func TestRollCallUpToEmptyPixels(t *testing.T) {
	p := line(t, 60)
	p.Parts = []prop.Part{{Name: "stub", First: 58, Last: 59, Empty: true}}
	r, err := rollCall(t, p, 0, 58, [3]int{0, 1, 2}).Result()
	require.NoError(t, err)
	assert.True(t, r.Good)
	assert.NotEmpty(t, r.Built.Why)
	assert.Empty(t, r.Here)
}
