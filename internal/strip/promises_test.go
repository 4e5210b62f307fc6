package strip

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
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
		fmt.Fprint(h, s.ShineInto(nil, d), s.ShineOpen(nil, d))
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
			s.PiecesOpen(&p, d)
			require.Equal(t, s.ShineOpen(nil, d), p.written(t), "%v", s.Faults())
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
				now := l.isOpen(time.Duration(turn*700+ms) * time.Millisecond)
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
	assert.False(t, looseContact{}.isOpen(-time.Millisecond))
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
	l := two.ShineOpen(nil, frame)
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
	d := g.draw(patterns.Colour{R: 1, G: 2, B: 4, W: 8, C: 16}, 1)
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
