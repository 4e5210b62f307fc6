package power

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
)

// Readings next to 0 V, by hand, in a prop of three rings with feeds at pixel 1
// and 85: where voltage ends, what to look at, and how likely each is.
func TestWhereVoltageEnds(t *testing.T) {
	p := prop.Porthole() // 36, 48 and 60 pixels
	at := func(pixel int, volts float64) Reading { return Reading{Pixel: pixel - 1, Volts: volts, Level: 0.2} }
	r, none := deadResult(p, []Reading{at(1, 4.9), at(37, 4.8)})
	assert.False(t, none)
	assert.Equal(t, FitTooFew, r.Verdict)
	for volts, want := range map[float64]bool{0.249: true, 0.25: false} {
		assert.Equal(t, want, Dead(p, Reading{Volts: volts}), "%g: a twentieth of 5 V", volts)
	}
	r, _ = deadResult(p, []Reading{at(1, 4.9), at(36, 4.8), at(37, 0), at(84, 0.1), at(85, 4.7)})
	assert.Equal(t, FitNone, r.Verdict)
	assert.Contains(t, r.Text, `No voltage after the joint between "inner ring" and "middle ring", at pixels 37 to 84 (4.80 V before it): look at the joint between "inner ring" and "middle ring", and at the joint between "middle ring" and "outer ring".`)
	require.Len(t, r.Suspects, 2)
	assert.Equal(t, []float64{0.5, 0.5}, []float64{r.Suspects[0].Weight, r.Suspects[1].Weight})
	assert.True(t, r.Suspects[0].Open())
	r, _ = deadResult(p, []Reading{at(1, 0), at(36, 0), at(37, 4.8)})
	assert.Contains(t, r.Text, `No voltage before the joint between "inner ring" and "middle ring", at pixels 1 to 36: look at the joint`)
	assert.Contains(t, r.Text, " with its fuse")
	r, _ = deadResult(p, []Reading{at(37, 4.8), at(40, 0), at(50, 4.8)})
	assert.Contains(t, r.Text, `No voltage at pixel 4 of "middle ring": look at the strip between pixels 1 and 4 of "middle ring", and at the strip between pixels 4 and 14 of "middle ring".`)
	r, _ = deadResult(p, []Reading{at(37, 4.8), at(40, 0), at(50, 4.8), at(100, 0), at(101, 0.2)})
	assert.Equal(t, 2, strings.Count(r.Text, "No voltage "))
	r, _ = deadResult(p, []Reading{at(1, 0), at(40, 0)})
	assert.Contains(t, r.Text, "No voltage arrives: all 2 readings are 0 V.")
	r, _ = deadResult(p, []Reading{at(1, 0.004)})
	assert.Contains(t, r.Text, "the only reading is 0 V.")
	r, _ = deadResult(p, []Reading{at(1, 0.005), at(2, 0.1)})
	assert.Contains(t, r.Text, "are next to 0 V (0.10 V at most).")
	up := func(pixel int, volts, level float64) Reading {
		return Reading{Pixel: pixel - 1, Volts: volts, Level: level}
	}
	r, _ = deadResult(p, []Reading{up(1, 4.9, 0.1), up(1, 0, 0.3), up(9, 4.9, 0.1)})
	assert.Contains(t, r.Text, `The voltage went away: 4.90 V at pixel 1 of "inner ring" at level 10 %, none there at level 30 %.`)
	r, _ = deadResult(p, []Reading{up(1, 4.9, 0.3), up(1, 0, 0.1)})
	assert.Contains(t, r.Text, `The voltage comes and goes: none at pixel 1 of "inner ring" at level 10 %, 4.90 V there at level 30 %.`)
	p.Runs[1].Apart = true
	r, _ = deadResult(p, []Reading{at(36, 4.8), at(37, 0)})
	assert.NotContains(t, r.Text, "the joint between", "plus does not pass there in the plan")
	assert.Empty(t, joints(p, 35, 36))
	assert.True(t, parted(p, 35, 36))
	assert.False(t, parted(p, 36, 50) || parted(p, 0, 35) || parted(p, 83, 84))
	assert.Len(t, joints(p, 83, 84), 1)
	assert.Empty(t, joints(p, 84, 90))
	assert.Empty(t, joints(p, -1, 90))
	lead := &prop.Prop{Supply: prop.Supply{Volts: 5}, Runs: []prop.Run{{Name: "a", Pixels: 9}}}
	r, _ = deadResult(lead, []Reading{at(1, 0), at(9, 4.9)})
	assert.Contains(t, r.Text, "the supply lead with its fuse")
	r, _ = deadResult(lead, []Reading{at(1, 4.9), at(9, 0)})
	assert.NotContains(t, r.Text, "the supply lead")
}

