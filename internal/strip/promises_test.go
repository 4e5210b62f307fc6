package strip

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// manyProps are small props of every kind that matters to where slots go:
// three, four and five slots, one universe and two, a first slot that leaves no
// room, both packings, one pixel.
func manyProps() []*prop.Prop {
	straddle := bench("GRB", 4, 3)
	straddle.Address.Packing, straddle.Address.Slot = prop.Straddle, 500
	wide := bench("RGBWC", 3, 2)
	wide.Address.Packing, wide.Address.Slot = prop.Straddle, 505
	backup := bench("GRB", 3, 3)
	backup.Chip.Name = "WS2813"
	turned := bench("GRBW", 2, 3, 1)
	turned.Runs[1].Reverse = true
	return []*prop.Prop{bench("GRB", 3, 1, 2), turned, straddle, wide, backup, shifted(bench("GRB", 5), 503), shifted(bench("GRBW", 3, 3), 500), bench("GRB", 1)}
}

// manyStrips are a prop's single faults at every pixel, and pairs drawn by lot.
func manyStrips(t *testing.T, p *prop.Prop, pairs int) []*Strip {
	t.Helper()
	sound := mustStrip(t, p)
	all := []*Strip{sound}
	for _, k := range Kinds() {
		for _, f := range Every(k, p) {
			for at := range p.Pixels() {
				if f.Pixel = at; at > 0 && !k.Placed() {
					break
				}
				if s, err := sound.With(f); err == nil {
					all = append(all, s)
				}
			}
		}
	}
	for seed := range uint64(pairs) {
		if s, err := sound.With(Random(p, 2*seed), Random(p, 2*seed+1)); err == nil {
			all = append(all, s)
		}
	}
	return all
}

// lightKey stands for what a strip shows of frames of noise, at rest and while
// contact is lost.
func lightKey(s *Strip) uint64 {
	h := fnv.New64a()
	for seed := range uint64(3) {
		d := s.Lay(noise(s.pixels, seed))
		fmt.Fprint(h, s.ShineInto(nil, d), s.ShineLetGo(nil, d))
	}
	return h.Sum64()
}

// Fingerprints part the strips of a prop just as their light does.
func TestFingerprintsPartAsTheLightDoes(t *testing.T) {
	for _, p := range manyProps() {
		byPrint, byLight := map[uint64]*Strip{}, map[uint64]*Strip{}
		for _, s := range manyStrips(t, p, 150) {
			if s.sag != nil || s.copper != nil {
				continue
			}
			key, print := lightKey(s), s.Fingerprint()
			if o := byPrint[print]; o != nil {
				require.Equal(t, lightKey(o), key, "%v and %v have one fingerprint", o.Faults(), s.Faults())
			}
			if o := byLight[key]; o != nil {
				require.Equal(t, o.Fingerprint(), print, "%v and %v look the same", o.Faults(), s.Faults())
			}
			byPrint[print], byLight[key] = s, s
		}
	}
}

// Pieces are the light, and what drives a place is what is seen there, of every
// strip of these props and frames of stretches, one after another in one memory.
func TestPiecesOfManyStrips(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	hues := []patterns.Colour{{}, {R: 50}, {G: 50}, {R: 9, G: 9, B: 9}, {W: 40}, {R: 1, G: 2, B: 3}, {C: 7}}
	var p Pieces
	for _, pr := range manyProps() {
		for _, s := range manyStrips(t, pr, 60) {
			f, c := make(patterns.Frame, pr.Pixels()), patterns.Colour{}
			for i := range f {
				if i == 0 || rng.IntN(3) == 0 {
					c = hues[rng.IntN(len(hues))]
				}
				f[i] = c
			}
			d := s.Lay(f)
			want := s.ShineInto(nil, d)
			s.PiecesInto(&p, d)
			require.Equal(t, want, p.written(t), "%v", s.Faults())
			s.PiecesLetGo(&p, d)
			require.Equal(t, s.ShineLetGo(nil, d), p.written(t), "%v", s.Faults())
			if s.sag == nil && s.copper == nil {
				if strings.HasPrefix(string(pr.Chip.Order), "GRB") && !pr.Chip.BackupLine() { // the slow model has no other kinds of chips
					require.Equal(t, slowLight(pr, s.Faults(), d.Slots()), want, "%v", s.Faults())
				}
				requireDrives(t, s, d, want)
			}
			require.Equal(t, PiecesOf(want).Runs, again(s, d).Runs, "%v", s.Faults())
		}
	}
}

