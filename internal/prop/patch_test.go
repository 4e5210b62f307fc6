package prop

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/patterns"
)

func address(u, slot int, how Packing) Address {
	return Address{Host: "10.0.0.5", Universe: uint16(u), Slot: slot - 1, Packing: how}
}

func TestPatchPlaces(t *testing.T) {
	rows := []struct {
		name, source string
		order        Order
		at           Address
		pixel, ch    int // from 0
		want         string
	}{
		{"last RGB pixel of a universe", "512 div 3 = 170", "RGB", address(1, 1, Whole), 169, 2, "U1 S510"},
		{"the next goes to the next universe", "512 div 3 = 170", "RGB", address(1, 1, Whole), 170, 0, "U2 S1"},
		{"or straddles", "170*3+1 = 511", "RGB", address(1, 1, Straddle), 170, 0, "U1 S511"},
		{"its last slot then lies in the next", "170*3+3 = 513", "RGB", address(1, 1, Straddle), 170, 2, "U2 S1"},
		{"last RGBW pixel of a universe", "512 div 4 = 128", "GRBW", address(7, 1, Whole), 127, 3, "U7 S512"},
		{"the next RGBW pixel", "512 div 4 = 128", "GRBW", address(7, 1, Whole), 128, 0, "U8 S1"},
		{"RGBW alone uses 4 slots", "common practice", "RGBW", address(10, 1, Whole), 0, 3, "U10 S4"},
		{"no room in the first universe", "512-511+1 = 2 slots", "RGB", address(1, 511, Whole), 0, 0, "U2 S1"},
		{"starts inside", "(512-500+1) div 3 = 4 fit", "RGB", address(3, 500, Whole), 4, 0, "U4 S1"},
		{"three stars: the last slot of 120 pixels", "common practice: 50+40+30 fit one universe; 120*3 = 360", "RGB", address(1, 1, Whole), 119, 2, "U1 S360"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			p, err := NewPatch(row.pixel+1, row.order, row.at)
			require.NoError(t, err, row.source)
			assert.Equal(t, row.want, p.At(row.pixel, row.ch).String(), row.source)
		})
	}
}

func TestPatchRefuses(t *testing.T) {
	rows := []struct {
		pixels int
		at     Address
		want   string
	}{
		{0, address(1, 1, Whole), "0 pixels: give 1 to 100000"},
		{100_001, address(1, 1, Whole), "100001 pixels: give 1 to 100000"},
		{1, address(0, 1, Whole), "universe 0 does not exist: give 1 to 63999"},
		{1, address(64000, 1, Whole), "universe 64000 does not exist: give 1 to 63999"},
		{1, address(1, 513, Whole), "slot 513 does not exist: give 1 to 512"},
		{171, address(63999, 1, Whole), "171 pixels from universe 63999 slot 1 on need more slots than universe 63999 holds: start lower or use fewer pixels"},
	}
	for _, row := range rows {
		_, err := NewPatch(row.pixels, "RGB", row.at)
		assert.EqualError(t, err, row.want)
	}
	_, err := NewPatch(170, "RGB", address(63999, 1, Whole))
	assert.NoError(t, err)
	_, err = NewPatch(1, "", address(1, 1, Whole))
	assert.Error(t, err)
}