// What joints cost is worked out at the highest level at which supply and copper
// hold; a chip without a lowest voltage may lose a tenth.
func TestWhatIsAllowed(t *testing.T) {
	for lowest, want := range map[float64]float64{4.5: 0.5, 4: 1, 0: 0.5, 5: 0.5, 6: 0.5} {
		p := prop.Porthole()
		p.Chip.MinVolts = lowest
		n, err := NetworkOf(p)
		require.NoError(t, err)
		r := &FitResult{Suspects: []Suspect{{Run: 1, Ohms: 0.3, link: 35}, {Feed: 1, Ohms: 0.2}}}
		require.NoError(t, r.costs(p, n))
		assert.InDelta(t, want, r.Allowed, 1e-12, "lowest %g", lowest)
		assert.GreaterOrEqual(t, r.Level, 0.01)
		if lowest > 4.5 {
			continue
		}
		at, err := Plan(p, r.Level, FullWhite())
		require.NoError(t, err)
		assert.InDelta(t, 0.3*at.Joints[0].Amps, r.Suspects[0].Cost, 1e-6, "ohms times what passes the joint")
		assert.InDelta(t, 0.2*at.Feeds[1].Amps, r.Suspects[1].Cost, 1e-6)
		full := planned(t, p, 1)
		assert.InDelta(t, max(0.01, min(full.SupplyLevel, full.HoldLevel)), r.Level, 1e-6)
	}
}

// Groups of feeds within the limit, as few as can be; cuts lie between the
// groups, at a joint where there is one.
func TestFeedsInGroups(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var single []feedGroup
		limit := 10.0
		for i, a := range rapid.SliceOfN(rapid.IntRange(1, 11), 1, 8).Draw(t, "amps") {
			single = append(single, feedGroup{first: 10 * i, last: 10 * i, amps: float64(a)})
		}
		out := fillGroups(single, limit)
		most := 0.0
		for _, f := range single {
			most = max(most, f.amps)
		}
		if (out == nil) != (most > limit) {
			t.Fatalf("%+v from %+v", out, single)
		}
		// The fewest, by trying: walk on and open a group only when it must be.
		need, now := 1, 0.0
		for _, f := range single {
			if now+f.amps > limit {
				need, now = need+1, 0
			}
			now += f.amps
		}
		if out != nil && len(out) != need {
			t.Fatalf("%d groups, %d do", len(out), need)
		}
		k := 0
		for _, g := range out {
			sum := 0.0
			if g.first != single[k].first {
				t.Fatal("a feed is left out")
			}
			for k < len(single) && single[k].first <= g.last {
				sum += single[k].amps
				k++
			}
			if math.Abs(sum-g.amps) > 1e-9 || sum > limit {
				t.Fatalf("%+v holds %g A", g, sum)
			}
		}
	})
	r := &Report{starts: []int{0, 20, 50}}
	assert.Equal(t, []int{20, 50, 33, 20, 50}, []int{r.startNear(22, 15, 60), r.startNear(48, 15, 60), r.startNear(33, 21, 49), r.startNear(35, 15, 60), r.startNear(36, 15, 60)})
	sums := make([]float64, 101)
	for i := range sums {
		sums[i] = float64(i) / 10
	}
	atJoints, still := (&Report{starts: []int{0, 45}}).cutsBetween([]feedGroup{{first: 0, last: 10, amps: 4.04}, {first: 60, last: 90, amps: 5.96}}, sums)
	assert.Equal(t, []int{40}, still, "4.04 A are drawn by 40 pixels, nearest")
	assert.Equal(t, []int{45}, atJoints)
	_, still = (&Report{starts: []int{0}}).cutsBetween([]feedGroup{{first: 0, last: 10, amps: 4.06}, {first: 60, last: 90, amps: 5.94}}, sums)
	assert.Equal(t, []int{41}, still)
	_, still = (&Report{starts: []int{0}}).cutsBetween([]feedGroup{{first: 0, last: 10, amps: 9}, {first: 60, last: 90, amps: 1}}, sums)
	assert.Equal(t, []int{60}, still, "never behind the next feed")
	_, still = (&Report{starts: []int{0}}).cutsBetween([]feedGroup{{first: 0, last: 10, amps: 0.1}, {first: 60, last: 90, amps: 9.9}}, sums)
	assert.Equal(t, []int{11}, still, "nor before the feed that it follows")
	assert.Equal(t, []float64{0, 1, 3}, sumsOf([]float64{1, 2}))
	n := &Network{Links: make([]Rails, 9), Loops: []Loop{{First: 2, Last: 6}, {First: 7, Last: 9}}}
	cut := cutPlus(n, []int{3})
	for i, l := range cut.Links {
		assert.Equal(t, i == 2, l.Plus == Broken, "link %d", i)
	}
	assert.True(t, cut.Loops[0].Plus == Broken && cut.Loops[1].Plus != Broken)
	for c, want := range map[int]bool{2: false, 3: true, 6: true, 7: false} {
		assert.Equal(t, want, cutPlus(n, []int{c}).Loops[0].Plus == Broken, "a ring cut before its pixel %d", c)
	}
}