// again is the pieces of a strip in new memory.
func again(s *Strip, d *SlotFrame) *Pieces {
	var p Pieces
	s.PiecesInto(&p, d)
	return &p
}

// Values at the limits of what a fault may have.
func TestLimitsOfFaults(t *testing.T) {
	p := bench("GRB", 36, 48)
	p.Address.Universe, p.Address.Slot = 5, 100
	for text, ok := range map[string]bool{
		"resistance run 2 by 0": false, "resistance run 2 by 1": true, "resistance run 2 by 1000000": true, "resistance run 2 by 1000001": false,
		"sag by -1": false, "sag by 0": true, "sag by 1000000": true, "sag by 1000001": false, "sag": true, "grouped by 1": false, "grouped by 2": true, "grouped by 100000": true, "grouped by 100001": false,
		"count run 1 by 0": false, "count run 1 by -35": true, "count run 1 by -36": false, "count run 1 by 99964": true, "count run 1 by 99965": false,
		"wrong-address by 0": false, "wrong-address by -4": true, "wrong-address by -5": false, "wrong-address by 63994": true, "wrong-address by 63995": false,
		"slot-shift by 0": false, "slot-shift by -100": true, "slot-shift by -101": false, "slot-shift by 411": true, "slot-shift by 412": false,
		"wrong-chip slots 2": false, "wrong-chip slots 3": false, "wrong-chip slots 4": true, "wrong-chip slots 5": true, "wrong-chip slots 6": false, "wrong-chip slots 4 order GRBW": true, "wrong-chip slots 4 order GRB": false,
		"open-joint pixel 0": false, "open-joint pixel 1": true, "open-joint pixel 84": true, "open-joint pixel 85": false, "run-mirrored run 1": true, "run-mirrored run 2": true, "run-mirrored run 3": false, "run-mirrored run 0": false,
		"dead-channel pixel 3 colour white": false, "dead-channel pixel 3 colour blue": true, "dead-channel pixel 3 colour B": true, "runs-swapped run 1 run 1": false, "runs-swapped run 2 run 1": true,
		"universes-swapped universe 5 universe 5": false, "universes-swapped universe 5 universe 6": false, "wrong-packing": false, "count run a by 1": true, "count run \"b\" by 1": true, "count run c by 1": false,
	} {
		_, err := ParseFault(text, p)
		assert.Equal(t, ok, err == nil, "%s: %v", text, err)
	}
	_, err := ParseFault("count run c by 1", p)
	assert.ErrorContains(t, err, "its runs are 1 a, 2 b")
	two := bench("GRB", 171)
	two.Address.Universe = 7
	for text, ok := range map[string]bool{"universes-swapped universe 7 universe 8": true, "universes-swapped universe 8 universe 7": true, "universes-swapped universe 6 universe 7": false, "universes-swapped universe 7 universe 9": false, "wrong-packing": true} {
		_, err := ParseFault(text, two)
		assert.Equal(t, ok, err == nil, "%s: %v", text, err)
	}
	apart := bench("GRB", 3, 3)
	apart.Runs[1].Apart, apart.Runs[0].Apart = true, true
	_, err = ParseFault("resistance run 2 by 5", apart)
	assert.ErrorContains(t, err, "its plus is not joined")
	_, err = ParseFault("resistance run 1 by 5", apart)
	assert.NoError(t, err)
}

