package pictures

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// A trial is a prop with something wrong, before a camera that is simulated: a
// soft disc and a wide glow for each pixel, a mottled room, noise, JPEG.
type trial struct {
	name  string
	prop  *prop.Prop
	show  func(look int) strip.Light                  // at rest
	at    func(look int, t time.Duration) strip.Light // a while after the sequence began; nil where all is at rest
	kinds []strip.Kind                                // that are in it; none for what no list has

	faults []strip.Fault
	sound  []strip.Light // of the same prop without them, look by look; of trials that have kinds
}

// wide is the Porthole with more pixels, so that its data fills more than one
// universe.
func wide(t *testing.T) *prop.Prop {
	p := prop.Porthole()
	for i, n := range []int{48, 64, 80} {
		p.Runs[i].Pixels = n
	}
	p.Feeds[1].Pixel = 48 + 64
	require.Greater(t, p.Pixels(), 170, "that a universe holds")
	return p
}

// trials are all kinds of the catalogue, pairs by lot, and what no list has, by
// turns on two props, or on the one that can have it; kinds that need several
// universes of pixels without a rest are on a third.
func trials(t *testing.T) (out []trial) {
	r := rand.New(rand.NewPCG(20, 2))
	all := props(t)
	names := slices.Sorted(maps.Keys(all))
	for k, name := range names {
		p := all[name]
		s, err := eyes.SceneOf(p)
		require.NoError(t, err)
		good := shown(t, p, s)
		add := func(faults ...strip.Fault) {
			one := trial{prop: p, faults: faults, show: shown(t, p, s, faults...), at: shownAt(t, p, s, faults...)}
			for k := range s.Looks {
				one.sound = append(one.sound, good(k))
			}
			var names []string
			for _, ft := range faults {
				names = append(names, ft.String())
				one.kinds = append(one.kinds, ft.Kind)
			}
			one.name = name + ": " + strings.Join(names, ", ")
			out = append(out, one)
		}
		for i, sample := range strip.Samples() {
			ft, err := strip.ParseFault(sample, p)
			_, elsewhere := strip.ParseFault(sample, all[names[1-k]])
			if err == nil && (i%2 == k || elsewhere != nil) {
				add(ft)
			}
		}
		for n := 0; n < 10; {
			a, b := strip.Random(p, r.Uint64()), strip.Random(p, r.Uint64())
			if _, err := strip.New(p, a, b); err == nil && unseen[a.Kind] == "" && unseen[b.Kind] == "" {
				add(a, b)
				n++
			}
		}
		for i, what := range slices.Sorted(maps.Keys(odd)) {
			if i%2 != k {
				continue
			}
			sound := shown(t, p, s)
			out = append(out, trial{name: name + ": " + what, prop: p, show: func(look int) strip.Light {
				l := sound(look)
				odd[what](l)
				return l
			}})
		}
	}
	large := wide(t)
	s, err := eyes.SceneOf(large)
	require.NoError(t, err)
	for _, sample := range []string{"wrong-packing", "universes-swapped universe 1 universe 2"} {
		ft, err := strip.ParseFault(sample, large)
		require.NoError(t, err)
		out = append(out, trial{name: "large porthole: " + sample, prop: large, faults: []strip.Fault{ft}, kinds: []strip.Kind{ft.Kind}, show: shown(t, large, s, ft)})
	}
	return out
}

