package prop

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/route"
)

// Collisions are the intersection of the slot sets of two props on one host, as ranges
// in order of universe and slot.
func TestCollisionsAsSets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var props []*Prop
		for i := range 3 {
			p := &Prop{Name: fmt.Sprint(i), Chip: drawnChip, Runs: []Run{{Pixels: rapid.IntRange(1, 400).Draw(t, "pixels")}}, Address: Address{Universe: uint16(rapid.IntRange(1, 3).Draw(t, "universe")),
				Slot: rapid.IntRange(0, 511).Draw(t, "slot"), Packing: rapid.SampledFrom([]Packing{Whole, Straddle}).Draw(t, "packing"), Host: "10.0.0.5"}}
			props = append(props, p)
		}
		owners := map[Place][]int{}
		for i, p := range props {
			patch, err := PatchFor(p)
			require.NoError(t, err)
			for px := range p.Pixels() {
				for ch := range 3 {
					owners[patch.At(px, ch)] = append(owners[patch.At(px, ch)], i)
				}
			}
		}
		got := map[[2]int]map[Place]bool{}
		var last Collision
		for k, c := range Collisions(props) {
			if c.From > c.To || k > 0 && (c.Universe < last.Universe || c.Universe == last.Universe && c.From < last.From) || c.Maybe {
				t.Fatalf("%+v after %+v", c, last)
			}
			last = c
			for s := c.From; s <= c.To; s++ {
				key := [2]int{c.A, c.B}
				if got[key] == nil {
					got[key] = map[Place]bool{}
				}
				got[key][Place{c.Universe, s}] = true
			}
		}
		for at, who := range owners {
			for a := range who {
				for b := range who[:a] {
					if !got[[2]int{who[b], who[a]}][at] {
						t.Fatalf("%v is of both %d and %d, and not said", at, who[b], who[a])
					}
				}
			}
		}
	})
}

// TestWhoMeets checks which pairs of addresses reach the same host.
func TestWhoMeets(t *testing.T) {
	for _, row := range []struct {
		a, b       Address
		yes, maybe bool
	}{
		{Address{Host: "a"}, Address{Host: "A."}, true, false}, {Address{Host: "a"}, Address{Host: "b"}, false, false}, {Address{Host: "a", Port: 5568}, Address{Host: "a"}, true, false},
		{Address{Host: "a", Port: 5569}, Address{Host: "a"}, false, false}, {Address{}, Address{}, true, false}, {Address{}, Address{Host: "a"}, true, true}, {Address{Host: "a"}, Address{}, true, true},
		{Address{Interface: "eth0"}, Address{Interface: "ETH0"}, true, false}, {Address{Interface: "eth0"}, Address{Interface: "eth1"}, false, false}, {Address{Interface: "eth0"}, Address{}, true, false},
		{Address{Interface: "eth0"}, Address{Host: "a", Interface: "eth1"}, false, false}, {Address{}, Address{Interface: "eth0"}, true, false}, {Address{Host: "a", Interface: "eth0"}, Address{Host: "a", Interface: "eth1"}, true, false},
	} {
		yes, maybe := sameHost(row.a, row.b)
		assert.Equal(t, [2]bool{row.yes, row.maybe}, [2]bool{yes, maybe}, "%+v %+v", row.a, row.b)
	}
	props := []*Prop{{Name: "A", Address: Address{Host: "pi"}}, {Name: "A"}, {Name: "B", Address: Address{Host: "pi"}}}
	assert.Equal(t, `"A" and another "A" both use universe 3 slots 1 to 2 if pi also listens to multicast: move one of them`, Collision{A: 0, B: 1, Universe: 3, To: 1, Maybe: true}.Say(props))
	assert.Equal(t, `"A" and another "A" both use universe 3 slots 1 to 2 if pi also listens to multicast: move one of them`, Collision{A: 1, B: 0, Universe: 3, To: 1, Maybe: true}.Say(props))
	assert.Equal(t, `"A" and "B" both use universe 3 slot 2 at pi: move one of them`, Collision{A: 0, B: 2, Universe: 3, From: 1, To: 1}.Say(props))
	for a, want := range map[Address]string{{}: "multicast", {Host: "a"}: "a", {Host: "a", Port: 5568}: "a", {Host: "a", Port: 1}: "a:1", {Host: "fe80::1", Port: 7000}: "[fe80::1]:7000", {Host: "fe80::1"}: "fe80::1", {Port: 7}: "multicast"} {
		assert.Equal(t, want, a.HostName())
	}
}

