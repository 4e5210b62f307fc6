package pictures

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// readLight is a perfect camera: for each place it looks for a slot and an
// order that stand for just the light that the place showed in every look. It
// shares nothing with the decoder.
func readLight(t *testing.T, p *prop.Prop, s *eyes.Scene, show func(look int) strip.Light) *eyes.Result {
	t.Helper()
	var looks []strip.Light
	for k := range s.Looks {
		looks = append(looks, show(k))
	}
	out := &eyes.Result{Usual: s.Order}
	for r, run := range s.Runs {
		for i := range run.Places {
			var seen []patterns.Colour
			for _, l := range looks {
				c := patterns.Colour{}
				if i < len(l[r]) {
					c = l[r][i]
				}
				seen = append(seen, c)
			}
			out.Places = append(out.Places, placeOf(s, seen, len(out.Places)))
		}
	}
	return out
}

var threes = []string{"GRB", "RGB", "BRG", "RBG", "GBR", "BGR", "G.B", ".RB", "GR.", "R.B", "RG.", ".GB"}
var fours = []string{"GRBW", "RGBW", "GRB.", "GR.W", "G.BW", ".RBW", "WRGB"}

func placeOf(s *eyes.Scene, seen []patterns.Colour, place int) eyes.Place {
	lit := false
	for _, c := range seen {
		lit = lit || !c.Dark()
	}
	if !lit {
		return eyes.Place{State: eyes.Dark}
	}
	if !seen[0].Dark() {
		return eyes.Place{State: eyes.Stuck}
	}
	orders := append(append([]string{s.Order}, threes...), fours...)
	for _, near := range []int{place * s.Slots, 0} { // the planned one first, where several stand for the same
		for slot := near; slot < s.Slots*len(s.Words); slot++ {
			for _, o := range orders {
				if matches(s, seen, slot, o) {
					return eyes.Place{State: eyes.Read, Reading: eyes.Reading{Slot: slot, Chip: len(o), Order: o, Strength: strengthIn(seen), Sure: true}}
				}
			}
			if near > 0 {
				break
			}
		}
	}
	return eyes.Place{State: eyes.Unread}
}

// strengthIn is the most light of each colour in any look, of full light.
func strengthIn(seen []patterns.Colour) (out [4]float64) {
	for _, c := range seen {
		for ch := range out {
			out[ch] = max(out[ch], float64(c.Get(patterns.Channel(ch)))/255)
		}
	}
	return out
}

func matches(s *eyes.Scene, seen []patterns.Colour, slot int, order string) bool {
	for k, c := range seen {
		var want patterns.Colour
		for i, letter := range order {
			if letter != '.' && s.Lit(s.Looks[k], slot+i) {
				want = want.With(channelOf(letter), 1)
			}
		}
		if !alike(want, c) {
			return false
		}
	}
	return true
}

// shown is what a strip shows of a look.
func shown(t *testing.T, p *prop.Prop, s *eyes.Scene, faults ...strip.Fault) func(look int) strip.Light {
	t.Helper()
	model, err := strip.New(p, faults...)
	require.NoError(t, err)
	patch, err := prop.PatchFor(p)
	require.NoError(t, err)
	return func(look int) strip.Light {
		buffers := model.Buffers()
		patch.Fill(buffers, s.Frame(nil, s.Looks[look], p.Chip.Order.Channels()))
		return model.LightInto(nil, buffers)
	}
}

// shownAt is what a strip shows of a look a while after the sequence began.
func shownAt(t *testing.T, p *prop.Prop, s *eyes.Scene, faults ...strip.Fault) func(look int, at time.Duration) strip.Light {
	t.Helper()
	model, err := strip.New(p, faults...)
	require.NoError(t, err)
	patch, err := prop.PatchFor(p)
	require.NoError(t, err)
	return func(look int, at time.Duration) strip.Light {
		buffers := model.Buffers()
		patch.Fill(buffers, s.Frame(nil, s.Looks[look], p.Chip.Order.Channels()))
		return model.LightAt(nil, buffers, at)
	}
}

func props(*testing.T) map[string]*prop.Prop {
	return map[string]*prop.Prop{"porthole": prop.Porthole(), "pennant": prop.Pennant()}
}

func weigh(t *testing.T, p *prop.Prop, faults ...strip.Fault) *Proof {
	t.Helper()
	s, err := eyes.SceneOf(p)
	require.NoError(t, err)
	proof, err := Weigh(p, s, readLight(t, p, s, shown(t, p, s, faults...)))
	require.NoError(t, err)
	return proof
}