// countsIn are the counts that a run may have. The highest stands for all above
// it as well, unless the plan could have no more.
func countsIn(t *testing.T, p *prop.Prop, run int) (out []int) {
	t.Helper()
	for _, f := range Every(Count, p) {
		if f.Run != run {
			continue
		}
		require.Equal(t, Fault{Kind: Count, Run: run, N: f.N, OrMore: f.OrMore}, f)
		if len(out) > 0 {
			require.Greater(t, f.N, out[len(out)-1])
		}
		out = append(out, f.N)
		if f.OrMore {
			return out
		}
	}
	assert.Equal(t, prop.MaxPixels, p.Pixels())
	return out
}

// numbers are the whole numbers from one to another.
func numbers(from, to int) (out []int) {
	for n := from; n <= to; n++ {
		out = append(out, n)
	}
	return out
}

// What a prop may have of each kind, counted by hand.
func TestEveryFaultAPropMayHave(t *testing.T) {
	p := bench("GRB", 5, 30)
	p.Address.Universe, p.Address.Slot = 2, 3
	values := func(k Kind) (out []int) {
		for _, f := range Every(k, p) {
			require.Equal(t, k, f.Kind)
			out = append(out, f.N)
		}
		return out
	}
	assert.Equal(t, append(numbers(-4, -1), append(numbers(1, 30), 31)...), countsIn(t, p, 0), "any fewer, and as many more as come after it; 31 stands for all above")
	assert.Equal(t, append(numbers(-29, -1), append(numbers(1, 10), 11)...), countsIn(t, p, 1), "nothing lights more at the very end")
	for n, apart := range map[int]int{1: 0, 2: 1, 5: 4, 10: 9, 11: 10, 12: 10, 300: 10} {
		few := bench("GRB", 7, n)
		assert.Equal(t, apart, CountsApart(few), "%d", n)
		assert.Equal(t, append(numbers(1-n, -1), numbers(1, apart+1)...), countsIn(t, few, 1), "told apart by a pixel that the plan has too")
	}
	assert.Empty(t, Every(Count, bench("GRB", 1)))
	long := bench("GRB", 2000, 9000, 5)
	assert.LessOrEqual(t, len(Every(Count, long)), 12000, "very long props have the smaller changes")
	assert.Greater(t, len(Every(Count, long)), 10000)
	assert.Contains(t, countsIn(t, long, 2), -4, "all there are, where they are small")
	assert.Equal(t, 9006, slices.Max(countsIn(t, long, 0)), "and what is dark however many there are")
	full := bench("GRB", prop.MaxPixels-20, 20)
	assert.Equal(t, 20, slices.Max(countsIn(t, full, 0)), "no prop has more pixels than can be planned")
	assert.Equal(t, []int{-3, -2, -1, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}, values(SlotShift))
	far := bench("GRB", 5)
	far.Address.Slot = 508
	assert.Equal(t, 3, slices.MaxFunc(Every(SlotShift, far), func(a, b Fault) int { return a.N - b.N }).N, "slot 512 is the last")
	assert.Equal(t, []int{1, -1}, values(WrongAddress), "one universe, one to either side")
	p.Address.Universe = 1
	assert.Equal(t, []int{1}, values(WrongAddress))
	p.Address.Universe = 63999
	assert.Equal(t, []int{-1}, values(WrongAddress))
	many := bench("GRB", 5000)
	many.Address.Universe = 100
	assert.Len(t, Every(WrongAddress, many), 24, "a dozen to either side")
	assert.Equal(t, []int{2, 3, 4, 6}, values(Grouped))
	assert.Len(t, Every(WrongOrder, bench("GRB", 3)), 5)
	assert.Len(t, Every(WrongOrder, bench("GRBW", 3)), 23)
	// Of five letters: ten exchanges of two, and the three colours turned with
	// both whites where they are, five, of which three are exchanges.
	assert.Len(t, Every(WrongOrder, bench("RGBWC", 3)), 10+5-3)
	assert.Equal(t, []int{4}, values(WrongChip))
	assert.Equal(t, 3, Every(WrongChip, bench("GRBW", 3))[0].N)
	assert.Len(t, Every(DeadChannel, bench("GRBW", 3)), 4)
	assert.Len(t, Every(StuckChannel, bench("GRBW", 3)), 3, "a white that stays lit hides the others")
	assert.Len(t, Every(RunsSwapped, bench("GRB", 1, 1, 1)), 3)
	assert.Len(t, pairs(12), 66)
	assert.Len(t, pairs(13), 12, "of many only neighbours")
	for _, ab := range pairs(13) {
		assert.Equal(t, 1, ab[1]-ab[0])
	}
	assert.Equal(t, []int{1, 2, 3}, universesOf(bench("GRB", 400)))
	for _, n := range sagOhms[1:] {
		i := slices.Index(sagOhms, n)
		assert.InDelta(t, 1.5, float64(n)/float64(sagOhms[i-1]), 0.11, "each about 1.5 times the one before")
	}
}

