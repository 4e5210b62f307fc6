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

var drawnChip = Chip{Name: "x", Order: "GRB", LightsPerMetre: 60, LightsPerPixel: 1}

// Pixel i of a ring of n lies at its share of the way round from the start,
// clockwise from the top; reversed, counter-clockwise. Where no diameter is
// given the strip's length is the circumference.
func TestRingsByTrigonometry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "pixels")
		r := Run{Pixels: n, Shape: Shape{Kind: Ring, Start: float64(rapid.IntRange(0, 359).Draw(t, "start")), Centre: Point{3, -2}}, Reverse: rapid.Bool().Draw(t, "reverse")}
		radius := float64(n) / 60 / (2 * math.Pi)
		if rapid.Bool().Draw(t, "diameter given") {
			r.Shape.Diameter, radius = 0.5, 0.25
		}
		p := &Prop{Chip: drawnChip, Runs: []Run{r}}
		for i, at := range Layout(p)[0] {
			turn := 360 * float64(i) / float64(n)
			if r.Reverse {
				turn = -turn
			}
			deg := (r.Shape.Start + turn) * math.Pi / 180
			x, y := 3+radius*math.Sin(deg), -2+radius*math.Cos(deg)
			if math.Hypot(at.X-x, at.Y-y) > 0.002*radius {
				t.Fatalf("pixel %d of %d at %v, want %g, %g", i, n, at, x, y)
			}
		}
	})
}

// Pixels of a line lie half a pitch from its ends, evenly, about its centre at
// its angle; of an outline along its corners.
func TestLinesAndOutlines(t *testing.T) {
	line := func(r Run) []Point { return Layout(&Prop{Chip: drawnChip, Runs: []Run{r}})[0] }
	near := func(want, got []Point) {
		t.Helper()
		require.Len(t, got, len(want))
		for i := range want {
			assert.InDelta(t, want[i].X, got[i].X, 1e-9, "pixel %d", i)
			assert.InDelta(t, want[i].Y, got[i].Y, 1e-9, "pixel %d", i)
		}
	}
	near([]Point{{4, 6.5}, {4, 7.5}}, line(Run{Pixels: 2, Cut: 2, Shape: Shape{Kind: Line, Angle: 90, Centre: Point{4, 7}}}))
	near([]Point{{4, 7.5}, {4, 6.5}}, line(Run{Pixels: 2, Cut: 2, Reverse: true, Shape: Shape{Kind: Line, Angle: 90, Centre: Point{4, 7}}}))
	near([]Point{{0.5, 0}, {1, 0.5}, {1, 1.5}}, line(Run{Pixels: 3, Shape: Shape{Kind: Outline, Corners: []Point{{0, 0}, {1, 0}, {1, 2}}}}))
	square := []Point{{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}}
	near([]Point{{0, 0}, {1, 0}, {1, 1}, {0, 1}}, line(Run{Pixels: 4, Shape: Shape{Kind: Outline, Corners: square}}))
	near([]Point{{0, 0}, {0, 1}, {1, 1}, {1, 0}}, line(Run{Pixels: 4, Reverse: true, Shape: Shape{Kind: Outline, Corners: square}}))
	near([]Point{{0, 0}, {1, 0}}, line(Run{Pixels: 2, Shape: Shape{Kind: String, Corners: []Point{{0, 0}, {1, 0}, {5, 5}}}}))
	near([]Point{{5, 5}, {1, 0}}, line(Run{Pixels: 2, Reverse: true, Shape: Shape{Kind: String, Corners: []Point{{0, 0}, {1, 0}, {5, 5}}}}))
	near([]Point{{0, 0}, {1, 0}, {1, 0}}, line(Run{Pixels: 3, Shape: Shape{Kind: String, Corners: []Point{{0, 0}, {1, 0}}}}))
	near([]Point{{0, 0}, {0, 0}}, line(Run{Pixels: 2, Reverse: true, Shape: Shape{Kind: String, Corners: []Point{{0, 0}}}}))
	assert.Equal(t, []Point{{1, 2}}, Layout(&Prop{Runs: []Run{{Pixels: 1, Shape: Shape{Kind: String, Corners: []Point{{1, 2}}}}}})[0])
}