// TestFaultsByPictures reads pictures of every kind of fault, of pairs and of
// what no list has: nothing is signed off, no place is read wrong and sure, and
// what is wrong is named or stands in the table. RINGOUT_LONG=1 reads them all,
// else three; testdata/eyes-proofs.md has the figures.
func TestFaultsByPictures(t *testing.T) {
	t.Parallel()
	all := trials(t)
	counts := map[string]int{}
	for i, one := range all {
		if os.Getenv("RINGOUT_LONG") == "" && i%31 != 9 {
			continue
		}
		t.Run(one.name, func(t *testing.T) {
			proof, refusal, lights := look(t, uint64(i), one)
			counts["trials"]++
			require.Nil(t, refusal, "%v", refusal)
			require.Equal(t, shines(lights), !proof.Result.Unlit, "a prop that shines is read")
			wrong := wrongPlaces(proof, lights)
			counts["wrong and sure"] += len(wrong)
			counts["unread"] += proof.Unread()
			counts["right"] += len(proof.Result.Places) - len(wrong) - proof.Unread()
			require.Empty(t, wrong, "places read wrong and sure")
			loose := slices.ContainsFunc(one.kinds, func(k strip.Kind) bool { return k == strip.Flicker || k == strip.Sparkle })
			require.Equal(t, loose, proof.Result.Unsteady() > 0, "%d places unsteady", proof.Result.Unsteady())
			require.Zero(t, proof.Result.Beside)
			if proof.AllRight() {
				counts[byLoad(t, proof, one, uint64(i), lights)]++
				return
			}
			require.False(t, proof.Good(), "signed off")
			switch {
			case proof.Result.Unlit:
				counts["dark: "+darkly(proof, one.kinds)]++
			case named(proof, one.kinds):
				counts["named"]++
			case len(proof.Sags()) > 0 && proof.Wrong() == 0:
				counts["shown as a fall of light"]++
				t.Log(proof.Sags())
			case proof.Wrong() > 0:
				counts["shown in the table"]++
			default:
				counts["shown in the table as unread, where it is"]++
				require.Subset(t, unreadPlaces(proof), otherPlaces(t, proof, lights))
			}
			require.Falsef(t, proof.Wrong() == 0 && proof.Unread() == 0, "neither named nor shown")
			t.Logf("%s | %s", proof.Findings[0].Title, proof.Summary())
		})
	}
	t.Logf("%v", counts)
}

// byLoad goes on with the load test that is left, as the program does, of a prop on
// which a camera sees nothing wrong, and says what that names.
func byLoad(t *testing.T, proof *Proof, one trial, seed uint64, lights []strip.Light) string {
	require.Len(t, one.kinds, 1)
	require.NotEmpty(t, unseen[one.kinds[0]])
	faint := fainter(one.sound, lights)
	t.Logf("%s: at most %.1f %% of a colour's light is missing, at full level", one.name, 100*faint)
	require.Less(t, faint, tooFaint)
	require.Contains(t, proof.Left(), single.Load)
	r := loaded(t, one.prop, seed, 0, one.faults...)
	proof.Tested(single.Load, r)
	require.False(t, proof.Good(), "signed off")
	require.False(t, r.Good)
	t.Logf("load test: %s", r.Fit.Text)
	if r.Fit.Verdict == power.FitFound && r.Fit.Suspects[0].Run == one.faults[0].Run {
		return "named by the load test that is left"
	}
	return "not signed off by the load test that is left"
}

// darkly says how faults are found of a prop of which no pixel lights: one is
// among what looks just so, of two the one that keeps all dark.
func darkly(p *Proof, kinds []strip.Kind) string {
	var found []strip.Kind
	for _, c := range p.Findings[0].Causes {
		for _, ft := range c.Faults {
			found = append(found, ft.Kind)
		}
	}
	one := func(k strip.Kind) bool { return slices.Contains(found, k) }
	switch {
	case !p.Findings[0].Sure.Firm() || !slices.ContainsFunc(kinds, one):
		return "shown in the table"
	case len(kinds) > 1:
		return "the one of the pair that keeps all dark is among those named"
	}
	return "among those named"
}

// unreadPlaces are the places, from 0, that were not read.
func unreadPlaces(p *Proof) (out []int) {
	for i, one := range p.Result.Places {
		if one.State == eyes.Unread {
			out = append(out, i)
		}
	}
	return out
}