func TestAGoodPropIsSignedOffOnlyWhenAllIsRead(t *testing.T) {
	for name, p := range props(t) {
		proof := weigh(t, p)
		require.True(t, proof.AllRight(), name)
		require.False(t, proof.Good(), "pictures alone sign nothing off")
		require.Empty(t, proof.Against)
		require.Equal(t, p.Pixels(), proof.Counts[eyes.Right])
		proof.Result.Places[p.Pixels()/2].State = eyes.Unread
		proof, err := Weigh(p, proof.Scene, proof.Result)
		require.NoError(t, err)
		require.False(t, proof.Good(), "%s with an unread place", name)
		var b bytes.Buffer
		proof.Text(&b)
		require.Contains(t, b.String(), "was not read: this is no proof")
		run, at := proof.Scene.RunOf(p.Pixels() / 2)
		require.Contains(t, b.String(), fmt.Sprintf("What was read is as planned, but pixel %d of run %q was not read (not settled).", at+1, p.Runs[run].Name))
		require.NoError(t, proof.JSON(&b))
		require.NotContains(t, b.String(), "othing is wrong")
		require.Equal(t, []int{run}, proof.UnreadRuns())
		for i := range proof.Result.Places {
			proof.Result.Places[i].State = eyes.Unread
		}
		proof, err = Weigh(p, proof.Scene, proof.Result)
		require.NoError(t, err)
		require.False(t, len(proof.Findings) > 0 && proof.Findings[0].Good, "nothing was read at all")
	}
}

// unseen are the faults that no look at rest can show.
var unseen = map[strip.Kind]string{
	strip.Flicker: "comes and goes; looks at rest do not show it", strip.Sparkle: "flashes for moments that the light at rest does not have",
	strip.Sag: "all lights shine, only dimmer", strip.Resistance: "the same",
	strip.WrongPacking: "no difference while all pixels fit the first universe",
}

// Every kind of fault is either named by the engine or shown in the table, and
// none is signed off.
func TestEveryKindOfFaultIsSeen(t *testing.T) {
	for name, p := range props(t) {
		for _, sample := range strip.Samples() {
			ft, err := strip.ParseFault(sample, p)
			if err != nil {
				continue // not on this prop
			}
			t.Run(name+"/"+sample, func(t *testing.T) {
				proof := weigh(t, p, ft)
				require.False(t, proof.Good())
				if unseen[ft.Kind] != "" && proof.allRight() {
					proof.Tested(single.Load, loaded(t, p, 3, 0, ft))
					require.False(t, proof.Good(), "signed off")
					return
				}
				require.False(t, proof.allRight(), "the table shows nothing")
				t.Logf("%s | %s | %v", proof.Findings[0].Title, proof.Summary(), proof.Against)
			})
		}
	}
}

func TestPairsOfFaultsAreSeen(t *testing.T) {
	r := rand.New(rand.NewPCG(20, 1))
	for name, p := range props(t) {
		for n := 0; n < 10; {
			a, b := strip.Random(p, r.Uint64()), strip.Random(p, r.Uint64())
			if _, err := strip.New(p, a, b); err != nil || dims(a) || dims(b) {
				continue
			}
			n++
			t.Run(fmt.Sprintf("%s/%s, %s", name, a, b), func(t *testing.T) {
				proof := weigh(t, p, a, b)
				require.False(t, proof.Good())
				require.False(t, proof.allRight())
			})
		}
	}
}

// dims reports whether a fault only dims, or comes and goes.
func dims(f strip.Fault) bool {
	return f.Kind == strip.Sag || f.Kind == strip.Resistance || f.Kind == strip.Flicker || f.Kind == strip.WrongPacking
}

// swap exchanges two pixels of a run.
func swap(l strip.Light, r, a, b int) { l[r][a], l[r][b] = l[r][b], l[r][a] }