// Lines without a place lie below the rest, a tenth of the longest run from
// each other.
func TestLooseLinesKeepApart(t *testing.T) {
	p := &Prop{Chip: drawnChip, Runs: []Run{{Pixels: 6}, {Pixels: 60, Shape: Shape{Kind: Ring, Diameter: 0.4}}, {Pixels: 600, Shape: Shape{Kind: Line}}, {Pixels: 6, Shape: Shape{Kind: Line}}}}
	p.Runs[0].Shape.Kind = Line
	at := Layout(p)
	for k, want := range map[int]float64{0: -0.2 - 1, 2: -0.2 - 2, 3: -0.2 - 3} {
		for _, q := range at[k] {
			assert.InDelta(t, want, q.Y, 1e-3, "run %d: 600 pixels of 60 a metre are 10 m", k)
		}
	}
	lone := Layout(&Prop{Chip: drawnChip, Runs: []Run{{Pixels: 6, Shape: Shape{Kind: Line}}, {Pixels: 6, Shape: Shape{Kind: Line}}}})
	assert.InDelta(t, 0, lone[0][0].Y, 1e-12)
	assert.InDelta(t, -1.0/60, lone[1][0].Y, 1e-12, "a sixtieth of a metre at least")
	bulb := &Prop{Chip: Chip{}, Runs: []Run{{Pixels: 3}}}
	assert.InDelta(t, 3.0/60, bulb.Length(0), 1e-12)
	assert.InDelta(t, 6.0/60, p.Length(0), 1e-12)
	p.Runs[0].Cut = 7
	assert.Equal(t, 7.0, p.Length(0))
	lo, hi := Bounds([]Point{{1, 5}, {2, 3}}, nil, []Point{{-1, 4}})
	assert.Equal(t, [2]Point{{-1, 3}, {2, 5}}, [2]Point{lo, hi})
	lo, hi = Bounds()
	assert.Equal(t, [2]Point{}, [2]Point{lo, hi})
}

// Stars of any number of points: 2n sides of one length, every second corner on
// the circle, and from five points on each side in line with another, as drawn
// by hand; fewer have a waist of 0.4.
func TestStarsOfAnyPoints(t *testing.T) {
	for n := 2; n <= 12; n++ {
		path := starPath(Shape{Kind: Star, Points: n, Diameter: 2, Start: 10}, 0)
		require.Len(t, path, 2*n+1)
		assert.InDelta(t, 0, dist(path[0], path[2*n]), 1e-9)
		side := dist(path[0], path[1])
		for i := range 2 * n {
			assert.InDelta(t, side, dist(path[i], path[i+1]), 1e-9)
			r := math.Hypot(path[i].X, path[i].Y)
			switch {
			case i%2 == 0:
				assert.InDelta(t, 1, r, 1e-9)
			case n < 5:
				assert.InDelta(t, 0.4, r, 1e-9)
			}
		}
		if n >= 5 { // point 0, the waists beside it and point 4 (the second one on) are in line
			a, b, c := path[0], path[1], path[4]
			assert.InDelta(t, 0, (b.X-a.X)*(c.Y-a.Y)-(b.Y-a.Y)*(c.X-a.X), 1e-9, "%d points", n)
		}
		byLength := starPath(Shape{Kind: Star, Points: n}, 3)
		assert.InDelta(t, 3, pathLength(byLength), 1e-9)
	}
	assert.Len(t, starPath(Shape{Points: 1, Diameter: 1}, 0), 11, "five points where none are given")
	assert.Len(t, starPath(Shape{Points: 2, Diameter: 1}, 0), 5)
}

// Two props meet where the very slots of one host are theirs both, spelled as an
// intersection of sets; the stretches come by universe and slot.
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

// Whether two addresses reach one host.
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
		yes, maybe := meet(row.a, row.b)
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
		assert.Equal(t, want, harmless(cell))
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