// How likely faults are beside others of their kind.
func TestWeightsOfFaults(t *testing.T) {
	p := bench("RGBW", 5, 5)
	w := func(f Fault) float64 { return f.Weight(p) }
	assert.Equal(t, 20*w(Fault{Kind: OpenJoint, Pixel: 3}), w(Fault{Kind: OpenJoint, Pixel: 5}), "a joint made by hand")
	assert.Equal(t, w(Fault{Kind: OpenJoint, Pixel: 0}), w(Fault{Kind: OpenJoint, Pixel: 5}))
	assert.Equal(t, w(Fault{Kind: DeadPixel, Pixel: 3}), w(Fault{Kind: DeadPixel, Pixel: 5}))
	assert.Greater(t, w(Fault{Kind: Count, N: 1}), w(Fault{Kind: Count, N: 2}))
	assert.Equal(t, w(Fault{Kind: Count, N: -3}), w(Fault{Kind: Count, N: 3}))
	assert.InDelta(t, 10, w(Fault{Kind: WrongOrder, Pixel: 3, Order: "GRBW"})/w(Fault{Kind: WrongOrder, Pixel: 3, Order: "WRGB"}), 1e-9)
	for _, k := range Kinds() {
		facts := FactsOf(k)
		want := 1.0
		if facts.Scope == FromPixel || facts.Scope == ChipsFrom {
			want = 20
		}
		assert.Equal(t, want, facts.JointWeight(), k)
	}
}

// The pixels that a fault concerns, by hand.
func TestPlacesOfFaults(t *testing.T) {
	p := bench("GRB", 5, 7)
	for _, row := range []struct {
		f    Fault
		want []prop.Span
	}{
		{Fault{Kind: NoSupply}, nil}, {Fault{Kind: OpenJoint, Pixel: 3}, []prop.Span{{First: 3, Last: 3}}}, {Fault{Kind: DeadPixel, Pixel: 11}, []prop.Span{{First: 11, Last: 11}}},
		{Fault{Kind: WrongChip, Pixel: 4}, []prop.Span{{First: 4, Last: 11}}}, {Fault{Kind: Count, Run: 1}, []prop.Span{{First: 5, Last: 11}}}, {Fault{Kind: RunMirrored}, []prop.Span{{First: 0, Last: 4}}},
		{Fault{Kind: RunsSwapped, Run: 1, Run2: 0}, []prop.Span{{First: 5, Last: 11}, {First: 0, Last: 4}}}, {Fault{Kind: Count, Run: 2}, []prop.Span{{First: 0, Last: -1}}}, {Fault{Kind: Count, Run: -1}, []prop.Span{{First: 0, Last: -1}}},
	} {
		assert.Equal(t, row.want, row.f.Places(p), "%v", row.f)
	}
}

