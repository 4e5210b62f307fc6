package checkout

import (
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

func newRand(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 0x63686563)) }

// TestWrongAnswers: one answer in twenty is wrong. The right finding still
// comes first in at least 95 % of runs, and a wrong one is never called
// certain.
func TestWrongAnswers(t *testing.T) {
	runs := 20
	if long() {
		runs = 1000
	} else {
		t.Log("20 runs; RINGOUT_LONG=1 takes 1,000")
	}
	p := prop.Porthole()
	base, err := New(p, Options{})
	require.NoError(t, err)
	right, certain, answers := 0, 0, 0
	var came sum
	for seed := range uint64(runs) {
		ft := strip.Random(p, seed)
		st, err := strip.New(p, ft)
		require.NoError(t, err)
		s := base.Clone()
		careless(t, s, st, newRand(seed), 0.05)
		answers += s.Answered()
		came.add(s)
		f := s.Findings()[0]
		ok := isRight(t, s.field, f, ft)
		if ok {
			right++
		}
		if f.Sure == Certain {
			certain++
			assert.True(t, ok, "seed %d: %v was called %q and certain", seed, ft, f.Title)
		}
	}
	t.Logf("%d of %d right, %d certain, %.2f answers on average", right, runs, certain, float64(answers)/float64(runs))
	figures(t, "%d right; %v", right, &came)
	assert.GreaterOrEqual(t, float64(right), 0.95*float64(runs))
}

// isRight reports whether a finding names the fault, or one with the very same
// light; or, if no look shows it, that nothing is wrong.
func isRight(t testing.TB, f *field, found Finding, ft strip.Fault) bool {
	t.Helper()
	if found.Good {
		return ft == strip.Fault{} || !f.shows(ft)
	}
	return slices.ContainsFunc(found.Causes, func(c Cause) bool {
		switch len(c.Faults) {
		case 0:
			return false
		case 1:
		default: // as every run with another chip is all of the prop with it
			return printOfFaults(t, f, c.Faults...) == printOfFaults(t, f, ft)
		}
		g := c.Faults[0]
		return g.Kind == strip.Sag && ft.Kind == strip.Sag || g.Kind == strip.StuckOn && ft.Kind == strip.StuckChannel && ft.Channel >= patterns.White && g.Pixel == ft.Pixel || printOfFaults(t, f, g) == printOfFaults(t, f, ft)
	})
}

// shows reports whether a fault can be seen at all: a fall of voltage can by the
// page's own measure, any other when frames of noise look different.
func (f *field) shows(ft strip.Fault) bool {
	st, err := f.sound.With(ft)
	if err != nil {
		return false
	}
	if ft.Kind == strip.Sag {
		var w watcher
		w.watch(f, &Spec{Kind: AskFade, Paint: f.unlit(even(HueWhite, f.pixels)), Level: f.bright})
		return w.sees(st) == SeesFades
	}
	n := newNoise(f)
	return n.fingerprint(st) != n.fingerprint(f.sound)
}

// careless answers, now and then with any other answer than is due.
func careless(t *testing.T, s *Session, st *strip.Strip, rng *rand.Rand, rate float64) {
	t.Helper()
	var b builder
	for p, ok := s.Next(); ok; p, ok = s.Next() {
		k := key(s.field, &p, st, &b)
		if rng.Float64() < rate {
			o := 1 + rng.IntN(len(p.Answers)-1)
			if o >= k {
				o++
			}
			k = o
		}
		require.NoError(t, s.Answer(k))
	}
}

// TestPairsOfFaults: of two faults at once, both are found after at most one
// repair, in at least 97 % of pairs.
func TestPairsOfFaults(t *testing.T) {
	pairs := 12
	if long() {
		pairs = 1000
	} else {
		t.Log("12 pairs; RINGOUT_LONG=1 takes 1,000")
	}
	if n, err := strconv.Atoi(os.Getenv("RINGOUT_PAIRS")); err == nil {
		pairs = n
	}
	p := prop.Porthole()
	base, err := New(p, Options{})
	require.NoError(t, err)
	n, both, answers := 0, 0, 0
	var came sum
	for seed := uint64(pairSeed()); n < pairs; seed++ {
		left := []strip.Fault{strip.Random(p, 2*seed+1), strip.Random(p, 2*seed)}
		if _, err := strip.New(p, left...); err != nil || left[0].Kind == left[1].Kind {
			continue // cannot be together, or is no pair
		}
		n++
		was := slices.Clone(left)
		var said []string
		for round := 0; round < 2 && len(left) > 0; round++ {
			st, err := strip.New(p, left...)
			require.NoError(t, err)
			s := base.Clone()
			finish(t, s, st)
			answers += s.Answered()
			came.add(s)
			said = append(said, s.Findings()[0].Title)
			found := s.Findings()[0]
			left = mended(t, s.field, left, found)
			if found.Good && printOfFaults(t, s.field, left...) == printOfFaults(t, s.field) {
				left = nil // no light shows what is left
			}
		}
		if len(left) == 0 {
			both++
		} else {
			t.Logf("seed %d: %v, found %q", seed, was, said)
		}
	}
	t.Logf("both found in %d of %d pairs, %.2f answers on average in all", both, n, float64(answers)/float64(n))
	if pairs == 12 && pairSeed() == 0 {
		figures(t, "%d both; %v", both, &came)
	}
	if long() { // twelve are too few to tell 97 % by
		assert.GreaterOrEqual(t, float64(both), 0.97*float64(n))
	}
	assert.GreaterOrEqual(t, both, n*5/6)
}

// mended are the faults that stay when a builder mends what a finding names:
// the faults named, or those with the very same light.
func mended(t *testing.T, f *field, left []strip.Fault, found Finding) []strip.Fault {
	t.Helper()
	for _, c := range found.Causes {
		if len(c.Faults) == 0 {
			continue
		}
		if len(c.Faults) > 1 && printOfFaults(t, f, c.Faults...) == printOfFaults(t, f, left...) {
			return nil
		}
		rest := slices.DeleteFunc(slices.Clone(left), func(x strip.Fault) bool {
			return slices.ContainsFunc(c.Faults, func(y strip.Fault) bool {
				return x == y || x.Kind == strip.Sag && y.Kind == strip.Sag || printOfFaults(t, f, x) == printOfFaults(t, f, y)
			})
		})
		if len(rest) < len(left) {
			return rest
		}
	}
	return left
}

// pairSeed is the first seed of pairs: RINGOUT_PAIR_SEED, or 0.
func pairSeed() uint64 {
	n, _ := strconv.ParseUint(os.Getenv("RINGOUT_PAIR_SEED"), 10, 64)
	return n
}

// One fault with a fall of voltage beside it is never called certain: a slip may
// look just so (seed 357: an open joint, and one answer in twenty wrong).
func TestSlipsBesideAFallOfVoltageAreNeverCertain(t *testing.T) {
	p := prop.Porthole()
	base, err := New(p, Options{})
	require.NoError(t, err)
	for _, seed := range []uint64{357} {
		ft := strip.Random(p, seed)
		st, err := strip.New(p, ft)
		require.NoError(t, err)
		s := base.Clone()
		careless(t, s, st, newRand(seed), 0.05)
		if f := s.Findings()[0]; !isRight(t, s.field, f, ft) {
			assert.NotEqual(t, Certain, f.Sure, f.Title)
		}
	}
}