// What is free after the last slot in use, by hand.
func TestNextFree(t *testing.T) {
	host := func(universe, slot, pixels int) HostUse {
		p := &Prop{Name: "p", Chip: drawnChip, Runs: []Run{{Pixels: pixels}}, Address: Address{Host: "pi", Universe: uint16(universe), Slot: slot, Packing: Straddle}}
		return Hosts([]*Prop{p})[0]
	}
	for _, row := range []struct {
		universe, slot, pixels     int
		nextU, nextS, empty, slots int
	}{
		{1, 0, 170, 1, 511, 2, 510}, {1, 1, 170, 1, 512, 2, 510}, {1, 2, 170, 2, 1, 2, 510}, {63999, 0, 170, 63999, 511, 0, 510}, {63999, 2, 170, 0, 0, 0, 510}, {63998, 2, 170, 63999, 1, 63999, 510},
	} {
		h := host(row.universe, row.slot, row.pixels)
		assert.Equal(t, [4]int{row.nextU, row.nextS, row.empty, row.slots}, [4]int{h.NextUniverse, h.NextSlot, h.EmptyUniverse, h.Slots}, "%+v", row)
	}
	a := &Prop{Name: "a", Chip: drawnChip, Runs: []Run{{Pixels: 10}}, Address: Address{Host: "pi", Universe: 5}}
	b := &Prop{Name: "b", Chip: drawnChip, Runs: []Run{{Pixels: 10}}, Address: Address{Host: "PI", Universe: 2, Slot: 100}}
	c := &Prop{Name: "c", Chip: drawnChip, Runs: []Run{{Pixels: 20}}, Address: Address{Host: "pi", Universe: 5, Slot: 40}}
	bad := &Prop{Name: "bad", Chip: drawnChip, Address: Address{Host: "pi", Universe: 9}}
	for _, order := range [][]*Prop{{a, b, c, bad}, {c, bad, b, a}} {
		h := Hosts(order)
		require.Len(t, h, 1)
		assert.Equal(t, []int{2, 5}, h[0].Universes)
		assert.Equal(t, []int{40, 120, 5, 101, 6}, []int{h[0].Pixels, h[0].Slots, h[0].NextUniverse, h[0].NextSlot, h[0].EmptyUniverse})
		assert.Len(t, h[0].Props, 3)
	}
}