// Every pixel's slots lie in exactly one place inside 1..512, none is shared,
// whole pixels stay in one universe, Used is what At says and Find finds back.
func TestPatchLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		order := rapid.SampledFrom([]Order{"RGB", "GRB", "GRBW", "RGBWC"}).Draw(t, "order")
		how := rapid.SampledFrom([]Packing{Whole, Straddle, ""}).Draw(t, "packing")
		n := rapid.IntRange(1, 1500).Draw(t, "pixels")
		a := address(rapid.IntRange(1, 63000).Draw(t, "universe"), rapid.IntRange(1, 512).Draw(t, "slot"), how)
		p, err := NewPatch(n, order, a)
		if err != nil {
			t.Fatal(err)
		}
		seen := map[Place]bool{}
		used := map[uint16]int{}
		for i := range n {
			first := p.At(i, 0)
			for ch := range order.Slots() {
				at := p.At(i, ch)
				if at.Slot < 0 || at.Slot > 511 || seen[at] {
					t.Fatalf("pixel %d channel %d: %v is outside or shared", i, ch, at)
				}
				if how != Straddle && at.Universe != first.Universe {
					t.Fatalf("pixel %d lies in two universes", i)
				}
				if px, c, ok := p.Find(at); !ok || px != i || c != ch {
					t.Fatalf("%v is found as pixel %d channel %d %v, want %d %d", at, px, c, ok, i, ch)
				}
				seen[at] = true
				used[at.Universe] = max(used[at.Universe], at.Slot+1)
			}
		}
		for i, u := range p.Universes() {
			if p.Used(i) != used[u] {
				t.Fatalf("universe %d: %d slots used, want %d", u, p.Used(i), used[u])
			}
			for s := range SlotsPerUniverse {
				if _, _, ok := p.Find(Place{u, s}); ok != seen[Place{u, s}] {
					t.Fatalf("U%d S%d: found %v, driven %v", u, s+1, ok, !ok)
				}
			}
		}
		if len(used) > len(p.Universes()) {
			t.Fatal("a universe is missing")
		}
	})
}

// Fill puts each channel where At says.
func TestFillLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		order := rapid.SampledFrom([]Order{"RGB", "BGR", "GRBW", "RGBWC"}).Draw(t, "order")
		how := rapid.SampledFrom([]Packing{Whole, Straddle}).Draw(t, "packing")
		n := rapid.IntRange(1, 700).Draw(t, "pixels")
		p, err := NewPatch(n, order, address(1, rapid.IntRange(1, 512).Draw(t, "slot"), how))
		if err != nil {
			t.Fatal(err)
		}
		f := make(patterns.Frame, rapid.IntRange(0, n).Draw(t, "frame"))
		for i := range f {
			v := uint8(i*7 + 1)
			f[i] = patterns.Colour{R: v, G: v + 1, B: v + 2, W: v + 3, C: v + 4}
		}
		slots := p.Buffers()
		p.Fill(slots, f)
		for i := range n {
			for ch, c := range order.Channels() {
				want := uint8(0)
				if i < len(f) {
					want = f[i].Get(c)
				}
				at := p.At(i, ch)
				if got := slots[at.Universe-1][at.Slot]; got != want {
					t.Fatalf("%v has %d, want %d", at, got, want)
				}
			}
		}
	})
}

func TestRowsInBothPackings(t *testing.T) {
	p := Pennant() // 96 and 40 pixels of 4 slots from universe 2 on
	p.Address.Slot = 2
	// By hand: from slot 3 on 127 pixels of 4 slots fit whole (510 div 4), the
	// 128th begins the next universe. Run 2 begins with pixel 97 at 3 + 96*4 =
	// slot 387 and ends with pixel 136, the ninth of universe 3: slot 36. With
	// straddling, its last slot is 2 + 136*4 = 546, slot 34 of universe 3.
	whole, err := RowsPacked(Whole, p)
	require.NoError(t, err)
	straddle, err := RowsPacked(Straddle, p)
	require.NoError(t, err)
	want := Row{Prop: "Pennant", Run: "tail", Host: "127.0.0.1", Pixels: 40, FirstPixel: 97, LastPixel: 136,
		FirstUniverse: 2, FirstSlot: 387, LastUniverse: 3, LastSlot: 36, Order: "GRBW", Packing: "whole", Travel: "forward"}
	assert.Equal(t, want, whole[1])
	want.LastSlot, want.Packing = 34, "straddle"
	assert.Equal(t, want, straddle[1])
	assert.Equal(t, Whole, p.Address.Packing, "the prop itself stays as it is")
}

func TestRowsAsText(t *testing.T) {
	rows, err := RowsFor(Porthole(), BuoyLamp())
	require.NoError(t, err)
	assert.Equal(t, strings.Join([]string{
		"prop       run          host       pixels  numbers  from     to       order  travel",
		"Porthole   inner ring   127.0.0.1  36      1-36     U1 S1    U1 S108  GRB    clockwise",
		"Porthole   middle ring  127.0.0.1  48      37-84    U1 S109  U1 S252  GRB    clockwise",
		"Porthole   outer ring   127.0.0.1  60      85-144   U1 S253  U1 S432  GRB    clockwise",
		"Buoy lamp  bulb         127.0.0.1  1       1-1      U10 S1   U10 S4   RGBW",
		"",
	}, "\n"), RowsText(rows))
}