// otherPlaces are the places, from 0, that do not show what a sound prop would.
func otherPlaces(t *testing.T, p *Proof, lights []strip.Light) (out []int) {
	good := shown(t, p.Prop, p.Scene)
	var sound []strip.Light
	for k := range lights {
		sound = append(sound, good(k))
	}
	at := 0
	for r, run := range p.Scene.Runs {
		for i := range run.Places {
			other := false
			for k := range lights {
				other = other || lights[k][r][i] != sound[k][r][i]
			}
			if other {
				out = append(out, at)
			}
			at++
		}
	}
	return out
}

// tooFaint is the share of a colour's light, at full level, that a camera is not
// asked to miss: pixels of one reel differ by as much (common practice), and a
// bench is lit at a fifth of that level.
const tooFaint = 0.1

// fainter is the most that a light lacks of a colour, beside the light of a sound
// prop, as a share.
func fainter(sound, lights []strip.Light) (most float64) {
	for k := range sound {
		for r := range sound[k] {
			for i, want := range sound[k][r] {
				for ch := range patterns.Channel(patterns.NumChannels) {
					if v := float64(want.Get(ch)); v > 0 {
						most = max(most, 1-float64(lights[k][r][i].Get(ch))/v)
					}
				}
			}
		}
	}
	return most
}

// shines reports whether any pixel lights in any look.
func shines(lights []strip.Light) bool {
	for _, l := range lights {
		for _, run := range l {
			if slices.ContainsFunc(run, func(c patterns.Colour) bool { return !c.Dark() }) {
				return true
			}
		}
	}
	return false
}

// named reports whether the first finding is just the faults that are there.
func named(p *Proof, kinds []strip.Kind) bool {
	f := p.Findings[0]
	if !f.Sure.Firm() || len(f.Causes) == 0 {
		return false
	}
	var found []strip.Kind
	for _, ft := range f.Causes[0].Faults {
		found = append(found, ft.Kind)
	}
	slices.Sort(found)
	return slices.Equal(found, slices.Sorted(slices.Values(kinds)))
}

// dimly reports whether a reading stands for what was seen. A colour with a tenth
// to a third of the strongest light may be called lost or not.
func dimly(s *eyes.Scene, seen []patterns.Colour, x eyes.Reading) bool {
	for _, part := range []uint8{3, 6, 10, 255} {
		if matches(s, plainly(seen, part), x.Slot, x.Order) {
			return true
		}
	}
	return false
}

// plainly is what shows plainly: colours with more than a part of the strongest
// light.
func plainly(seen []patterns.Colour, part uint8) (out []patterns.Colour) {
	most := uint8(0)
	for _, c := range seen {
		for ch := range patterns.Channel(patterns.NumChannels) {
			most = max(most, c.Get(ch))
		}
	}
	for _, c := range seen {
		for ch := range patterns.Channel(patterns.NumChannels) {
			if c.Get(ch) <= most/part {
				c = c.With(ch, 0)
			}
		}
		out = append(out, c)
	}
	return out
}

// wrongPlaces are the places, from 1, that were read as what they did not show.
func wrongPlaces(p *Proof, lights []strip.Light) (out []string) {
	at := 0
	for r, run := range p.Scene.Runs {
		for i := range run.Places {
			var seen []patterns.Colour
			lit := false
			for _, l := range lights {
				c := patterns.Colour{}
				if i < len(l[r]) {
					c = l[r][i]
				}
				seen = append(seen, c)
				lit = lit || !c.Dark()
			}
			one := p.Result.Places[at]
			at++
			switch {
			case one.State == eyes.Dark && lit, one.State == eyes.Stuck && seen[0].Dark() && !(p.Result.Sparks && one.Unsteady > 0):
				out = append(out, fmt.Sprintf("%d is called %s", at, one.State))
			case one.State == eyes.Read && !dimly(p.Scene, seen, one.Reading):
				out = append(out, fmt.Sprintf("%d is read as %d %s", at, one.Reading.Slot, one.Reading.Order))
			}
		}
	}
	return out
}