// Two tables name the same slots only where all four numbers of each row agree.
func TestSameSlots(t *testing.T) {
	r := Row{FirstUniverse: 1, FirstSlot: 2, LastUniverse: 3, LastSlot: 4}
	assert.True(t, SameSlots([]Row{r, r}, []Row{r, r}))
	assert.False(t, SameSlots([]Row{r}, []Row{r, r}))
	for _, change := range []func(*Row){func(r *Row) { r.FirstUniverse++ }, func(r *Row) { r.FirstSlot++ }, func(r *Row) { r.LastUniverse++ }, func(r *Row) { r.LastSlot++ }} {
		s := r
		change(&s)
		assert.False(t, SameSlots([]Row{r, r}, []Row{r, s}))
		assert.False(t, SameSlots([]Row{s, r}, []Row{r, r}))
	}
	for cell, want := range map[string]string{"": "", "=1": "'=1", "+1": "'+1", "-1": "'-1", "@x": "'@x", "a=": "a=", "1": "1", "\tx": "'\tx"} {
		assert.Equal(t, want, escapeFormula(cell))
	}
	p := &Prop{Chip: drawnChip, Runs: []Run{{Name: "a", Pixels: 2}, {Name: "none"}, {Name: "b", Pixels: 1, Reverse: true}}, Address: Address{Universe: 7, Slot: 3}}
	rows, err := RowsFor(p)
	require.NoError(t, err)
	require.Len(t, rows, 2, "a run without a pixel has no row")
	assert.Equal(t, []int{1, 2, 4, 9}, []int{rows[0].FirstPixel, rows[0].LastPixel, rows[0].FirstSlot, rows[0].LastSlot})
	assert.Equal(t, []int{3, 3, 10, 12}, []int{rows[1].FirstPixel, rows[1].LastPixel, rows[1].FirstSlot, rows[1].LastSlot})
	assert.Equal(t, "forward backward", rows[0].Travel+" "+rows[1].Travel)
	for text := range strings.Lines(RowsText(rows)) {
		assert.Equal(t, strings.TrimRight(text, " \n"), strings.TrimRight(text, "\n"))
	}
	lines := strings.Split(RowsText(rows), "\n")
	assert.Equal(t, strings.Index(lines[0], "travel"), strings.Index(lines[1], "forward"))
	assert.Equal(t, strings.Index(lines[0], "order"), strings.Index(lines[1], "GRB"))
	other := Straddle
	assert.Equal(t, Whole, other.Other())
	assert.Equal(t, Straddle, Whole.Other())
	assert.Contains(t, Straddle.About(), "all 512 slots")
	assert.Contains(t, Whole.About(), "stays in one universe")
}

// A section keeps the places and empty parts of its pixels, and a lead only at an end
// of the original run.
func TestSectionsCutAsTheyLie(t *testing.T) {
	p := &Prop{Name: "T", Chip: drawnChip, Address: Address{Universe: 1}, Runs: []Run{
		{Name: "a", Pixels: 10, Cut: 1, LeadIn: 1, LeadOut: 2, JointOhms: 3, Closed: true, Shape: Shape{Kind: Line, Centre: Point{1, 1}}}, {Name: "b", Pixels: 5, LeadIn: 4, Shape: Shape{Kind: Line, Centre: Point{9, 9}}}},
		Parts: []Part{{Name: "hole", First: 3, Last: 11, Empty: true}, {Name: "word", First: 2, Last: 4}, {Name: "past", First: 14, Last: 15}, {Name: "odd", First: 5, Last: 4}, {Name: "one", First: 14, Last: 14}}, Feeds: []Feed{{}}}
	var names []string
	for _, c := range p.Sections() {
		names = append(names, fmt.Sprintf("%s %d-%d %d", c.Name, c.First, c.Last, c.Last-c.First+1))
	}
	assert.Equal(t, []string{"a 0-9 10", "b 10-14 5", "word 2-4 3", "one 14-14 1"}, names)
	sub := func(first, last int) *Prop {
		q, err := Sub(p, Section{"x", first, last})
		require.NoError(t, err)
		assert.Equal(t, last-first+1, q.Pixels())
		assert.Equal(t, Point{}, Point{})
		at, whole := Layout(q), Layout(p)
		flat := append(append([]Point(nil), whole[0]...), whole[1]...)
		k := first
		for _, run := range at {
			for _, got := range run {
				assert.InDelta(t, 0, dist(flat[k], got), 1e-6, "pixel %d of %d-%d", k, first, last)
				k++
			}
		}
		return q
	}
	for first := range 15 {
		for last := first; last < 15; last++ {
			q := sub(first, last)
			empty := 0
			for _, part := range q.Parts {
				require.True(t, part.Empty)
				empty += part.Last - part.First + 1
				assert.Equal(t, max(0, 3-first), part.First)
			}
			assert.Equal(t, max(0, min(11, last)-max(3, first)+1), empty)
		}
	}
	q := sub(0, 9)
	assert.Equal(t, p.Runs[0], q.Runs[0], "a whole run stays as it is")
	q = sub(0, 8)
	assert.Equal(t, []float64{1, 0, 3}, []float64{q.Runs[0].LeadIn, q.Runs[0].LeadOut, q.Runs[0].JointOhms})
	q = sub(1, 9)
	assert.Equal(t, []float64{0, 2, 0}, []float64{q.Runs[0].LeadIn, q.Runs[0].LeadOut, q.Runs[0].JointOhms})
	assert.Equal(t, "a 2-10", q.Runs[0].Name)
	assert.False(t, q.Runs[0].Closed)
	for _, bad := range [][2]int{{-1, 3}, {4, 3}, {3, 15}} {
		_, err := Sub(p, Section{"x", bad[0], bad[1]})
		assert.ErrorContains(t, err, fmt.Sprintf("pixels %d to %d: T has 15", bad[0]+1, bad[1]+1))
	}
	_, err := p.Section("HOLE")
	assert.ErrorContains(t, err, "left empty")
	_, err = p.Section("mast")
	assert.ErrorContains(t, err, "give one of a, b, word, one")
	c, err := p.Section("WORD")
	assert.NoError(t, err)
	assert.Equal(t, 2, c.First)
	_, err = (&Prop{Name: "L", Runs: []Run{{Pixels: 3}}}).Section("x")
	assert.ErrorContains(t, err, "has one run and no named parts")
}

