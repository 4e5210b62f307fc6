package checkout

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// A prop whose file was corrected by the finding lights, without any fault,
// just as the faulty one did by the old file: same slots, same light.
func TestCorrectedPlanIsTheFaultyProp(t *testing.T) {
	for _, name := range []string{"porthole", "pennant"} {
		p, doc, err := prop.Parse([]byte(prop.DemoFile(name)), name)
		require.NoError(t, err)
		for _, text := range []string{"count run 2 by -2", "count run 1 by 1", "run-mirrored run 2", "mirrored", "runs-swapped run 1 run 2",
			"slot-shift by 1", "slot-shift by 3", "wrong-order pixel 1 order BRG", "wrong-order pixel 1 order BRGW"} {
			ft, err := strip.ParseFault(text, p)
			if err != nil {
				continue // not a fault of this prop
			}
			found, ok := AsBuilt(p, []strip.Fault{ft})
			require.True(t, ok, text)
			next, err := doc.TakeOver(found)
			require.NoError(t, err, text)
			q := next.Prop()
			was, err := strip.New(p, ft)
			require.NoError(t, err)
			is, err := strip.New(q)
			require.NoError(t, err)

			slots := was.Lay(coloured(p.Pixels())).Slots()
			old, now := was.Light(slots), is.Light(slots)
			for i, run := range runsOf(found, len(p.Runs)) {
				a, b := old[run], now[i]
				if p.Runs[run].Reverse != q.Runs[i].Reverse {
					b = slices.Clone(b) // counted from the other end now
					slices.Reverse(b)
				}
				n := min(len(a), len(b)) // a longer plan drives pixels that had no slots before
				assert.Equal(t, a[:n-1], b[:n-1], "%s: %s, run %d", name, text, run)
			}
		}
	}
}

// runsOf is which old run each new one is.
func runsOf(f prop.Found, n int) []int {
	if len(f.Runs) > 0 {
		return f.Runs
	}
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

func coloured(n int) patterns.Frame {
	f := make(patterns.Frame, n)
	for i := range f {
		f[i] = patterns.Colour{R: uint8(1 + i), G: uint8(200 - i), B: uint8(3 * i), W: uint8(7 * i)}
	}
	return f
}

func TestNoPlanFollowsABrokenJoint(t *testing.T) {
	p := prop.Porthole()
	for _, k := range []strip.Kind{strip.NoSupply, strip.OpenJoint, strip.DeadStop, strip.RailLost, strip.Flicker, strip.Sag, strip.Grouped, strip.WrongAddress} {
		_, ok := AsBuilt(p, []strip.Fault{{Kind: k, Pixel: 5, N: 1}})
		assert.False(t, ok, k)
	}
	_, ok := AsBuilt(p, []strip.Fault{{Kind: strip.WrongOrder, Pixel: 5, Order: "RGB"}})
	assert.False(t, ok, "an order that changes inside the prop")
}