// What a plan would say that follows a fault.
func TestBuiltByHand(t *testing.T) {
	p := bench("GRB", 5, 7, 2)
	p.Address.Slot = 9
	p.Runs[1].Reverse = true
	built := func(f Fault) prop.Found {
		var out prop.Found
		require.True(t, f.Built(&out, p), "%v", f)
		return out
	}
	assert.Equal(t, prop.Found{Slot: 12}, built(Fault{Kind: SlotShift, N: 2}))
	assert.Equal(t, map[int]int{1: 4}, built(Fault{Kind: Count, Run: 1, N: -3}).Pixels)
	assert.Equal(t, map[int]bool{1: false}, built(Fault{Kind: RunMirrored, Run: 1}).Reverse)
	assert.Equal(t, map[int]bool{0: true}, built(Fault{Kind: RunMirrored}).Reverse)
	assert.Equal(t, []int{2, 1, 0}, built(Fault{Kind: RunsSwapped, Run: 0, Run2: 2}).Runs)
	m := built(Fault{Kind: Mirrored})
	assert.Equal(t, []int{2, 1, 0}, m.Runs)
	assert.Equal(t, map[int]bool{0: true, 1: false, 2: true}, m.Reverse)
	assert.Equal(t, prop.Order("RGB"), built(Fault{Kind: WrongOrder, Order: "RGB"}).Order)
	var out prop.Found
	assert.False(t, Fault{Kind: WrongOrder, Order: "RGB", Pixel: 1}.Built(&out, p), "no plan has two orders")
	assert.False(t, Fault{Kind: DeadPixel}.Built(&out, p))
}

// The mixer of bits is splitmix64: its first numbers from seeds 0 and 1234567
// (published reference output, from memory).
func TestScatterIsSplitmix(t *testing.T) {
	assert.Equal(t, uint64(0xe220a8397b1dcdaf), scatter(0))
	assert.Equal(t, uint64(6457827717110365317), scatter(1234567))
	gamma := uint64(0x9e3779b97f4a7c15)
	assert.Equal(t, uint64(3203168211198807973), scatter(1234567+gamma))
}

// Contact is lost once in every 0.7 s for 0.13 s, random flashes last 0.25 s of
// every half second: looked at millisecond by millisecond.
func TestMomentsOfFlicker(t *testing.T) {
	for pixel := range 5 {
		l := looseContact{pixel: pixel}
		for turn := range 20 {
			out, changes, was := 0, 0, false
			for ms := range 700 {
				now := l.out(time.Duration(turn*700+ms) * time.Millisecond)
				if now {
					out++
				}
				if now != was {
					changes++
				}
				was = now
			}
			assert.Equal(t, 130, out, "turn %d of pixel %d", turn, pixel)
			assert.LessOrEqual(t, changes, 2, "once in each")
		}
	}
	assert.False(t, looseContact{}.out(-time.Millisecond))
	s := mustStrip(t, bench("GRB", 400), Fault{Kind: Sparkle})
	dark := make(Light, 1)
	for ms := range 1500 {
		dark[0] = make([]patterns.Colour, 400)
		l := s.sparkAt(dark, time.Duration(ms)*time.Millisecond)
		lit := 0
		for _, c := range l[0] {
			if !c.Dark() {
				lit++
			}
		}
		if ms%500 < 250 {
			assert.InDelta(t, 100, lit, 30, "a quarter of them at %d ms", ms)
			assert.False(t, l[0][0].Dark(), "and always the first")
		} else {
			assert.Zero(t, lit, "%d ms", ms)
		}
	}
	dark[0] = make([]patterns.Colour, 4)
	assert.True(t, s.sparkAt(dark, -1)[0][0].Dark())
	two := mustStrip(t, bench("GRB", 9), Fault{Kind: Flicker, Pixel: 6}, Fault{Kind: Flicker, Pixel: 3})
	frame := two.Lay(all(9, white))
	l := two.ShineLetGo(nil, frame)
	for i, c := range l[0] {
		assert.Equal(t, i >= 3, c.Dark(), "pixel %d: the first loose one counts", i)
	}
}

