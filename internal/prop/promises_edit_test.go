package prop

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A place of a pixel that does not change when other runs do.
type inRun struct{ run, at int }

func placeOf(lens []int, pixel int) inRun {
	for r, n := range lens {
		if pixel < n {
			return inRun{r, pixel}
		}
		pixel -= n
	}
	panic("past the end")
}

func numberOf(lens []int, p inRun) int {
	for r := range p.run {
		p.at += lens[r]
	}
	return p.at
}

// fileOf is a file of runs of the given lengths with a part and a feed
// written as pixel numbers.
func fileOf(lens []int, first, last, feed int) string {
	text := "name = \"T\"\n[strip]\nchip = \"WS2812B\"\n[supply]\namps = \"9 A\"\n[address]\nhost = \"10.0.0.5\"\nuniverse = 1\n"
	for i, n := range lens {
		text += fmt.Sprintf("# the wire of run %c\n[[run]]\nname = \"%c\"\npixels = %d\n\n", 'a'+i, 'a'+i, n)
	}
	return text + fmt.Sprintf("[[part]]\nname = \"p\"\nfirst = %d\nlast = %d\n[[feed]]\nat = %d\nlength = \"1 m\"\nwire = \"18 AWG\"\n", first+1, last+1, feed+1)
}

// If the count of any run changes, pixel numbers in the file still name the same
// pixels: exactly those of other runs, those of the run up to its end, and a part that
// ended at its last pixel still does.
func TestNumbersFollowTheirPixels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lens := rapid.SliceOfN(rapid.IntRange(1, 9), 1, 4).Draw(t, "runs")
		total := 0
		for _, n := range lens {
			total += n
		}
		first := rapid.IntRange(0, total-1).Draw(t, "first")
		last := rapid.IntRange(first, total-1).Draw(t, "last")
		feed := rapid.IntRange(0, total-1).Draw(t, "feed")
		_, d, err := Parse([]byte(fileOf(lens, first, last, feed)), "t.toml")
		require.NoError(t, err)
		i, n := rapid.IntRange(0, len(lens)-1).Draw(t, "run"), rapid.IntRange(1, 12).Draw(t, "pixels")
		require.NoError(t, d.SetPixels(i, n))
		p := d.Prop()
		now := append([]int(nil), lens...)
		now[i] = n
		move := func(pixel int, ofAnEnd bool) int {
			s := placeOf(lens, pixel)
			if s.run == i {
				if ofAnEnd && s.at == lens[i]-1 {
					s.at = n - 1
				}
				s.at = min(s.at, n-1)
			}
			return numberOf(now, s)
		}
		got := [3]int{p.Parts[0].First, p.Parts[0].Last, p.Feeds[0].Pixel}
		want := [3]int{move(first, false), move(last, true), move(feed, false)}
		if got != want {
			t.Fatalf("runs %v, run %d to %d pixels: %d-%d and %d go to %v, want %v", lens, i, n, first, last, feed, got, want)
		}
	})
}

// In another order of runs every part and feed is where its pixels went, and
// each run keeps the comment above it.
func TestAnyOrderOfRuns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lens := rapid.SliceOfN(rapid.IntRange(1, 5), 1, 5).Draw(t, "runs")
		total := 0
		for _, n := range lens {
			total += n
		}
		r := rapid.IntRange(0, len(lens)-1).Draw(t, "run of the part")
		base := numberOf(lens, inRun{r, 0})
		first := base + rapid.IntRange(0, lens[r]-1).Draw(t, "first")
		last := rapid.IntRange(first, base+lens[r]-1).Draw(t, "last")
		feed := rapid.IntRange(0, total-1).Draw(t, "feed")
		_, d, err := Parse([]byte(fileOf(lens, first, last, feed)), "t.toml")
		require.NoError(t, err)
		order := rapid.Permutation([]int{0, 1, 2, 3, 4}[:len(lens)]).Draw(t, "order")
		require.NoError(t, d.ReorderRuns(order))
		now, at := make([]int, len(lens)), make([]int, len(lens))
		for i, old := range order {
			now[i], at[old] = lens[old], i
		}
		move := func(pixel int) int {
			s := placeOf(lens, pixel)
			return numberOf(now, inRun{at[s.run], s.at})
		}
		p := d.Prop()
		if p.Parts[0].First != move(first) || p.Parts[0].Last != move(last) || p.Feeds[0].Pixel != move(feed) {
			t.Fatalf("runs %v in order %v: %+v %+v", lens, order, p.Parts[0], p.Feeds[0])
		}
		text := string(d.Text())
		for i, old := range order {
			name := string(rune('a' + old))
			if p.Runs[i].Name != name || !strings.Contains(text, "# the wire of run "+name+"\n[[run]]\nname = \""+name+"\"") {
				t.Fatalf("run %d is %q in\n%s", i, p.Runs[i].Name, text)
			}
		}
	})
	_, d, err := Parse([]byte(fileOf([]int{2, 3}, 1, 2, 0)), "t.toml")
	require.NoError(t, err)
	assert.ErrorContains(t, d.ReorderRuns([]int{1, 0}), `part "p" spans runs that come apart`)
	assert.NoError(t, d.ReorderRuns([]int{0, 1}))
	for _, bad := range [][]int{{0}, {0, 0}, {1, 2}, {0, 1, 2}, nil, {-1, 0}} {
		assert.Error(t, d.ReorderRuns(bad), "%v", bad)
	}
}