// Places near handy ones that are free, and places that are brought apart.
func TestPlacesApart(t *testing.T) {
	handy := []int{0, 10, 20, 30}
	for _, row := range []struct {
		at    int
		taken []int
		want  int
		ok    bool
	}{{4, nil, 0, true}, {5, nil, 10, true}, {6, nil, 10, true}, {10, nil, 10, true}, {10, []int{10}, 20, true}, {11, []int{10}, 20, true}, {9, []int{10, 0}, 20, true}, {99, nil, 30, true}, {-5, nil, 0, true}, {9, []int{0, 10, 20, 30}, 0, false}, {31, []int{30, 20}, 10, true}} {
		got, ok := nearestFree(handy, row.at, row.taken)
		assert.Equal(t, row.ok, ok, "%+v", row)
		if ok {
			assert.Equal(t, row.want, got, "%+v", row)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		in := rapid.SliceOfN(rapid.IntRange(-3, 15), 1, 14).Draw(t, "at")
		out, ok := spaced(append([]int(nil), in...), n)
		if ok != (len(in) <= n) {
			t.Fatalf("%v in %d: %v", in, n, ok)
		}
		for i, a := range out {
			if ok && (a < 0 || a >= n || i > 0 && a <= out[i-1]) {
				t.Fatalf("%v in %d gives %v", in, n, out)
			}
		}
	})
	got, _ := spaced([]int{3, 3, 9}, 20)
	assert.Equal(t, []int{3, 4, 9}, got, "no more is moved than must be")
}

// What a network refuses names the place as people count.
func TestNetworksAreRefusedByPlace(t *testing.T) {
	good := func() *Network {
		return &Network{Volts: 5, Links: make([]Rails, 9), Taps: []Tap{{}, {Pixel: 9}}, Loops: []Loop{{First: 1, Last: 3}, {First: 4, Last: 9}}}
	}
	require.NoError(t, good().Check())
	for want, change := range map[string]func(n *Network){
		"the rails between pixel 4 and 5 have -1 and 0 ohms":              func(n *Network) { n.Links[3].Plus = -1 },
		"the rails between pixel 9 and 10 have 0 and -1 ohms":             func(n *Network) { n.Links[8].Minus = -1 },
		"feed 2 enters at pixel 11, but there are only 10 pixels":         func(n *Network) { n.Taps[1].Pixel = 10 },
		"feed 1 enters at pixel 0,":                                       func(n *Network) { n.Taps[0].Pixel = -1 },
		"the wires of feed 2 have 0 and -2 ohms":                          func(n *Network) { n.Taps[1].Minus = -2 },
		"a closed run from pixel 5 to 11 does not fit 10 pixels":          func(n *Network) { n.Loops[1].Last = 10 },
		"a closed run from pixel 0 to 4 does not fit":                     func(n *Network) { n.Loops[0].First = -1 },
		"a closed run from pixel 10 to 9 does not fit":                    func(n *Network) { n.Loops[1].First, n.Loops[1].Last = 9, 8 },
		"two closed runs share pixel 4: each pixel can lie in one only":   func(n *Network) { n.Loops[1].First = 3 },
		"the closing joint at pixel 4 has 0 and -3 ohms":                  func(n *Network) { n.Loops[0].Minus = -3 },
		"the supply has 0 V: give its voltage, such as 5 or 12":           func(n *Network) { n.Volts = 0 },
		"the supply has +Inf V: give its voltage":                         func(n *Network) { n.Volts = math.Inf(1) },
		"the rails between pixel 1 and 2 have NaN and 0 ohms: resistance": func(n *Network) { n.Links[0].Plus = math.NaN() },
	} {
		n := good()
		change(n)
		assert.ErrorContains(t, n.Check(), want)
	}
	n := good()
	n.Loops[0], n.Loops[1] = n.Loops[1], n.Loops[0]
	assert.NoError(t, n.Check(), "in any order")
	c := n.clone()
	c.Links[0].Plus, c.Taps[0].Pixel, c.Loops[0].First = 7, 7, 7
	assert.Equal(t, []any{0.0, 0, 4}, []any{n.Links[0].Plus, n.Taps[0].Pixel, n.Loops[0].First}, "a clone goes its own way")
	assert.Zero(t, conductance(Broken))
	assert.InDelta(t, 0.5, conductance(2), 1e-12)
	assert.InDelta(t, 1e6, conductance(0), 1e-3)
}