// A falling voltage of chips of unknown figures counts as 5 V, 60 a metre and
// 20 mA; what is known is taken. Ohms are of a metre, there and back.
func TestSagOfUnknownChips(t *testing.T) {
	g := newSag(&prop.Prop{}, Fault{})
	assert.InDelta(t, 5, g.volts, 1e-12)
	assert.InDelta(t, 1.5/60, g.ohms, 1e-12, "1.5 ohms unless the fault says")
	assert.InDelta(t, 0.020/255, g.step, 1e-12)
	g = newSag(&prop.Prop{Chip: prop.Chip{Volts: 12, ChannelAmps: 0.01, IdleAmps: 0.002, LightsPerMetre: 30, LightsPerPixel: 1}}, Fault{N: 600})
	assert.Equal(t, []float64{12, 0.02, 0.002}, []float64{g.volts, math.Round(g.ohms*1e9) / 1e9, g.idle})
	assert.InDelta(t, 0.01/255, g.step, 1e-12)
	assert.InDelta(t, 4.5, newSag(&prop.Prop{Chip: prop.Chip{Volts: 5}, Supply: prop.Supply{Volts: 4.5}}, Fault{}).volts, 1e-12)
	d := g.draw(patterns.Colour{R: 1, G: 2, B: 4, W: 8, C: 16})
	assert.InDelta(t, g.step, d.Red, 1e-12)
	assert.InDelta(t, 30*g.step, d.Rest, 1e-12)
	for n, want := range map[int]string{0: "The voltage falls along the prop: white", 1500: "as with about 1.5 Ω a metre there and back"} {
		assert.Contains(t, Fault{Kind: Sag, N: n}.Sentence(bench("GRB", 3)), want)
	}
	straddle := bench("GRB", 3)
	straddle.Address.Packing = prop.Straddle
	assert.Contains(t, Fault{Kind: WrongPacking}.Sentence(straddle), "keeps pixels whole")
	assert.Contains(t, Fault{Kind: WrongPacking}.Sentence(bench("GRB", 3)), "uses all 512 slots")
	p := bench("GRB", 3, 4)
	assert.Equal(t, []string{"the supply lead", `the joint between run "a" and run "b"`}, []string{copperName(p, 0), copperName(p, 1)})
	p.Feeds = []prop.Feed{{Pixel: 5}, {Pixel: 2, Name: "near"}, {Pixel: 2}}
	assert.Equal(t, 1, FeedOf(p))
	assert.Contains(t, copperName(p, 0), `"near"`)
	assert.Equal(t, "run-chip run 2 slots 4", Fault{Kind: RunChip, Run: 1, N: 4}.String())
	assert.Equal(t, "sag", Fault{Kind: Sag}.String())
	assert.Equal(t, "universes-swapped universe 3 universe 4", Fault{Kind: UniversesSwapped, N: 3, N2: 4}.String())
	assert.Equal(t, "dead-channel pixel 3 colour cool-white", Fault{Kind: DeadChannel, Pixel: 2, Channel: patterns.Cool}.String())
	assert.True(t, strings.HasPrefix(Fault{Kind: Count, N: 2}.Sentence(p), `Run "a" has 2 pixels more than planned: 5 instead of 3.`))
}