// Unsaved texts are kept beside their file under different names, at most twenty, and
// the newest is found.
func TestTwentyWait(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "p.toml")
	for n := 1; n <= 20; n++ {
		file, err := KeepUnsaved(path, "", plain+strings.Repeat("#", n)+"\n")
		require.NoError(t, err)
		want := path + ".unsaved"
		if n > 1 {
			want += fmt.Sprintf("-%d", n)
		}
		assert.Equal(t, want, file)
		at := time.Now().Add(time.Duration(n%7) * time.Hour)
		require.NoError(t, os.Chtimes(file, at, at))
	}
	_, err := KeepUnsaved(path, "", plain)
	assert.ErrorContains(t, err, "20 files such as")
	u := FindUnsaved(path, "")
	require.NotNil(t, u)
	assert.True(t, strings.HasSuffix(u.File, "-6") || strings.HasSuffix(u.File, "-13") || strings.HasSuffix(u.File, "-20"), "the newest: %s", u.File)
	file, text := UnsavedText(path, "")
	assert.NotEmpty(t, text)
	assert.True(t, strings.HasSuffix(file, "-6") || strings.HasSuffix(file, "-13") || strings.HasSuffix(file, "-20"), "the newest: %s", file)
	older := filepath.Join(dir, "q.toml")
	require.NoError(t, os.WriteFile(older+".unsaved", nil, 0o644))
	file, text = UnsavedText(older, "")
	assert.Empty(t, file+text, "an empty text is no text")
	file, _ = UnsavedText(filepath.Join(dir, "none.toml"), "")
	assert.Empty(t, file)
}