// A section keeps what its pixels have: its place, its empty parts, and leads
// only where it has the run's own end.
func TestSectionsCutAsTheyLie(t *testing.T) {
	p := &Prop{Name: "T", Chip: drawnChip, Address: Address{Universe: 1}, Runs: []Run{
		{Name: "a", Pixels: 10, Cut: 1, LeadIn: 1, LeadOut: 2, JointOhms: 3, Closed: true, Shape: Shape{Kind: Line, Centre: Point{1, 1}}}, {Name: "b", Pixels: 5, LeadIn: 4, Shape: Shape{Kind: Line, Centre: Point{9, 9}}}},
		Parts: []Part{{Name: "hole", First: 3, Last: 11, Empty: true}, {Name: "word", First: 2, Last: 4}, {Name: "past", First: 14, Last: 15}, {Name: "odd", First: 5, Last: 4}, {Name: "one", First: 14, Last: 14}}, Feeds: []Feed{{}}}
	var names []string
	for _, c := range p.Sections() {
		names = append(names, fmt.Sprintf("%s %d-%d %d", c.Name, c.First, c.Last, c.Pixels()))
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

// What was not saved waits beside its file under one name after another, at most
// twenty, and the newest is found.
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

// Pieces of marks: letters and digits are pieces of their own where no table
// names them; one inside another is told apart, sharing some holes is refused.
func TestPiecesOfMarks(t *testing.T) {
	sign := func(holes, pieces string) (*Document, error) {
		_, d, err := Parse([]byte(signHead+"[sign]\npitch = \"1 cm\"\nreach = \"9 cm\"\nholes = '''\n"+holes+"\n'''\n"+pieces), "t.toml")
		return d, ButForTheRoute(err)
	}
	piece := func(name, marks string) string { return fmt.Sprintf("[[piece]]\nname = %q\nmarks = %q\n", name, marks) }
	for _, row := range []struct {
		holes, pieces, want string
	}{
		{"a", "", ""}, {"aa", "", ""}, {"ab", "", "a b"}, {"a*", "", "a"}, {"**", "", ""}, {"a1*", "", "a 1"}, {"aA", "", "small a A"}, {"ab", piece("word", "ab"), "word a<word b<word"},
		{"ab", piece("x", "a"), "x b"}, {"abc", piece("w", "abc") + piece("p", "ab"), "w p<w a<p b<p c<w"}, {"ab", piece("B", "a"), "B letter b"}, {"abc", piece("l", "ab") + piece("r", "c"), "l r a<l b<l"},
	} {
		d, err := sign(row.holes, row.pieces)
		require.NoError(t, err, row.holes)
		var got []string
		for _, p := range d.Sign().Plate.Pieces {
			name := p.Name
			if p.In >= 0 {
				name += "<" + d.Sign().Plate.Pieces[p.In].Name
			}
			got = append(got, name)
		}
		assert.Equal(t, row.want, strings.Join(got, " "), "%s %s", row.holes, row.pieces)
	}
	for pieces, want := range map[string]string{piece("x", "ab") + piece("y", "bc"): `"y" shares some of its holes with "x"`, piece("x", "ab") + piece("y", "ba"): `"y" has the same holes as "x"`, piece("x", "z"): `no hole is marked "z": the holes are marked a b c`,
		piece("x", ""): "is empty", "[[piece]]\nname = \"x\"\n": "does not say which holes it is", piece("x", "a") + piece("X", "b"): "is also the name"} {
		_, err := sign("abc", pieces)
		assert.ErrorContains(t, err, want)
	}
	_, err := sign("abcde", piece("1", "abcde")+piece("2", "abcd")+piece("3", "abc")+piece("4", "ab")+piece("a", "a"))
	assert.ErrorContains(t, err, "lies in 5 pieces, and 4 is the most")
	_, err = sign("abcd", piece("1", "abcd")+piece("2", "abc")+piece("3", "ab")+piece("a", "a"))
	assert.NoError(t, err)
}

// What a string that is too short, or cannot reach, is told.
func TestSignsThatCannotBe(t *testing.T) {
	g := &Sign{Plate: route.Plate{Reach: 0.1, Tucked: 1, Pixels: 5, Holes: []route.Hole{{Point: route.Point{}}, {Point: route.Point{X: 0.25}}, {Point: route.Point{X: 0.8}}, {Point: route.Point{X: 0.9}}}},
		Spots: []HoleSpot{{Item: 1}, {Item: 2}, {Row: 3, Column: 4}, {Item: 4}}}
	for n, want := range map[int]string{-1: "one length", 0: "one length", 1: "2 lengths", 4: "5 lengths"} {
		assert.Equal(t, want, reaches(n))
	}
	r := route.Route{Order: []int{0, 1, 2, 3}, Tucked: []int{1, 2, 5, 0}, Dark: 8, LeastDark: 8}
	p := g.RouteProblem(r, nil)
	require.NotNil(t, p)
	assert.Equal(t, "the string has 5 pixels, and every route takes 12: 4 holes and 8 tucked away dark where a step is longer than the cord", p.Text)
	assert.Equal(t, "use a string of 12 or more, a longer cord, or a hole between hole 2 and row 3, column 4, which are 55 cm apart", p.Hint)
	r.LeastDark = 7
	assert.Contains(t, g.RouteProblem(r, nil).Text, "the best route found takes 12")
	r.Tucked = []int{8, 0, 0, 0}
	assert.Equal(t, "use a string of 12 or more", g.RouteProblem(r, nil).Hint, "a long way in is no step between holes")
	r.Tucked = []int{0, 1, 0, 0}
	assert.Contains(t, g.RouteProblem(r, nil).Hint, "between hole 1 and hole 2, which are 25 cm apart")
	for pixels, want := range map[int]bool{0: false, 11: true, 12: false, 13: false} {
		g.Plate.Pixels = pixels
		assert.Equal(t, want, g.RouteProblem(r, nil) != nil, "%d", pixels)
	}
	for enough, want := range map[int]string{20: " or write tucked = 20", 21: ""} {
		e := &route.StepError{From: -1, To: 2, Step: 0.3, Enough: enough}
		assert.Equal(t, "make the lead longer"+want, g.RouteProblem(r, e).Hint)
		assert.Equal(t, "no route was found: the string would begin at the hole in row 3, column 4, 30 cm away", g.RouteProblem(r, e).Text)
		e.From, e.Tucking, e.Allowed = 0, 2, 1
		assert.Equal(t, "use a longer cord, put a hole between them"+want, g.RouteProblem(r, e).Hint)
		assert.Equal(t, "no route was found: from hole 1 to row 3, column 4 it is 30 cm, which tucks away 2 pixels in a row where 1 are allowed", g.RouteProblem(r, e).Text)
	}
	gap := route.Gap{Holes: []int{2}, From: 2, To: 1, Step: 0.55, Piece: -1, Tucking: 5}
	said := g.gapProblem(gap, false)
	assert.Equal(t, "The hole in row 3, column 4 is out of reach of the others: hole 2, 55 cm away, is the nearest, and 2 lengths of cord reach 20 cm", said.Text)
	assert.Equal(t, "use a string whose cord reaches 27.5 cm, put a hole between them or write tucked = 5", said.Hint)
	gap.Tucking = 21
	assert.Equal(t, "use a string whose cord reaches 27.5 cm or put a hole between them", g.gapProblem(gap, false).Hint)
	gap.Tucking, gap.Holes, gap.Piece = 20, []int{2, 3}, 0
	g.Plate.Pieces = []route.Piece{{Name: "word"}}
	said = g.gapProblem(gap, false)
	assert.Contains(t, said.Text, `and the 1 with it are out of reach of the rest of "word"`)
	assert.Equal(t, "use a string whose cord reaches 27.5 cm, put a hole between them, write tucked = 20 or give them to another piece", said.Hint)
	gap.Start = true
	assert.Contains(t, g.gapProblem(gap, false).Text, "and the lead and one length reach less")
}

// Where pixels of a string lie that no hole takes: tucked ones beside their step,
// those left over in rows below the plate.
func TestPlacesOfDarkPixels(t *testing.T) {
	g := &Sign{Plate: route.Plate{Reach: 1, Pixels: 9, Holes: []route.Hole{{Point: route.Point{}}, {Point: route.Point{X: 3}}, {Point: route.Point{X: 3, Y: 1}}}}}
	px := g.Pixels(route.Route{Order: []int{0, 1, 2}, Tucked: []int{0, 2, 0}, Dark: 2})
	require.Len(t, px, 9)
	want := []Point{{0, 0}, {1, -0.2}, {2, -0.2}, {3, 0}, {3, 1}, {3, -1.5}, {2, -1.5}, {1, -1.5}, {0, -1.5}}
	for i, w := range want {
		assert.InDelta(t, 0, dist(w, px[i].At), 1e-9, "pixel %d at %v", i, px[i].At)
	}
	assert.Equal(t, []int{0, -1, -1, 1, 2, -1, -1, -1, -1}, []int{px[0].Hole, px[1].Hole, px[2].Hole, px[3].Hole, px[4].Hole, px[5].Hole, px[6].Hole, px[7].Hole, px[8].Hole})
	g.Plate.Pixels = 11
	px = g.Pixels(route.Route{Order: []int{0, 1, 2}, Tucked: []int{0, 2, 0}, Dark: 2})
	assert.InDelta(t, 0, dist(Point{0, -2.5}, px[9].At), 1e-9, "the next row goes the other way: %v", px[9].At)
	assert.InDelta(t, 0, dist(Point{1, -2.5}, px[10].At), 1e-9)
	g.Plate.Start = &route.Point{X: -2}
	px = g.Pixels(route.Route{Order: []int{0, 1, 2}, Tucked: []int{1, 0, 0}, Dark: 1})
	assert.InDelta(t, 0, dist(Point{-1, -0.2}, px[0].At), 1e-9)
	assert.InDelta(t, 1, g.Nearest(), 1e-12)
	assert.Equal(t, []string{"1 in, -0.5 in", "25.4 mm, -12.7 mm"}, []string{(&Sign{Inches: true}).written(Point{0.0254, -0.0127}), (&Sign{}).written(Point{0.0254, -0.0127})})
	assert.Equal(t, "0 mm, 0 mm", (&Sign{}).written(Point{-0.000001, 0.000004}))
	// The lattice of a list: columns from the left, rows from the top.
	columns, rows, at := g.Lattice()
	assert.Equal(t, [2]int{4, 2}, [2]int{columns, rows})
	assert.Equal(t, []HoleSpot{{Column: 1, Row: 2}, {Column: 4, Row: 2}, {Column: 4, Row: 1}}, at)
	for far, ok := range map[float64]bool{399: true, 400: false} {
		far := &Sign{Pitch: 1, Plate: route.Plate{Reach: 1, Holes: []route.Hole{{}, {Point: route.Point{X: far}}}}}
		columns, _, _ = far.Lattice()
		assert.Equal(t, ok, columns > 0)
		far.Plate.Holes[1].Point = route.Point{Y: far.Plate.Holes[1].X}
		columns, _, _ = far.Lattice()
		assert.Equal(t, ok, columns > 0)
	}
	close := &Sign{Pitch: 1, Plate: route.Plate{Reach: 1, Holes: []route.Hole{{}, {Point: route.Point{X: 0.4}}}}}
	columns, _, _ = close.Lattice()
	assert.Zero(t, columns, "two holes in one place")
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

// A string of one pixel lies at its hole.
func TestSignOfOneHole(t *testing.T) {
	next := routed(t, readSign(t, signHead+"[sign]\npitch = \"3 cm\"\nreach = \"7 cm\"\nholes = [\"2, 1\"]\n"), false)
	p := next.Prop()
	require.NotNil(t, p)
	assert.Equal(t, 1, p.Pixels())
	assert.InDelta(t, 0, dist(Point{0.06, 0.03}, Layout(p)[0][0]), 1e-6)
	_, ok := RouteOf(p)
	assert.True(t, ok)
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