// odd are things that no list of faults has: the light of a sound prop, changed
// by hand.
var odd = map[string]func(l strip.Light){
	"two pixels swapped":  func(l strip.Light) { swap(l, 0, 5, 6) },
	"one pixel stuck red": func(l strip.Light) { l[1][7] = patterns.Colour{R: 255} },
	"three pixels in another order": func(l strip.Light) {
		for i := 10; i < 13; i++ {
			l[0][i].R, l[0][i].G = l[0][i].G, l[0][i].R
		}
	},
	"every second pixel dark": func(l strip.Light) {
		for i := 0; i < len(l[0]); i += 2 {
			l[0][i] = patterns.Colour{}
		}
	},
	"one pixel without green and red": func(l strip.Light) { l[0][3].R, l[0][3].G = 0, 0 },
	"a pixel shows its neighbour's":   func(l strip.Light) { l[1][10] = l[1][11] },
	"a run's middle reversed": func(l strip.Light) {
		for i := 0; i < 5; i++ {
			swap(l, 1, 10+i, 20-i)
		}
	},
	"the last pixels of runs swapped": func(l strip.Light) { l[0][len(l[0])-1], l[1][len(l[1])-1] = l[1][len(l[1])-1], l[0][len(l[0])-1] },
	"one pixel shows no black":        func(l strip.Light) { l[0][0].B = 255 },
	"two runs show the same":          func(l strip.Light) { copy(l[1], l[0]) },
}

// The table must show each of them, and where the engine finds another fault or
// none, it must be said that this does not explain all.
func TestWhatNoListHasIsSeen(t *testing.T) {
	for name, p := range props(t) {
		s, err := eyes.SceneOf(p)
		require.NoError(t, err)
		sound := shown(t, p, s)
		for what, change := range odd {
			t.Run(name+"/"+what, func(t *testing.T) {
				proof, err := Weigh(p, s, readLight(t, p, s, func(look int) strip.Light {
					l := sound(look)
					change(l)
					return l
				}))
				require.NoError(t, err)
				require.False(t, proof.Good())
				require.False(t, proof.allRight())
				require.False(t, proof.Findings[0].Good, "what the table shows is not passed over")
			})
		}
	}
}

func TestTheProofIsWrittenForPeopleAndMachines(t *testing.T) {
	p := props(t)["porthole"]
	ft, err := strip.ParseFault("run-mirrored run 2", p)
	require.NoError(t, err)
	proof := weigh(t, p, ft)
	var text, line bytes.Buffer
	proof.Text(&text)
	require.Contains(t, text.String(), "inner ring, places 1 to 36: as planned")
	require.Contains(t, text.String(), "middle ring, places 1 to 48: shows the data of pixel 84 to pixel 37, against the plan's direction")
	require.NoError(t, proof.JSON(&line))
	require.Equal(t, 1, strings.Count(line.String(), "\n"))
	var m struct {
		Say    string `json:"say"`
		Good   bool   `json:"good"`
		Places []struct {
			Place int  `json:"place"`
			Slot  *int `json:"slot"`
			Data  int  `json:"data_index"`
		} `json:"places"`
	}
	require.NoError(t, json.Unmarshal(line.Bytes(), &m))
	require.Equal(t, "camera", m.Say)
	require.False(t, m.Good)
	require.Len(t, m.Places, 144)
	require.Equal(t, 83*3, *m.Places[36].Slot)
	require.Equal(t, 84, m.Places[36].Data)
}

// A voltage that falls shows as a curve beside the planned one, which stays
// near 1 on a prop that is fed as it should be.
func TestASagIsACurveBesideThePlannedOne(t *testing.T) {
	p := props(t)["pennant"]
	sound := weigh(t, p)
	require.Empty(t, sound.Sags())
	for _, a := range sound.Along {
		first, last, pf, pl := a.Ends()
		require.InDelta(t, 1, first, 0.1, a.Run)
		require.InDelta(t, 1, last, 0.1, a.Run)
		require.InDelta(t, 1, pf, 0.25, a.Run)
		require.InDelta(t, 1, pl, 0.25, a.Run)
	}
	ft, err := strip.ParseFault("sag by 2500", p)
	require.NoError(t, err)
	proof := weigh(t, p, ft)
	require.NotEmpty(t, proof.Sags())
	var text, line bytes.Buffer
	proof.Text(&text)
	require.Contains(t, text.String(), "gets redder and dimmer than planned")
	require.False(t, proof.Good())
	require.NoError(t, proof.JSON(&line))
	var m struct {
		Along []struct {
			Run           string
			Read, Planned []*float64
		} `json:"light_along"`
	}
	require.NoError(t, json.Unmarshal(line.Bytes(), &m))
	require.Len(t, m.Along, len(p.Runs))
	require.Len(t, m.Along[0].Read, p.Runs[0].Pixels)
	require.Less(t, *m.Along[0].Read[60], 0.8**m.Along[0].Read[0])
	require.Len(t, m.Along[0].Planned, p.Runs[0].Pixels)
	require.Equal(t, "▃▆█.", Curve([]float64{0.5, 1, 1.4, math.NaN()}, 4))
}