// Counts from lengths: whole is the most that is no longer than the tube,
// nearest the closest, and what is left is below one pitch.
func TestFitsInWords(t *testing.T) {
	for metres, want := range map[float64]string{0.6: "36 pixels fit whole, 0 mm of tube stays unlit", 0.605: "36 pixels fit whole, 5 mm of tube stays unlit", 0.61: "36 pixels fit whole, 10 mm of tube stays unlit; 37 is the nearest pad, 6.7 mm past the end"} {
		assert.Equal(t, want, FitLength(metres, drawnChip).Say(false))
	}
	assert.Zero(t, FitLength(-1, drawnChip).Whole)
	assert.Zero(t, FitLength(1, Chip{}).Whole)
	assert.Equal(t, MaxPixels+1, FitLength(1e9, drawnChip).Whole)
	assert.Equal(t, MaxPixels+1, FitLength(1e9, drawnChip).Nearest)
	assert.InDelta(t, 0.6, StripLength(36, drawnChip), 1e-12)
	marks := Backbone([]float64{4, 0, 2, -1})
	assert.Equal(t, []Mark{{0, 0}, {2, 1}, {2, 3}, {0, 4}}, marks)
	p := &Prop{Chip: drawnChip, Runs: []Run{{Pixels: 60, Shape: Shape{Kind: Ring}}, {Pixels: 3}, {Pixels: 3, Shape: Shape{Kind: Ring, Diameter: 2}}}}
	runs, ds := RingDiameters(p)
	assert.Equal(t, []int{0, 2}, runs)
	assert.InDelta(t, 1/math.Pi, ds[0], 1e-12)
	assert.Equal(t, 2.0, ds[1])
}

// Where data comes in, in words: corners and the middles of the sides of the box
// round all holes, here from (1, 2) to (5, 10).
func TestPlacesOfDataIn(t *testing.T) {
	g := &Sign{Plate: route.Plate{Holes: []route.Hole{{Point: route.Point{X: 1, Y: 10}}, {Point: route.Point{X: 5, Y: 2}}}}}
	for text, want := range map[string]route.Point{"left": {X: 1, Y: 6}, "right": {X: 5, Y: 6}, "top": {X: 3, Y: 10}, "bottom": {X: 3, Y: 2}, "top left": {X: 1, Y: 10}, "Bottom-Right": {X: 5, Y: 2}, "left, bottom": {X: 1, Y: 2}} {
		p, ok := g.corner(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, p, text)
	}
	for _, text := range []string{"", "middle", "top left bottom", "left side"} {
		_, ok := g.corner(text)
		assert.False(t, ok, text)
	}
}

// A file of just the most bytes is read, one more is not.
func TestFilesOfTheMostBytes(t *testing.T) {
	path := filepath.Join(t.TempDir(), "x")
	require.NoError(t, os.WriteFile(path, []byte("12345"), 0o600))
	for limit, ok := range map[int64]bool{4: false, 5: true, 6: true} {
		text, err := ReadFile(path, limit)
		assert.Equal(t, ok, err == nil, "%d bytes at most", limit)
		assert.Equal(t, ok, string(text) == "12345")
	}
}

// What small props take over and list.
func TestSmallestOfEach(t *testing.T) {
	p := &Prop{Name: "T", Chip: drawnChip, Runs: []Run{{Name: "a", Pixels: 2}, {Name: "none"}, {Name: "b", Pixels: 3, Shape: Shape{Kind: Ring, Diameter: 0.5}}}}
	assert.Len(t, p.Sections(), 2, "a run without a pixel is none")
	_, ds := RingDiameters(p)
	assert.Equal(t, []float64{0.5}, ds)
	_, d, err := Parse([]byte(fileOf([]int{3, 2}, 0, 0, 0)), "t.toml")
	require.NoError(t, err)
	next, err := d.TakeOver(Found{Group: 1, Universe: 1, Slot: 1, Order: "RGB", Pixels: map[int]int{0: 4}, Reverse: map[int]bool{1: true}, Runs: []int{1, 0}})
	require.NoError(t, err)
	for _, line := range []string{"group = 1", "slot = 1", "order = \"RGB\""} {
		assert.Contains(t, next.Text(), line)
	}
	assert.Equal(t, []int{2, 4}, []int{next.Prop().Runs[0].Pixels, next.Prop().Runs[1].Pixels})
	assert.True(t, next.Prop().Runs[0].Reverse)
	assert.NotContains(t, d.Text(), "group", "the document itself stays")
}
