package checkout

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// A walk plays the check-outs of many faults of one prop at once, each with
// perfect answers: faults that gave the same answers so far share a session.
type walk struct {
	f       *field
	see     func(t *testing.T, p *Probe, truth []int) []int // what the builder answers, for each fault
	apart   bool                                            // branches are played side by side
	mu      sync.Mutex                                      // guards what follows
	by      map[strip.Kind]*tally
	offered int // answers offered, over all probes of all check-outs
	asked   int
	lost    []string // faults that were not found
	short   []string // faults named in a short list only
	came    sum      // of all check-outs, each path once
}

// A tally is how the check-outs of one kind of fault came out.
type tally struct{ n, answers, worst, exact, listed int }

func (w *walk) play(t *testing.T, s *Session, truth []int) {
	p, ok := s.Next()
	if !ok {
		w.end(s, truth)
		return
	}
	by := map[int][]int{}
	for i, k := range w.see(t, &p, truth) {
		by[k] = append(by[k], truth[i])
	}
	w.mu.Lock()
	w.asked += len(truth)
	w.offered += len(truth) * len(p.Answers)
	w.mu.Unlock()
	var branches sync.WaitGroup
	for k := range len(p.Answers) + 1 {
		if len(by[k]) == 0 {
			continue
		}
		c := s.Clone()
		if !assert.NoError(t, c.Answer(k)) {
			continue
		}
		if w.apart {
			branches.Go(func() { w.play(t, c, by[k]) })
		} else {
			w.play(t, c, by[k])
		}
	}
	branches.Wait()
}

// inMemory is a builder who sees each fault's light as the strip shows it.
func (f *field) inMemory(_ *testing.T, p *Probe, truth []int) []int {
	var b builder
	keys := make([]int, len(truth))
	for i, h := range truth {
		keys[i] = key(f, p, f.stripOf(&f.hyps[h]), &b)
	}
	return keys
}

// end notes how a check-out of these faults came out: exact when the first
// finding names the fault and only faults with the very same light; listed
// when looks were used up and the short list has it.
func (w *walk) end(s *Session, truth []int) {
	found := s.Findings()
	w.mu.Lock()
	defer w.mu.Unlock()
	w.came.add(s)
	for _, h := range truth {
		k := strip.Kind("good")
		if len(w.f.hyps[h].faults) > 0 {
			k = w.f.hyps[h].faults[0].Kind
		}
		t := w.by[k]
		if t == nil {
			t = &tally{}
			w.by[k] = t
		}
		t.n++
		t.answers += s.Answered()
		t.worst = max(t.worst, s.Answered())
		faults := w.f.hyps[h].faults
		if w.f.hyps[h].sameLight == 0 || w.f.hyps[h].faint {
			faults = nil // no light shows it: one pixel mirrored is as good as sound
		}
		at := slices.IndexFunc(found, func(f Finding) bool { return isNamed(f, faults) })
		switch {
		case at == 0 && len(found) == 1:
			t.exact++
		case at >= 0 && strings.HasPrefix(s.Stopped(), "no further look"):
			t.listed++
			w.short = append(w.short, fmt.Sprintf("%v: one of %d, place %d", w.f.hyps[h].faults, len(found), at+1))
		default:
			w.lost = append(w.lost, fmt.Sprintf("%v: found %q after %d, %s", w.f.hyps[h].faults, found[0].Title, s.Answered(), s.Stopped()))
		}
	}
}

// isNamed reports whether a finding names exactly these faults.
func isNamed(f Finding, faults []strip.Fault) bool {
	if len(faults) == 0 {
		return f.Good
	}
	return slices.ContainsFunc(f.Causes, func(c Cause) bool {
		return slices.EqualFunc(c.Faults, faults, func(a, b strip.Fault) bool {
			return a == b || a.Kind == strip.Sag && b.Kind == strip.Sag // how strong is fitted roughly
		})
	})
}

// some picks every n-th fault with a place, and all without one; of many
// without one, as the counts of a run, every seventh when n is more than 1.
func some(f *field, n int) []int {
	var out []int
	for i, h := range f.hyps {
		switch {
		case h.moreAfter:
		case h.family < 0, f.families[h.family].placed && i%n == 0, !f.families[h.family].placed && (n == 1 || len(f.families[h.family].faults) < many || i%7 == 0):
			out = append(out, i)
		}
	}
	return out
}

// many is from how many faults of a kind on a short run takes some.
const many = 20