// Removing a run leaves the other runs' pixels with their parts and feeds, or is
// refused and changes nothing.
func TestAnyRunTakenOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lens := rapid.SliceOfN(rapid.IntRange(1, 5), 2, 4).Draw(t, "runs")
		total := 0
		for _, n := range lens {
			total += n
		}
		first := rapid.IntRange(0, total-1).Draw(t, "first")
		last := rapid.IntRange(first, total-1).Draw(t, "last")
		feed := rapid.IntRange(0, total-1).Draw(t, "feed")
		text := fileOf(lens, first, last, feed)
		_, d, err := Parse([]byte(text), "t.toml")
		require.NoError(t, err)
		i := rapid.IntRange(0, len(lens)-1).Draw(t, "run")
		if d.RemoveRun(i) != nil {
			if string(d.Text()) != text {
				t.Fatal("refused, and changed all the same")
			}
			return
		}
		p := d.Prop()
		now := append(append([]int(nil), lens[:i]...), lens[i+1:]...)
		if p.Pixels() != total-lens[i] || strings.Contains(string(d.Text()), fmt.Sprintf("run %c\n", 'a'+i)) {
			t.Fatalf("left:\n%s", d.Text())
		}
		move := func(pixel int) int {
			s := placeOf(lens, pixel)
			if s.run > i {
				s.run--
			}
			return numberOf(now, s)
		}
		if s := placeOf(lens, feed); s.run != i && p.Feeds[0].Pixel != move(feed) {
			t.Fatalf("the feed is at %d", p.Feeds[0].Pixel)
		}
		if placeOf(lens, first).run != i && p.Parts[0].First != move(first) || placeOf(lens, last).run != i && p.Parts[0].Last != move(last) {
			t.Fatalf("the part is %+v", p.Parts[0])
		}
	})
}

// Tables come and go at their places, and what is not there is named by the
// number that people count with.
func TestTablesComeAndGo(t *testing.T) {
	_, d, err := Parse([]byte(fileOf([]int{5, 5}, 0, 1, 3)), "t.toml")
	require.NoError(t, err)
	for table, n := range map[string]int{"run": 2, "part": 1, "feed": 1, "piece": 0} {
		assert.Equal(t, n, d.Given(table), table)
	}
	assert.ErrorContains(t, d.RemoveTable("feed", 1), "there is no feed 2 to take out")
	assert.ErrorContains(t, d.RemoveTable("feed", -1), "there is no feed 0 to take out")
	assert.Error(t, d.RemoveTable("run", 0))
	assert.Error(t, d.AddTable("run", nil))
	assert.Error(t, d.AddTable("strip", nil))
	require.NoError(t, d.AddTable("feed", []Field{{"at", 9}, {"length", "1 m"}, {"wire", "18 AWG"}}))
	require.Len(t, d.Prop().Feeds, 2)
	assert.Equal(t, 8, d.Prop().Feeds[1].Pixel)
	require.NoError(t, d.ReorderTables("feed", []int{1, 0}))
	assert.Equal(t, []int{8, 3}, []int{d.Prop().Feeds[0].Pixel, d.Prop().Feeds[1].Pixel})
	assert.Error(t, d.ReorderTables("feed", []int{0, 0}))
	require.NoError(t, d.RemoveTable("feed", 0))
	require.NoError(t, d.RemoveTable("feed", 0))
	assert.Empty(t, d.Prop().Feeds)
	for i, ok := range map[int]bool{-1: false, 0: true, 2: true, 3: false} {
		_, d, err := Parse([]byte(fileOf([]int{5, 5}, 0, 1, 3)), "t.toml")
		require.NoError(t, err)
		err = d.AddRun(i, []Field{{"name", "new"}, {"pixels", 7}})
		assert.Equal(t, ok, err == nil, "place %d", i)
		if ok {
			assert.Equal(t, "new", d.Prop().Runs[i].Name)
			assert.Equal(t, 17, d.Prop().Pixels())
		} else {
			assert.ErrorContains(t, err, fmt.Sprintf("place 1 to 3, not %d", i+1))
		}
	}
	for i, ok := range map[int]bool{-1: false, 0: true, 1: true, 2: false} {
		_, d, err := Parse([]byte(fileOf([]int{5, 5}, 0, 1, 3)), "t.toml")
		require.NoError(t, err)
		for _, err := range []error{d.SetPixels(i, 4), d.SetReverse(i, true), d.RenameRun(i, "z")} {
			assert.Equal(t, ok, err == nil, "run %d: %v", i, err)
			if !ok {
				assert.ErrorContains(t, err, fmt.Sprintf("there is no run %d: it has 2", i+1))
			}
		}
		if ok {
			assert.Equal(t, "z", d.Prop().Runs[i].Name)
			assert.True(t, d.Prop().Runs[i].Reverse)
			assert.Equal(t, 9, d.Prop().Pixels())
		}
	}
}

