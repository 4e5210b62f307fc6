package traffic

import (
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/foreign"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
)

// lamp has six GRB pixels from slot 1 of universe 3, in two runs of three.
var lamp = &prop.Prop{Name: "Pennant", Chip: prop.Chip{Order: "GRB", Volts: 5, LightsPerMetre: 60},
	Runs: []prop.Run{{Name: "mast", Pixels: 3}, {Name: "tail", Pixels: 3}}, Address: prop.Address{Universe: 3, Priority: 100}}

var (
	red   = patterns.Colour{R: 255}
	blue  = patterns.Colour{B: 255}
	green = patterns.Colour{G: 255}
)

func frame(c patterns.Colour) patterns.Frame {
	f := make(patterns.Frame, 6)
	for i := range f {
		f[i] = c
	}
	return f
}

// The source of each pixel's light, by the rules of ANSI E1.31-2018 6.2.3, 7.7 and
// START code 0xdd; the packets are laid out by octet numbers. In order GRB, 255 0 0 is
// green on the strip.
func TestLightOf(t *testing.T) {
	greens := []byte{255, 0, 0, 255, 0, 0, 255, 0, 0, 255, 0, 0, 255, 0, 0, 255, 0, 0}
	you, no, both := You, No, Merged
	for _, row := range []struct {
		name     string
		priority byte
		options  byte
		slots    []byte
		perSlot  []byte // START code 0xdd; nil for none
		sent     patterns.Frame
		from     [6]int
		shown    [6]patterns.Colour
	}{
		{"above us", 150, 0, greens, nil, frame(red), [6]int{}, [6]patterns.Colour{green, green, green, green, green, green}},
		{"above us, two pixels of slots: the rest is dark", 150, 0, greens[:6], nil, frame(red), [6]int{}, [6]patterns.Colour{green, green}},
		{"below us", 50, 0, greens, nil, frame(red), [6]int{you, you, you, you, you, you}, [6]patterns.Colour{red, red, red, red, red, red}},
		{"below us, and we do not send", 50, 0, greens, nil, nil, [6]int{}, [6]patterns.Colour{green, green, green, green, green, green}},
		{"preview", 150, 0x80, greens, nil, frame(red), [6]int{you, you, you, you, you, you}, [6]patterns.Colour{red, red, red, red, red, red}},
		{"beside us: merged, the highest value", 100, 0, greens[:3], nil, frame(red), [6]int{both, both, both, both, both, both},
			[6]patterns.Colour{{R: 255, G: 255}, red, red, red, red, red}},
		{"slot priorities", 50, 0, greens, []byte{150, 150, 150, 0, 0, 0, 50, 50, 50, 100, 100, 100, 150, 0, 150, 201, 201, 201}, frame(blue),
			[6]int{0, you, you, both, both, you}, [6]patterns.Colour{green, blue, blue, {G: 255, B: 255}, {G: 255}, blue}},
		{"nothing at all", 0, 0, nil, nil, nil, [6]int{no, no, no, no, no, no}, [6]patterns.Colour{}},
		{"no one else", 0, 0, nil, nil, frame(blue), [6]int{you, you, you, you, you, you}, [6]patterns.Colour{blue, blue, blue, blue, blue, blue}},
	} {
		t.Run(row.name, func(t *testing.T) {
			tr := protocol.NewTracker()
			s := foreign.Sender{CID: [16]byte{9}, Name: "Pier", Priority: row.priority, Options: row.options, Universe: 3}
			hear := func(slots []byte) {
				tr.Hear(protocol.Datagram{At: evening, From: netip.MustParseAddrPort("10.0.0.7:5568"), Octets: s.Data(slots...)})
			}
			if row.slots != nil {
				hear(row.slots)
			}
			if row.perSlot != nil {
				s.Start = 0xdd
				hear(row.perSlot)
			}
			patch, err := prop.PatchFor(lamp)
			require.NoError(t, err)
			mine := protocol.Ours{CID: protocol.CID{1}, Priority: 100, Universes: []protocol.Universe{3}}
			l := LightOf(patch, lamp.Chip.Order, tr.Report(evening.Add(time.Second)), mine, row.sent)
			for i, p := range l.Pixels {
				require.Equal(t, row.from[i], p.From, "pixel %d", i)
				require.Equal(t, row.shown[i], p.Shown, "pixel %d", i)
			}
			if row.from[0] == 0 {
				require.Equal(t, []protocol.CID{{9}}, l.Sources)
			}
		})
	}
}

// Stretches never join two runs, and hold every pixel once.
func TestStretches(t *testing.T) {
	patch, err := prop.PatchFor(lamp)
	require.NoError(t, err)
	sent := frame(red)
	sent[4] = blue
	l := LightOf(patch, lamp.Chip.Order, nil, protocol.Ours{}, sent)
	var got [][3]int
	for _, s := range l.Stretches(lamp.Runs) {
		got = append(got, [3]int{s.Run, s.First, s.Last})
	}
	require.Equal(t, [][3]int{{0, 0, 2}, {1, 3, 3}, {1, 4, 4}, {1, 5, 5}}, got)
	require.Equal(t, 6, l.Count(You))
	require.Zero(t, l.Count(No))
}