func TestRowsAsCSV(t *testing.T) {
	p := BuoyLamp()
	p.Name, p.Runs[0].Name = `Lamp, "old"`, "Boje Süd"
	rows, err := RowsFor(p)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, WriteCSV(&b, rows))
	// Source: RFC 4180 2.1 (CRLF), 2.6 (quotes round commas), 2.7 (quotes doubled).
	assert.Equal(t, "prop,run,host,pixels,first_pixel,last_pixel,first_universe,first_slot,last_universe,last_slot,order,packing,travel\r\n"+
		"\"Lamp, \"\"old\"\"\",Boje Süd,127.0.0.1,1,1,1,10,1,10,4,RGBW,whole,\r\n", b.String())
	back, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, rows[0].fields(), back[1])
}

func TestRowsAsJSON(t *testing.T) {
	rows, err := RowsFor(Demos()...)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, WriteJSON(&b, rows))
	var back []Row
	require.NoError(t, json.Unmarshal(b.Bytes(), &back))
	assert.Equal(t, rows, back)
	var first []map[string]any
	require.NoError(t, json.Unmarshal(b.Bytes(), &first))
	for _, column := range RowColumns {
		assert.Contains(t, first[0], column)
	}
	b.Reset()
	require.NoError(t, WriteJSON(&b, nil))
	assert.Equal(t, "[]\n", b.String())
}

func benchProp(b *testing.B, n int) *Patch {
	p, err := NewPatch(n, "GRB", address(1, 1, Whole))
	require.NoError(b, err)
	return p
}

func BenchmarkNewPatch100k(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		benchProp(b, MaxPixels)
	}
}

func BenchmarkFill10k(b *testing.B) {
	p := benchProp(b, 10_000)
	slots, f := p.Buffers(), make(patterns.Frame, 10_000)
	for i := range f {
		f[i] = patterns.Colour{R: uint8(i), G: 2, B: 3}
	}
	b.ReportAllocs()
	for b.Loop() {
		p.Fill(slots, f)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/10_000, "ns/pixel")
}

// A first universe without room for a pixel is not in use, and that is said.
func TestUniverseWithoutAPixel(t *testing.T) {
	for _, r := range []struct {
		slot  int
		order Order
		how   Packing
		idle  int
	}{ // by hand: 512 - slot + 1 slots are left
		{510, "RGB", Whole, 0}, {511, "RGB", Whole, 1}, {512, "RGB", Whole, 1}, {511, "RGB", Straddle, 0},
		{509, "GRBW", Whole, 0}, {510, "GRBW", Whole, 1}, {512, "GRBW", Straddle, 0},
	} {
		p, err := NewPatch(10, r.order, address(7, r.slot, r.how))
		require.NoError(t, err)
		assert.Equal(t, r.idle, p.Idle(), "%+v", r)
		assert.Equal(t, r.idle == 1, p.Moved() != "", "%+v", r)
		assert.Equal(t, uint16(7+r.idle), p.At(0, 0).Universe, "%+v", r)
	}
	p, err := NewPatch(10, "RGB", address(7, 511, Whole))
	require.NoError(t, err)
	assert.Equal(t, "slot 511 of universe 7 leaves no room for a whole pixel of 3 slots: pixel 1 is at universe 8 slot 1; universe 7 is left alone", p.Moved())
}

// Cells that a spreadsheet would run as a formula get an apostrophe; the beginnings
// are those of OWASP's page on CSV injection.
func TestCSVCellsRunNothing(t *testing.T) {
	var b strings.Builder
	require.NoError(t, WriteCSV(&b, []Row{{Prop: "=1+1", Run: "+cmd|'/C calc'!A0", Host: "@SUM(A1)", Travel: "-2+3", Order: "\tx", Packing: "\rx", Pixels: 3}}))
	cells, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
	require.NoError(t, err)
	for _, c := range cells[1] {
		if c != "" {
			assert.NotContains(t, "=+-@\t\r", c[:1])
		}
	}
	assert.Contains(t, cells[1], "'=1+1")
	assert.Contains(t, cells[1], "3", "numbers stay numbers")
	assert.Equal(t, "tail -2", escapeFormula("tail -2"))
}