// TestEverySingleFault: every fault of the catalogue at every place of the
// props, or at some places in the short run, is found, or named as one of a
// list that no look of ours could tell apart.
func TestEverySingleFault(t *testing.T) {
	props, every := proofProps(), everyNth()
	if !long() {
		props, every = []*prop.Prop{prop.Porthole(), prop.BuoyLamp()}, 193
		t.Log("some places of two props; RINGOUT_LONG=1 takes every place of six")
	}
	for _, p := range props {
		t.Run(p.Name, func(t *testing.T) {
			s, err := New(p, Options{})
			require.NoError(t, err)
			w := &walk{f: s.field, see: s.field.inMemory, by: map[strip.Kind]*tally{}}
			w.play(t, s, some(s.field, every))
			assert.Empty(t, w.lost)
			mean, goal := w.report(t)
			figures(t, "%v", &w.came)
			if every == 1 {
				assert.LessOrEqual(t, mean, goal, "answers on average")
			}
			if good := w.by["good"]; assert.NotNil(t, good) {
				assert.LessOrEqual(t, good.worst, 10, "a good prop is signed off in at most ten answers")
			}
		})
	}
}

// report writes the answers needed beside the least that could do: the
// logarithm of the number of faults that differ in light, to the base of the
// answers offered. It gives the mean, and the goal to the base 6.
func (w *walk) report(t *testing.T) (mean, goal float64) {
	base := float64(w.offered) / float64(w.asked)
	bound := math.Log(float64(w.f.classes)) / math.Log(base)
	six := math.Log(float64(w.f.classes)) / math.Log(1+mostOthers)
	for _, text := range w.short {
		t.Log("in a short list: ", text)
	}
	all := tally{}
	for _, k := range append(strip.Kinds(), "good") {
		if x := w.by[k]; x != nil {
			t.Logf("%-14s %5d faults: mean %5.2f, worst %2d answers; exact %d, in a short list %d", k, x.n, float64(x.answers)/float64(x.n), x.worst, x.exact, x.listed)
			all.n, all.answers = all.n+x.n, all.answers+x.answers
		}
	}
	t.Logf("all: mean %.2f; %d differ in light; bound %.2f to the base of %.2f offered (goal 1.3 x + 2 = %.2f), %.2f to the base 6 (goal %.2f)",
		float64(all.answers)/float64(all.n), w.f.classes, bound, base, 1.3*bound+2, six, 1.3*six+2)
	return float64(all.answers) / float64(all.n), 1.3*six + 2 // two more for the confirming look and what is asked once more
}

// TestGoodPropsNoFalseAlarm: props without fault, of many shapes, are signed
// off in at most ten answers, two of them second looks.
func TestGoodPropsNoFalseAlarm(t *testing.T) {
	runs := 10
	if long() {
		runs = 1000
	} else {
		t.Log("10 props; RINGOUT_LONG=1 takes 1,000")
	}
	var came sum
	for seed := range uint64(runs) {
		p := randomProp(seed)
		s, err := New(p, Options{})
		require.NoError(t, err)
		var b builder
		first, second := 0, 0
		for pr, ok := s.Next(); ok; pr, ok = s.Next() {
			if first++; pr.Why == needsSecond {
				first, second = first-1, second+1
			}
			require.NoError(t, s.Answer(key(s.field, &pr, s.field.sound, &b)))
		}
		f := s.Findings()[0]
		assert.True(t, f.Good && f.Sure.Firm(), "%d: %s", seed, f.Title)
		assert.LessOrEqual(t, first, 8, "%d: %v", seed, s.field.sizes)
		assert.LessOrEqual(t, second, 2, "%d: %v", seed, s.field.sizes)
		assert.Contains(t, s.Stopped(), "stands well above", "%d: %v", seed, s.field.sizes)
		came.add(s)
	}
	figures(t, "%v", &came)
}

// randomProp is a prop of one to five runs of 1 to 90 pixels, RGB or RGBW.
func randomProp(seed uint64) *prop.Prop {
	rng := newRand(seed)
	var sizes []int
	for range 1 + rng.IntN(5) {
		sizes = append(sizes, 1+rng.IntN(90))
	}
	p := ringProp(fmt.Sprint("prop ", seed), sizes...)
	if rng.IntN(2) == 0 {
		p.Chip, _ = prop.ChipByName("SK6812 RGBW")
	}
	p.Address.Slot = 3 * rng.IntN(4)
	return p
}