// A prop with every field given is the same after it was written and read.
func TestEveryFieldIsWritten(t *testing.T) {
	whole := func() *Prop {
		p := &Prop{Name: "All", Chip: Chip{"WS2812B", 5, 4.5, "GRB", 60, 1, 0.001, 0.020}, RailOhms: 0.3, Reel: 5, Coil: 10, LeadWire: Wire{AWG: 20, Solid: true},
			Supply: Supply{Volts: 5, Amps: 10, Continuous: 0.7}, WireCelsius: 40,
			Address: Address{Host: "10.0.0.5", Port: 7000, Interface: "eth0", Universe: 3, Slot: 17, Packing: Straddle, Priority: 90, Sync: 9},
			Runs: []Run{{Name: "ring", Pixels: 30, Shape: Shape{Kind: Ring, Diameter: 0.2, Start: 30, Centre: Point{0.1, 0.2}}, Cut: 0.6, LeadIn: 0.1, LeadOut: 0.2, JointOhms: 0.05, Closed: true, Reverse: true},
				{Name: "run 2", Pixels: 1, Shape: Shape{Kind: Line, Angle: 45, Centre: Point{1, 0}}, Apart: true},
				{Name: "star", Pixels: 20, Shape: Shape{Kind: Star, Points: 5, Diameter: 0.3}},
				{Name: "edge", Pixels: 4, Shape: Shape{Kind: Outline, Corners: []Point{{0, 0}, {1, 0}, {1, 1}}}, Reverse: true}},
			Feeds: []Feed{{Name: "a", Pixel: 0, Wire: Wire{MM2: 0.75}, WireMetre: 1.5, FuseAmps: 5}, {Name: "b", Pixel: 54, Wire: Wire{AWG: 18, Clad: true}}, {Name: "c", Pixel: 7, Wire: Wire{AWG: 18}}},
			Parts: []Part{{Name: "left", First: 0, Last: 9}, {Name: "hole", First: 10, Last: 10, Empty: true}}}
		p.Runs[2].Cut, p.Runs[3].Cut = shapeLength(p.Runs[2].Shape), 2
		return p
	}
	for name, change := range map[string]func(p *Prop){
		"all": func(*Prop) {}, "no fuse": func(p *Prop) { p.Feeds[0].FuseAmps = 0 }, "whole": func(p *Prop) { p.Address.Packing = Whole }, "priority 0": func(p *Prop) { p.Address.Priority = 0 },
		"group 1 of a chip of 3": func(p *Prop) {
			p.Chip, _ = ChipByName("WS2811 12V")
			p.Chip.LightsPerPixel = 1
			p.Supply.Volts = 12
			p.Runs[0].Cut = 0.5
		},
		"group 3": func(p *Prop) { p.Chip, _ = ChipByName("WS2811 12V"); p.Supply.Volts = 12 }, "group 5": func(p *Prop) { p.Chip.LightsPerPixel = 5 },
		"no such chip": func(p *Prop) { p.Chip.Name = "Own 1" }, "a group of no such chip": func(p *Prop) { p.Chip.Name, p.Chip.LightsPerPixel = "Own 1", 2 },
		"other figures": func(p *Prop) {
			p.Chip.Volts, p.Chip.MinVolts, p.Chip.IdleAmps, p.Chip.ChannelAmps, p.Chip.LightsPerMetre, p.Chip.Order = 5.1, 4, 0.002, 0.019, 30, "RGB"
		},
		"multicast": func(p *Prop) { p.Address.Host, p.Address.Interface, p.Address.Port, p.Address.Sync = "", "", 0, 0 }, "inches": func(p *Prop) { p.Inches = true },
		"counted by length": func(p *Prop) { p.Runs[0].Cut, p.Runs[0].Pixels = 0.5, 30 }, "slot 1": func(p *Prop) { p.Address.Slot = 0 }, "no leads": func(p *Prop) { p.Runs[0].LeadIn, p.Runs[0].LeadOut, p.Runs[0].JointOhms = 0, 0, 0 },
		"cold": func(p *Prop) { p.WireCelsius = -5 }, "usual share": func(p *Prop) { p.Supply.Continuous = 0.8 }, "small share": func(p *Prop) { p.Supply.Continuous = 0.004 },
	} {
		p := whole()
		change(p)
		text := FileText(p)
		back, _, err := Parse([]byte(text), "t.toml")
		require.NoError(t, err, "%s\n%s", name, text)
		want, got := *p, *back
		for i := range want.Runs {
			assert.InDelta(t, want.Runs[i].Cut, got.Runs[i].Cut, 1e-9, "%s, run %d", name, i)
			got.Runs[i].Cut = want.Runs[i].Cut
			got.Runs[i].LeadIn, got.Runs[i].LeadOut = round(got.Runs[i].LeadIn, 1e9), round(got.Runs[i].LeadOut, 1e9)
			for _, s := range []*Shape{&want.Runs[i].Shape, &got.Runs[i].Shape} {
				s.Diameter = round(s.Diameter, 1e9)
				s.Centre = Point{round(s.Centre.X, 1e9), round(s.Centre.Y, 1e9)}
			}
		}
		got.Inches, want.Inches = false, false
		if want.Reel > 0 {
			assert.InDelta(t, want.Reel, got.Reel, 1e-9)
			got.Reel = want.Reel
		}
		for i := range want.Feeds {
			assert.InDelta(t, want.Feeds[i].WireMetre, got.Feeds[i].WireMetre, 1e-9)
			got.Feeds[i].WireMetre = want.Feeds[i].WireMetre
		}
		if name == "inches" {
			for i := range want.Runs {
				for k, c := range got.Runs[i].Shape.Corners {
					got.Runs[i].Shape.Corners[k] = Point{round(c.X, 1e9), round(c.Y, 1e9)}
				}
			}
			got.Coil = round(got.Coil, 1e9)
		}
		assert.Equal(t, want, got, "%s\n%s", name, text)
	}
}