// The grades of a pixel.
func TestGrades(t *testing.T) {
	r := &Report{Pixels: 6, MinVolts: 4.5, supply: 5, starts: []int{0, 3}, Constant: &Solution{Plus: []float64{5, 4.5, 4.49, 4.05, 4.04, 0}, Minus: make([]float64, 6), Dead: 1, Lowest: 0, At: 5}}
	for i, want := range []Grade{GradeHolds, GradeHolds, GradeLow, GradeLow, GradeWeak, GradeDead} {
		assert.Equal(t, want, r.Grade(i), "pixel %d", i+1)
	}
	r.Constant.Dead = 0
	assert.Equal(t, GradeWeak, r.Grade(5), "0 V with a rail that reaches it")
}

// The highest level that holds is where a straight line from dark to full meets
// the chip's lowest voltage: one pixel on a wire, by Ohm's law.
func TestHoldLevelByOhmsLaw(t *testing.T) {
	for _, ohms := range []float64{0.1, 1, 2, 5} {
		l, err := NewLadder(&Network{Volts: 5, Taps: []Tap{{Rails: Rails{ohms, ohms}}}})
		require.NoError(t, err)
		d := Draw{Idle: 0.01, Red: 0.1, Rest: 0.2}
		// 5 V less twice the wire times (0.01 + level x 0.3) A are 4.5 V.
		want := min(1, max(0, (0.5/(2*ohms)-0.01)/0.3))
		assert.InDelta(t, want, l.HoldLevel([]Draw{d}, 4.5), 1e-9, "%g ohms", ohms)
		assert.Zero(t, l.HoldLevel([]Draw{{Idle: 5}}, 4.5))
		sag, err := l.HoldLevelSagging([]Draw{d}, LawOf(prop.Chip{Volts: 5}), 4.5)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, sag, want-1e-3, "what sags draws less")
		sol, err := l.Sagging(nil, []Draw{{0.01, 0.1 * sag, 0.2 * sag}}, LawOf(prop.Chip{Volts: 5}))
		require.NoError(t, err)
		if sag > 0 && sag < 1 {
			assert.InDelta(t, 4.5, sol.Lowest, 0.01)
		}
		c := l.Constant(nil, []float64{0.2})
		assert.InDelta(t, 5-2*ohms*0.2, c.Lowest, 1e-9)
		assert.InDelta(t, 0.2, c.Taps[0].Plus, 1e-9)
		assert.InDelta(t, 0.2, c.Taps[0].Minus, 1e-9)
	}
}

// A run whose plus stands apart has its own feed, but ground goes on: the ground of other runs comes
// back through that feed too where its wire is thicker. The fuse is in plus, so that alone counts for
// it: 60 pixels of 61 mA are 3.66 A, and 3.66 / 0.8 is 4.6 A. The wire is judged by its minus.
func TestAFuseIsJudgedByItsPlus(t *testing.T) {
	for fuse, says := range map[float64]string{5: "", 4: "the 4 A fuse is too small for 3.7 A"} {
		p := prop.Porthole()
		p.Runs[2].Apart = true
		p.Feeds[1].WireMetre, p.Feeds[1].Wire, p.Feeds[1].FuseAmps = 0.3, prop.Wire{AWG: 14}, fuse
		r, err := Plan(p, 1, patterns.Colour{R: 255, G: 255, B: 255})
		require.NoError(t, err)
		c := r.Feeds[1].Check
		assert.InDelta(t, 3.66, c.Plus, 0.01)
		assert.Greater(t, c.Amps, 5.0, "the ground of the others")
		assert.Equal(t, r.Constant.Taps[1].Minus, c.Amps)
		assert.Equal(t, 5.0, c.Size)
		assert.NotEqual(t, Good, c.Wire, "more than a cautious rule allows")
		said := strings.Join(c.Sentences("Feed 2"), " ")
		assert.Equal(t, says == "", c.Fuse != Bad, said)
		assert.Contains(t, said, says)
		assert.Equal(t, says != "", strings.Contains(said, "too small"), said)
		assert.Equal(t, "6.3 A in minus, 3.7 A through the fuse", c.LoadText())
	}
	whole, err := Plan(prop.Porthole(), 1, patterns.Colour{R: 255})
	require.NoError(t, err)
	assert.Equal(t, words.Amps(whole.Feeds[0].Amps), whole.Feeds[0].Check.LoadText())
}
