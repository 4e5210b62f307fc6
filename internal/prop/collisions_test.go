package prop

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func small(name string, pixels int, a Address) *Prop {
	chip, _ := ChipByName("WS2812B")
	return &Prop{Name: name, Chip: chip, Address: a, Runs: []Run{{Name: "run", Pixels: pixels}}}
}

func TestCollisionsAreNamedToTheSlot(t *testing.T) {
	at := address(1, 1, Whole)
	// By hand: 10 pixels of 3 slots are slots 1 to 30.
	rows := []struct {
		name  string
		props []*Prop
		want  []string
	}{
		{"side by side", []*Prop{small("a", 10, at), small("b", 10, address(1, 31, Whole))}, nil},
		{"one slot", []*Prop{small("a", 10, at), small("b", 10, address(1, 30, Whole))},
			[]string{`"a" and "b" both use universe 1 slot 30 at 10.0.0.5: move one of them`}},
		{"several slots", []*Prop{small("a", 10, at), small("b", 2, address(1, 4, Whole))},
			[]string{`"a" and "b" both use universe 1 slots 4 to 9 at 10.0.0.5: move one of them`}},
		{"one file twice", []*Prop{small("a", 1, at), small("a", 1, at)},
			[]string{`"a" and another "a" both use universe 1 slots 1 to 3 at 10.0.0.5: move one of them`}},
		{"in the second universe", []*Prop{small("a", 180, at), small("b", 1, address(2, 28, Whole))},
			[]string{`"a" and "b" both use universe 2 slots 28 to 30 at 10.0.0.5: move one of them`}},
		{"another host", []*Prop{small("a", 10, at), small("b", 10, Address{Host: "10.0.0.6", Universe: 1})}, nil},
		{"another port", []*Prop{small("a", 10, at), small("b", 10, Address{Host: "10.0.0.5", Port: 6000, Universe: 1})}, nil},
		{"one host written twice", []*Prop{small("a", 1, Address{Host: "Pier.", Port: 5568, Universe: 1}), small("b", 1, Address{Host: "pier", Universe: 1})},
			[]string{`"a" and "b" both use universe 1 slots 1 to 3 at Pier.: move one of them`}},
		{"both multicast", []*Prop{small("a", 1, Address{Universe: 1}), small("b", 1, Address{Universe: 1})},
			[]string{`"a" and "b" both use universe 1 slots 1 to 3 at multicast: move one of them`}},
		{"multicast on two networks", []*Prop{small("a", 1, Address{Universe: 1, Interface: "eth0"}), small("b", 1, Address{Universe: 1, Interface: "eth1"})}, nil},
		{"multicast and a host", []*Prop{small("a", 1, Address{Universe: 1}), small("b", 1, at)},
			[]string{`"a" and "b" both use universe 1 slots 1 to 3 if 10.0.0.5 also listens to multicast: move one of them`}},
		{"an empty rest of a universe", []*Prop{small("a", 1, address(1, 511, Whole)), small("b", 1, address(1, 510, Whole))}, nil},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			var got []string
			for _, c := range Collisions(row.props) {
				got = append(got, c.Say(row.props))
			}
			assert.Equal(t, row.want, got)
		})
	}
}

// Collisions name exactly the slots that At puts two props on.
func TestCollisionLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var props []*Prop
		for i := range rapid.IntRange(2, 4).Draw(t, "props") {
			how := rapid.SampledFrom([]Packing{Whole, Straddle}).Draw(t, "packing")
			a := address(rapid.IntRange(1, 3).Draw(t, "universe"), rapid.IntRange(1, 512).Draw(t, "slot"), how)
			props = append(props, small(fmt.Sprint(i), rapid.IntRange(1, 400).Draw(t, "pixels"), a))
		}
		type pair struct {
			a, b int
			at   Place
		}
		want := map[pair]bool{}
		owner := map[Place][]int{}
		for i, p := range props {
			patch, _ := PatchFor(p)
			for px := range p.Pixels() {
				for ch := range 3 {
					at := patch.At(px, ch)
					for _, o := range owner[at] {
						want[pair{o, i, at}] = true
					}
					owner[at] = append(owner[at], i)
				}
			}
		}
		got := map[pair]bool{}
		for _, c := range Collisions(props) {
			for s := c.From; s <= c.To; s++ {
				got[pair{c.A, c.B, Place{c.Universe, s}}] = true
			}
		}
		if len(got) != len(want) {
			t.Fatalf("%d slots named, %d shared", len(got), len(want))
		}
		for k := range want {
			if !got[k] {
				t.Fatalf("%v is shared and not named", k)
			}
		}
	})
}

func TestHosts(t *testing.T) {
	props := []*Prop{
		small("a", 100, address(4, 1, Whole)),
		small("b", 170, address(2, 1, Straddle)),
		small("lamp", 1, Address{Universe: 63999, Slot: 509}),
	}
	// By hand: 100 pixels end at slot 300 of universe 4, so slot 301 is next;
	// the lamp takes slots 510 to 512 of the last universe: nothing is left.
	got := Hosts(props)
	require.Len(t, got, 2)
	assert.Equal(t, HostUse{Host: "10.0.0.5", Props: []string{"a", "b"}, Pixels: 270, Slots: 810, Universes: []int{2, 4},
		Next: Place{4, 300}, NextUniverse: 4, NextSlot: 301, EmptyUniverse: 5}, got[0])
	assert.Equal(t, "multicast", got[1].Host)
	assert.Zero(t, got[1].NextUniverse)
	assert.Zero(t, got[1].NextSlot)
	assert.Zero(t, got[1].EmptyUniverse)

	full := Hosts([]*Prop{small("full", 512, Address{Host: "h", Universe: 1, Packing: Straddle})})
	assert.Equal(t, 4, full[0].NextUniverse, "512 x 3 slots fill universes 1 to 3")
	assert.Equal(t, 1, full[0].NextSlot)
}

func TestStarSetFitsOneUniverse(t *testing.T) {
	// Source: common practice, three stars of 50, 40 and 30 pixels are 120 and
	// fit one universe; a bulb alone on a universe uses 4 slots.
	chip, _ := ChipByName("WS2811 5V")
	p := &Prop{Name: "star set", Chip: chip, Address: address(1, 1, Whole), Runs: []Run{{Pixels: 50}, {Pixels: 40}, {Pixels: 30}}}
	h := Hosts([]*Prop{p})[0]
	assert.Equal(t, 120, h.Pixels)
	assert.Equal(t, []int{1}, h.Universes)
	assert.Equal(t, 4, Hosts([]*Prop{BuoyLamp()})[0].Slots)
}