// A first file offers the chip's own figures: what stands in its notes are the
// figures of the table.
func TestTemplateOffersTheTablesFigures(t *testing.T) {
	for _, k := range KnownChips() {
		text := Template(Answers{Name: "x", Chip: k.Name, Universe: 7, Slot: 9})
		if k.LightsPerMetre > 0 {
			assert.Contains(t, text, fmt.Sprintf("density = \"%g per metre\"", k.LightsPerMetre), k.Name)
		} else {
			assert.NotContains(t, text, "density =")
		}
		assert.Contains(t, text, fmt.Sprintf("# group   = %d ", max(1, k.LightsPerPixel)))
		assert.Contains(t, text, fmt.Sprintf("# order   = %q", k.Order))
		assert.Contains(t, text, fmt.Sprintf("# idle    = \"%g mA\"", math.Round(k.IdleAmps*1e6)/1e3))
		assert.Contains(t, text, fmt.Sprintf("# full    = \"%g mA\"", math.Round(k.ChannelAmps*1e6)/1e3))
		assert.Contains(t, text, fmt.Sprintf("volts      = \"%g V\"", k.Volts))
		assert.Contains(t, text, "universe = 7\nslot     = 9 ")
		off := strings.NewReplacer("# group", "group", "# order", "order", "# idle", "idle", "# full", "full", "# rail", "rail", "# reel", "reel", "# coil", "coil", "# lead_wire", "lead_wire")
		p, _, err := Parse([]byte(off.Replace(text)), "t.toml")
		if k.IsStrip() && assert.NoError(t, err, "the notes are right as they stand") {
			assert.Equal(t, k.Chip, p.Chip)
			assert.InDelta(t, DefaultRailOhms, p.RailOhms, 1e-9)
			assert.Equal(t, DefaultLeadWire, p.LeadWire)
		}
	}
	text := Template(Answers{Name: "x", Runs: []AnswerRun{{Shape: Star, Points: 1, Pixels: 1}}})
	assert.Contains(t, text, "points   = 1\n", "what was answered is written, for Parse to judge")
	assert.Contains(t, text, "pixels   = 1\n")
	assert.Contains(t, text, "clockwise from the top")
	assert.NotContains(t, Template(Answers{}), "points ")
	assert.Contains(t, Template(Answers{}), "pixels   = 50\n")
	assert.Contains(t, Template(Answers{Host: "pi"}), `host     = "pi" # a name`)
	assert.Contains(t, Template(Answers{}), "# The host is this computer until")
}