// The other chip's order: as given, else the planned one without its whites, or
// with them behind.
func TestOtherChips(t *testing.T) {
	for _, row := range []struct {
		planned prop.Order
		f       Fault
		want    prop.Order
	}{{"GRB", Fault{N: 4}, "GRBW"}, {"GRB", Fault{N: 5}, "GRBWC"}, {"GRBW", Fault{N: 3}, "GRB"}, {"WGRB", Fault{N: 3}, "GRB"}, {"RGBWC", Fault{N: 4}, "RGBW"}, {"RGBWC", Fault{N: 3}, "RGB"}, {"GRB", Fault{N: 4, Order: "WRGB"}, "WRGB"}, {"GRBW", Fault{N: 5}, "GRBWC"}, {"WGRBC", Fault{N: 4}, "WGRB"}, {"CGRB", Fault{N: 5}, "CGRBW"}} {
		assert.Equal(t, row.want, otherChip(row.planned, row.f), "%s %v", row.planned, row.f)
	}
	assert.Equal(t, uint8(0b1111), channelBits("GRBW"))
	assert.Equal(t, [patterns.NumChannels]uint8{1, 0, 2, none, none}, bytesOf("GRB"))
}

// What of a prop's faults lies on a run that is on the bench by itself.
func TestFaultsOfARunAlone(t *testing.T) {
	for _, row := range []struct {
		f     Fault
		stays bool
		pixel int
	}{
		{Fault{Kind: NoSupply}, true, 0}, {Fault{Kind: RunMirrored, Run: 1}, true, 0}, {Fault{Kind: RunMirrored, Run: 0}, false, 0}, {Fault{Kind: Resistance, Run: 1}, false, 0}, {Fault{Kind: RunsSwapped, Run: 1}, false, 0},
		{Fault{Kind: OpenJoint, Pixel: 5}, false, 5}, {Fault{Kind: OpenJoint, Pixel: 6}, true, 6}, {Fault{Kind: OpenJoint, Pixel: 4}, false, 4}, {Fault{Kind: OpenJoint, Pixel: 11}, true, 11}, {Fault{Kind: OpenJoint, Pixel: 12}, false, 12},
		{Fault{Kind: DeadPixel, Pixel: 5}, true, 5}, {Fault{Kind: DeadPixel, Pixel: 4}, false, 4}, {Fault{Kind: WrongChip, Pixel: 2}, true, 5}, {Fault{Kind: WrongChip, Pixel: 7}, true, 7}, {Fault{Kind: WrongChip, Pixel: 12}, false, 12},
	} {
		f, stays := row.f.onRun(1, 5, 11)
		assert.Equal(t, row.stays, stays, "%v", row.f)
		assert.Equal(t, row.pixel, f.Pixel)
	}
	f, stays := Fault{Kind: Resistance}.onRun(0, 0, 4)
	assert.True(t, stays, "%v", f)
	_, stays = Fault{Kind: OpenJoint}.onRun(0, 0, 4)
	assert.True(t, stays, "the lead from the controller is there")
}

// A count that may be higher as well is written, read, said and drawn so, and
// the plan does not follow it.
func TestOrMore(t *testing.T) {
	p := bench("GRB", 96, 40)
	f, err := ParseFault("count run 1 by 41 or more", p)
	require.NoError(t, err)
	assert.Equal(t, Fault{Kind: Count, N: 41, OrMore: true}, f)
	assert.Equal(t, "count run 1 by 41 or more", f.String())
	assert.Contains(t, f.Sentence(p), "at least 41 pixels more than planned: 137 or more instead of 96")
	assert.Equal(t, []string{"137 or more, not 96", "Over 136"}, f.Large(p))
	assert.False(t, f.Built(&prop.Found{}, p))
	same := mustStrip(t, p, Fault{Kind: Count, N: 41})
	assert.Equal(t, same.Fingerprint(), mustStrip(t, p, f).Fingerprint(), "it is simulated with the least")
	for text, want := range map[string]string{"count run 1 by 41 or less": `after "or" comes "more", not "less"`, "count run 1 by 41 or": `lacks a value after "or"`,
		"open-joint pixel 3 or more": `does not know the word "or"`, "count run 1 by -3 or more": "cannot have -3 or more"} {
		_, err := ParseFault(text, p)
		assert.ErrorContains(t, err, want)
	}
}
