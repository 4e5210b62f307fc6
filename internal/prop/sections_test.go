package prop

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Every slot of a section is the one that its pixel has in the whole patch, in
// both packings, wherever it begins and however many universes lie between.
func TestSubKeepsEverySlot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Porthole()
		p.Chip.Order = rapid.SampledFrom([]Order{"RGB", "GRBW", "RGBWC"}).Draw(t, "order")
		p.Address = address(rapid.IntRange(1, 60000).Draw(t, "universe"), rapid.IntRange(1, 512).Draw(t, "slot"),
			rapid.SampledFrom([]Packing{Whole, Straddle, ""}).Draw(t, "packing"))
		for i := range p.Runs {
			p.Runs[i].Pixels = rapid.IntRange(1, 400).Draw(t, "pixels")
			p.Runs[i].Reverse = rapid.Bool().Draw(t, "reverse")
		}
		first := rapid.IntRange(0, p.Pixels()-1).Draw(t, "first")
		c := Section{"x", first, rapid.IntRange(first, p.Pixels()-1).Draw(t, "last")}
		q, err := Sub(p, c)
		if err != nil {
			t.Fatal(err)
		}
		if want := c.Last - first + 1; q.Pixels() != want {
			t.Fatalf("%d pixels, want %d", q.Pixels(), want)
		}
		whole, _ := NewPatch(p.Pixels(), p.Chip.Order, p.Address)
		alone, err := NewPatch(q.Pixels(), q.Chip.Order, q.Address)
		if err != nil {
			t.Fatal(err)
		}
		for i := range q.Pixels() {
			for ch := range p.Chip.Order.Slots() {
				if a, b := alone.At(i, ch), whole.At(first+i, ch); a != b {
					t.Fatalf("pixel %d channel %d: %v, in the whole %v", i, ch, a, b)
				}
			}
		}
		sameRuns(t, p, q, c)
	})
}

// sameRuns compares which run each pixel lies in, counted from the section's first.
func sameRuns(t *rapid.T, p, q *Prop, c Section) {
	begin, _ := p.Find(c.First)
	for i := range q.Pixels() {
		r, _ := q.Find(i)
		if w, _ := p.Find(c.First + i); w != begin+r {
			t.Fatalf("pixel %d lies in run %d, in the whole in run %d", i, r, w)
		}
	}
}

// A stretch of a run is drawn where it lies in the whole; the corner cutting
// of a polygon of 36 pixels moves nothing by more than a tenth of a pitch.
func TestSubIsDrawnWhereItLies(t *testing.T) {
	for _, reverse := range []bool{false, true} {
		p := Porthole()
		p.Runs[1].Reverse = reverse
		for _, c := range []Section{{"over a joint", 30, 60}, {"one", 40, 40}, {"last of a run", 83, 83}, {"a run", 36, 83}} {
			q, err := Sub(p, c)
			require.NoError(t, err)
			var whole, alone []Point
			for _, r := range Layout(p) {
				whole = append(whole, r...)
			}
			for _, r := range Layout(q) {
				alone = append(alone, r...)
			}
			for i, at := range alone {
				assert.Less(t, dist(at, whole[c.First+i]), p.Chip.Pitch()/10, "%s, pixel %d", c.Name, i)
			}
		}
	}
}

func TestPieces(t *testing.T) {
	p := Porthole()
	p.Parts = []Part{{Name: "rim", First: 130, Last: 143}, {Name: "hole", First: 3, Last: 5, Empty: true}}
	assert.Equal(t, []Section{{"inner ring", 0, 35}, {"middle ring", 36, 83}, {"outer ring", 84, 143}, {"rim", 130, 143}}, p.Sections())
	c, err := p.Section("Rim")
	require.NoError(t, err)
	assert.Equal(t, Section{"rim", 130, 143}, c)
	for name, want := range map[string]string{
		"keel": `Porthole has no run or part "keel": give one of inner ring, middle ring, outer ring, rim`,
		"hole": `part "hole" of Porthole is left empty: there is nothing to light`,
	} {
		_, err := p.Section(name)
		assert.EqualError(t, err, want)
	}
	_, err = BuoyLamp().Section("x")
	assert.EqualError(t, err, "Buoy lamp has one run and no named parts: leave the part out")
	q, err := Sub(p, Section{"x", 4, 40})
	require.NoError(t, err)
	assert.Equal(t, []Part{{Name: "hole", First: 0, Last: 1, Empty: true}}, q.Parts)
	assert.Equal(t, "inner ring 5-36", q.Runs[0].Name)
	_, err = Sub(p, Section{"x", 100, 144})
	assert.EqualError(t, err, "pixels 101 to 145: Porthole has 144")
}
