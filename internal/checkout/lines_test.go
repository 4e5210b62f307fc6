package checkout

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// Every answer that led to a finding is a line of its own: the number of its
// question from 1, the question, that it was asked once more, and the answer.
func TestLinesOfAnswers(t *testing.T) {
	again, unsure, family := 0, 0, 0
	for seed := range uint64(6) {
		s := guesser(t, ringProp("small", 4, 3), seed, Options{Most: 12}, func(s *Session) {
			if s.next == nil {
				return
			}
			pr, _ := s.Next()
			require.Equal(t, len(s.steps)+1, pr.ID)
			switch at := "narrows down where (" + s.next.spec.family + "); "; {
			case s.next.why != "":
				require.Equal(t, s.next.why, pr.Why)
			case s.next.spec.family != "":
				family++
				require.Equal(t, at+fmt.Sprintf("settles about %.1f of the yes-or-no questions still open", s.next.bits), pr.Why)
			default:
				require.Equal(t, fmt.Sprintf("settles about %.1f of the yes-or-no questions still open", s.next.bits), pr.Why)
			}
		})
		var want []string
		for _, a := range s.Asked() {
			if a.Given == NotSure {
				unsure++
				continue
			}
			const once = "Once more, since the answer did not fit the others: "
			q, more := strings.CutPrefix(a.Question, once)
			if more {
				again++
				q += " (asked once more)"
			}
			want = append(want, fmt.Sprintf("%d. %s %s", a.ID, q, a.Text()))
		}
		require.Equal(t, want, s.Findings()[0].Because)
	}
	assert.NotZero(t, again)
	assert.NotZero(t, unsure)
	assert.NotZero(t, family)
}

// What is still open in answers: Shannon's entropy of all that is known, over
// the 1.7 bits that an answer tells, as far as the prop is not sound; if it is, the looks that sign it off; rounded
// up, one at least.
func TestAnswersStillNeeded(t *testing.T) {
	seen := map[int]bool{}
	for seed := range uint64(3) {
		guesser(t, ringProp("small", 4, 3), seed, Options{Most: 9}, func(s *Session) {
			o, bits, whole, sound := s.Open(), 0.0, 0.0, 0.0
			for i, w := range s.now.each {
				if w > 0 {
					bits += w * math.Log2(1/w)
				}
				if s.belief.hyps[i].sound() {
					sound += w
				}
				whole += w
			}
			require.InDelta(t, sound, o.Sound, 1e-12)
			require.InDelta(t, 1-whole, o.Unknown, 1e-9)
			if want := max(1, int(math.Ceil((1-sound)*bits/1.7+sound*float64(s.looksLeft())))); s.stopped == "" {
				require.Equal(t, want, o.Left)
				seen[want] = true
			} else {
				require.Zero(t, o.Left)
			}
		})
	}
	assert.Greater(t, len(seen), 2, "%v", seen)
}

// The list of findings: the likeliest always; others while nothing is settled,
// with two per cent and more, twelve at most; the unknown where it stands by its
// own part; each names all others as its rivals.
func TestWhatIsListed(t *testing.T) {
	lists := 0
	for seed := range uint64(6) {
		guesser(t, ringProp("small", 4, 3), seed, Options{Most: 12}, func(s *Session) {
			standing, found := s.Suspects(), s.Findings()
			known := 0
			for i, f := range found {
				if f.Unknown != nil {
					continue
				}
				if s.shared(standing) == nil {
					require.InDelta(t, standing[known].Share, f.Share, 1e-12)
				}
				known++
				require.Len(t, f.Rivals, len(found)-1)
				for j, o := range found {
					require.True(t, i == j || slices.Contains(f.Rivals, o.Title))
				}
			}
			if s.shared(standing) != nil || len(standing) == 0 {
				return
			}
			want := 1
			for want < len(standing) && want < 12 && standing[0].Share < 0.97 && standing[want].Share >= 0.02 {
				want++
			}
			if len(s.steps) > 0 {
				require.Equal(t, want, known, "after %d answers", len(s.steps))
			}
			if want > 1 {
				lists++
			}
			for i := 1; i < len(standing); i++ {
				require.GreaterOrEqual(t, standing[i-1].Share, standing[i].Share)
				require.GreaterOrEqual(t, standing[i].Share, 0.001)
			}
		})
	}
	assert.NotZero(t, lists)
}

// Causes that look alike stand by what they cost to try: one fault before two,
// and of as many the one with the least effort.
func TestOrderOfCauses(t *testing.T) {
	one := func(ks ...strip.Kind) int {
		var c Cause
		for _, k := range ks {
			c.Faults = append(c.Faults, strip.Fault{Kind: k})
		}
		return effort(c)
	}
	assert.Less(t, one(strip.NoSupply), one(strip.WrongAddress))
	assert.Less(t, one(strip.OpenJoint), one(strip.DeadStop))
	assert.Less(t, one(strip.Resistance), one(strip.NoSupply, strip.WrongAddress), "two faults after any one")
	assert.Less(t, one(strip.NoSupply, strip.WrongAddress), one(strip.NoSupply, strip.OpenJoint))
	assert.Equal(t, one(strip.OpenJoint, strip.NoSupply), one(strip.NoSupply, strip.OpenJoint))
}

