package traffic

import (
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/foreign"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
)

// six RGB pixels from slot 1 of universe 3: two runs of three.
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

// Who lights each pixel, by the rules of ANSI E1.31-2018 6.2.3, 7.7 and START
// code 0xdd; the packets are laid out by octet numbers. Order GRB: 255 0 0 is
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
		{"nobody else", 0, 0, nil, nil, frame(blue), [6]int{you, you, you, you, you, you}, [6]patterns.Colour{blue, blue, blue, blue, blue, blue}},
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