// A second model of ANSI E1.31-2018 6.2.3 and START code 0xdd, written differently. Of
// all sources of a slot the highest rank wins, at one rank the highest level. A source
// with rank 0 does not drive the slot, nor does a slotwise source that does not send
// it.
func TestStrongestOnASlot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		perSlot := rapid.Bool().Draw(t, "slotwise")
		a := &sharedUniverse{out: &protocol.Output{PerSlot: perSlot}, ours: ours}
		best, level, found := -1, 0, false
		for i := range rapid.IntRange(0, 4).Draw(t, "sources") {
			a.out.Sources = append(a.out.Sources, protocol.CID{byte(i + 2)})
			if rapid.IntRange(0, 5).Draw(t, "ours") == 0 {
				a.drivers = append(a.drivers, nil)
				continue
			}
			st := &protocol.StreamReport{Priority: rapid.SampledFrom([]uint8{0, 99, 100, 101}).Draw(t, "priority"), Slots: rapid.IntRange(5, 7).Draw(t, "slots")}
			st.Levels[6] = rapid.SampledFrom([]uint8{0, 1, 200}).Draw(t, "level")
			rank := int(st.Priority)
			if rapid.Bool().Draw(t, "with slot priorities") {
				st.SlotPriority = new([protocol.MaxSlots]byte)
				st.SlotPriority[6] = rapid.SampledFrom([]uint8{0, 1, 100, 200, 201, 255}).Draw(t, "slot priority")
				rank = int(st.SlotPriority[6])
				if rank == 0 || rank > 200 {
					rank = -1
				}
			}
			if perSlot && st.Slots < 7 {
				rank = -1
			}
			a.drivers = append(a.drivers, st)
			if rank < 0 {
				continue
			}
			found = true
			if v := int(st.Levels[6]); rank > best || rank == best && v > level {
				best, level = rank, v
			}
		}
		c, v, rank := a.rival(6)
		if (c != nil) != found || found && (int(rank) != best || int(v) != level) {
			t.Fatalf("slot goes to %v at %d with %d; want %v, %d, %d", c, rank, v, found, best, level)
		}
	})
}

// The stretches end with the runs or the pixels, whichever are fewer. Each pixel is in
// one stretch of its own run.
func TestStretchesHoldEveryPixelOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Light{Pixels: make([]Pixel, rapid.IntRange(0, 12).Draw(t, "pixels"))}
		for i := range l.Pixels {
			l.Pixels[i].From = rapid.IntRange(-1, 0).Draw(t, "from")
		}
		runs := make([]prop.Run, rapid.IntRange(0, 4).Draw(t, "runs"))
		want, at := []int{}, 0
		for i := range runs {
			runs[i].Pixels = rapid.IntRange(0, 5).Draw(t, "of the run")
			for range runs[i].Pixels {
				if at < len(l.Pixels) {
					want = append(want, i)
				}
				at++
			}
		}
		at = 0
		var last Stretch
		for i, s := range l.Stretches(runs) {
			if s.First != at || s.Last < s.First {
				t.Fatalf("a stretch from %d to %d at %d", s.First, s.Last, at)
			}
			for ; at <= s.Last; at++ {
				if want[at] != s.Run || l.Pixels[at] != s.Pixel {
					t.Fatalf("pixel %d in run %d", at, s.Run)
				}
			}
			if i > 0 && last.Run == s.Run && last.Pixel == s.Pixel {
				t.Fatal("two stretches that are one")
			}
			last = s
		}
		if at != len(want) {
			t.Fatalf("%d of %d pixels", at, len(want))
		}
	})
}

// A pixel whose channels have different sources is Merged; with one source for all
// channels it belongs to that source.
func TestPixelOfTwoDrivers(t *testing.T) {
	patch, err := prop.PatchFor(lamp)
	require.NoError(t, err)
	st := on(3, 150)
	st.Slots = 1
	st.Levels[0] = 77
	st.SlotPriority = &[protocol.MaxSlots]byte{150}
	u := follows(3, 2)
	u.Output.PerSlot = true
	r := &protocol.Report{At: evening, Sources: []protocol.SourceReport{src(2, "x", st)}, Universes: []protocol.UniverseReport{u}}
	l := LightOf(patch, lamp.Chip.Order, r, ours, frame(red))
	assert.Equal(t, Merged, l.Pixels[0].From, "green is theirs, red ours")
	assert.Equal(t, patterns.Colour{R: 255, G: 77}, l.Pixels[0].Shown)
	assert.Equal(t, red, l.Pixels[0].Yours)
	assert.Equal(t, You, l.Pixels[1].From)
	assert.Equal(t, []int{1, 5, 0}, []int{l.Count(Merged), l.Count(You), l.Count(No)})
	r.Sources[0].CID = ours.CID
	r.Universes[0] = follows(3, 1)
	l = LightOf(patch, lamp.Chip.Order, r, ours, frame(red))
	assert.Equal(t, 6, l.Count(You), "what we hear of ourselves is ours")
}