// Where a fault sits, in words.
func TestWhereFaultsSit(t *testing.T) {
	f, err := newField(ringProp("T", 5, 6, 4), nil)
	require.NoError(t, err)
	for want, ft := range map[string]strip.Fault{
		"": {Kind: strip.NoSupply}, "ring 2": {Kind: strip.RunMirrored, Run: 1}, "ring 1 and ring 3": {Kind: strip.RunsSwapped, Run2: 2}, "ring 3": {Kind: strip.Count, Run: 2, N: 1},
		`pixel 1 of run "ring 1" (1 of the prop)`: {Kind: strip.OpenJoint}, `pixel 1 of run "ring 2" (6 of the prop), at the joint of ring 1 and ring 2`: {Kind: strip.OpenJoint, Pixel: 5}, `pixel 2 of run "ring 2" (7 of the prop)`: {Kind: strip.DeadPixel, Pixel: 6},
		`pixel 1 of run "ring 3" (12 of the prop), at the joint of ring 2 and ring 3`: {Kind: strip.WrongChip, Pixel: 11, N: 4},
	} {
		assert.Equal(t, want, f.where(ft), "%v", ft)
	}
	assert.Empty(t, f.where(strip.Fault{Kind: strip.WrongChip, N: 4}), "the whole prop")
	assert.Equal(t, `pixel 2 of run "ring 1" (2 of the prop)`, f.where(strip.Fault{Kind: strip.WrongChip, Pixel: 1, N: 4}))
	both := f.cause([]strip.Fault{{Kind: strip.RunMirrored, Run: 1}, {Kind: strip.DeadPixel, Pixel: 6}}, strengths{})
	assert.Equal(t, `ring 2; pixel 2 of run "ring 2" (7 of the prop)`, both.Where)
	assert.Contains(t, both.Text, ". P", "two sentences")
}

// Currents that are not known limit no level.
func TestLevelsOfUnknownCurrents(t *testing.T) {
	p := single("S", 100)
	p.Chip.ChannelAmps, p.Chip.IdleAmps, p.Supply.Amps, p.Supply.Continuous = 0, 0.001, 0.01, 0.8
	ordinary, bright := levels(p)
	assert.InDelta(t, 0.2, ordinary, 1e-12)
	assert.InDelta(t, 0.8, bright, 1e-12)
}

// What is done to a colour where a stranger is: every channel lost, or at full,
// all of them dark, and channels exchanged in every way, of five two at a time.
func TestWhatStrangersDo(t *testing.T) {
	for order, want := range map[prop.Order]int{"GRB": 1 + 2*3 + 5, "GRBW": 1 + 2*4 + 23, "RGBWC": 1 + 2*5 + 10} {
		changes := unlistedChanges(order)
		require.Len(t, changes, want, "%s", order)
		in, seen := patterns.Colour{}, map[patterns.Colour]bool{}
		for i, ch := range order.Channels() {
			in = in.With(ch, uint8(10+i))
		}
		for _, c := range changes {
			out := c(in)
			require.NotEqual(t, in, out)
			require.False(t, seen[out], "%+v twice", out)
			seen[out] = true
		}
	}
	assert.Equal(t, 2, differ([]patterns.Channel{0, 1, 2}, []patterns.Channel{1, 0, 2}))
	assert.Zero(t, differ([]patterns.Channel{0, 1}, []patterns.Channel{0, 1}))
}

// A stranger's light is a sound prop's but for the pixels where it is, whatever
// the pieces are cut like.
func TestLightOfStrangers(t *testing.T) {
	red, blue := patterns.Colour{R: 9}, patterns.Colour{B: 9}
	sound := strip.PiecesOf(strip.Light{{red, red, red, blue, blue}, {blue}, {red, blue}})
	var dst strip.Pieces
	for from := range 8 {
		for to := from; to < 8; to++ {
			g := unlistedFault{from, to, func(c patterns.Colour) patterns.Colour { return patterns.Colour{R: c.B, B: c.R, G: 1} }}
			g.light(&dst, &sound)
			at := 0
			for r, run := range sound.Runs {
				var got, want []patterns.Colour
				for _, pc := range dst.Runs[r] {
					require.Positive(t, pc.Lights)
					got = append(got, slices.Repeat([]patterns.Colour{pc.Colour}, pc.Lights)...)
				}
				for _, pc := range run {
					for range pc.Lights {
						c := pc.Colour
						if at >= from && at <= to {
							c = g.change(c)
						}
						want, at = append(want, c), at+1
					}
				}
				require.Equal(t, want, got, "%d to %d", from, to)
			}
		}
	}
}

// Hints say where the data starts, and from which end of a run is counted.
func TestHintsNameTheWay(t *testing.T) {
	f, err := newField(ringProp("T", 5, 6, 4), nil)
	require.NoError(t, err)
	for _, k := range []Kind{AskLastLit, AskBefore, AskOdd, AskMark, AskSequence, AskStaysLit} {
		assert.Equal(t, "the data starts at ring 1 and follows the arrows", f.hint(&Spec{Kind: k}), k)
	}
	assert.Contains(t, f.hint(&Spec{Kind: AskPlace, Run: 1, Pixel: 0}), "ring 2: counted from the end where data should enter")
	assert.Contains(t, f.hint(&Spec{Kind: AskPlace, Run: 2, Pixel: -1}), "ring 3: the far end is the one the data should leave by")
}
