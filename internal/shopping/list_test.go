package shopping

import (
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
)

func listOf(t testing.TB, props ...*prop.Prop) *List {
	t.Helper()
	l, err := For(props)
	require.NoError(t, err)
	return l
}

func find(t testing.TB, l *List, name string) Item {
	t.Helper()
	for _, x := range l.Items {
		if x.Name == name {
			return x
		}
	}
	require.Fail(t, "not on the list", "%s\n%s", name, l.Text())
	return Item{}
}

// By hand from the demo's file: 144 pixels at 60 a metre are 2.4 m of a 5 m
// reel; leads of 0.3, 0.6 and 0.6 m on 20 AWG; two feeds of 1.5 m on 18 AWG
// with fuses of 5 and 7.5 A; everything with a tenth more.
func TestListOfThePorthole(t *testing.T) {
	l := listOf(t, prop.Porthole())
	assert.EqualValues(t, 1, find(t, l, "strip WS2812B, 60 per metre, 5 V, reel of 5 m").Quantity)
	for colour, metres := range map[string]float64{"red": 1.4, "green": 1.7, "black": 1.7} {
		x := find(t, l, "wire 20 AWG, "+colour)
		assert.InDelta(t, metres, x.Quantity, 1e-9, "1.5 m x 1.1 = 1.65, up to a tenth; red without 0.3 m, which the feeds bring: 1.32")
		assert.Equal(t, "m", x.Unit)
	}
	assert.InDelta(t, 3.3, find(t, l, "wire 18 AWG, red").Quantity, 1e-9)
	assert.InDelta(t, 3.3, find(t, l, "wire 18 AWG, black").Quantity, 1e-9)
	assert.EqualValues(t, 1, find(t, l, "blade fuse 5 A").Quantity)
	assert.EqualValues(t, 1, find(t, l, "blade fuse 7.5 A").Quantity)
	assert.EqualValues(t, 2, find(t, l, "fuse holder with lead").Quantity)
	assert.EqualValues(t, 2, find(t, l, "connector pair, 3 conductors").Quantity)
	assert.EqualValues(t, 1, find(t, l, "connector pair, 2 conductors").Quantity, "the first lead has no plus")
	assert.EqualValues(t, 2, find(t, l, "connector pair, 2 conductors, for supply").Quantity)
	assert.EqualValues(t, 2, find(t, l, "supply 5 V, 10 A").Quantity, "8.8 A of 8.0 A")
	assert.EqualValues(t, 1, find(t, l, "level shifter to 5 V, one line").Quantity)
	assert.NotContains(t, l.Text(), "Tube", "it gives no length of tube")
}

// The rest of one prop's reel is used for the next prop.
func TestReelsAreSharedAmongProps(t *testing.T) {
	a, b := prop.Porthole(), prop.Porthole()
	b.Name = "Second"
	l := listOf(t, a, b)
	x := find(t, l, "strip WS2812B, 60 per metre, 5 V, reel of 5 m")
	assert.EqualValues(t, 1, x.Quantity, "2 x 2.4 m come off one reel of 5 m")
	assert.Equal(t, []string{"Porthole", "Second"}, x.Props)
	all := listOf(t, prop.Demos()...)
	assert.EqualValues(t, 1, find(t, all, "bulb RGBW").Quantity)
}

// The list of several props holds what the lists of each hold, never more than
// their sum, and text, CSV and JSON say the same.
func TestListsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var props []*prop.Prop
		sum := map[string]float64{}
		for i := range rapid.IntRange(1, 4).Draw(t, "props") {
			p := prop.Demos()[rapid.IntRange(0, 2).Draw(t, "which")]
			p.Name += string(rune('a' + i))
			for k := range p.Runs {
				p.Runs[k].Pixels = rapid.IntRange(1, 120).Draw(t, "pixels")
			}
			p.Parts, p.Feeds, props = nil, p.Feeds[:min(1, len(p.Feeds))], append(props, p)
			alone, err := For([]*prop.Prop{p})
			if err != nil {
				t.Fatal(err)
			}
			for _, x := range alone.Items {
				sum[x.Name] += x.Quantity
			}
		}
		l, err := For(props)
		if err != nil {
			t.Fatal(err)
		}
		var table strings.Builder
		if err := l.WriteCSV(&table); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(strings.NewReader(table.String())).ReadAll()
		if err != nil || len(rows) != len(l.Items)+1 {
			t.Fatalf("%d rows for %d items (%v)", len(rows), len(l.Items), err)
		}
		raw, err := json.Marshal(l)
		var back List
		if err != nil || json.Unmarshal(raw, &back) != nil || len(back.Items) != len(l.Items) {
			t.Fatal("JSON does not read back")
		}
		if len(l.Items) != len(sum) {
			t.Fatalf("%d items, %d alone", len(l.Items), len(sum))
		}
		for i, x := range l.Items {
			if x.Quantity <= 0 || x.Quantity > sum[x.Name]+1e-9 {
				t.Fatalf("%g of %s, and %g one by one", x.Quantity, x.Name, sum[x.Name])
			}
			if rows[i+1][1] != x.Name || !strings.Contains(l.Text(), x.Amount()+"  "+x.Name) {
				t.Fatalf("%s reads otherwise", x.Name)
			}
		}
	})
}

func TestPrices(t *testing.T) {
	p, err := ParsePrices([]byte("currency = \"EUR\"\n[price]\n\"blade fuse 5 A\" = 0.4\n\"Wire 18 AWG,  RED\" = 2\n\"lamp oil\" = 9\n"), "p.toml")
	require.NoError(t, err)
	l := listOf(t, prop.Porthole())
	assert.Equal(t, []string{"lamp oil"}, l.Price(p))
	assert.InDelta(t, 0.4+2*3.3, l.Total, 1e-9)
	assert.Contains(t, l.Text(), "Total 7.00 EUR, without 15 items that the price file does not name")
	assert.Equal(t, len(l.Items)-2, l.Unpriced)
}

func TestPriceFilesRefused(t *testing.T) {
	_, err := ParsePrices([]byte("curency = \"EUR\"\n[price]\n\"a\" = -1\n\"b\" = \"two\"\nc = 1\n[prices]\nx = 2\n"), "p.toml")
	require.Error(t, err)
	for _, want := range []string{`p.toml line 1: "curency": is not known`, `p.toml line 3: "a": -1 is no price`, `p.toml line 4: "b": two is no price`, `"prices": is no table`} {
		assert.Contains(t, err.Error(), want)
	}
	_, err = ParsePrices([]byte("[price]\n\"a\" = 1,5\n"), "p.toml")
	assert.ErrorContains(t, err, "p.toml line 2: this is not TOML")
}

func FuzzParsePrices(f *testing.F) {
	f.Add([]byte("currency = \"EUR\"\n[price]\n\"blade fuse 5 A\" = 0.4\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := ParsePrices(text, "p.toml")
		if err != nil {
			return
		}
		for name, v := range p.Each {
			if !(v >= 0) {
				t.Fatalf("%q costs %g", name, v)
			}
		}
	})
}

// A fuse that the plan calls not good is not bought without a word, even where another
// feed needs the same size: 30 A on 18 AWG, 16 A in free air.
func TestAFuseThatIsNotGoodIsTold(t *testing.T) {
	p := prop.Porthole()
	assert.Contains(t, find(t, listOf(t, p), "blade fuse 5 A").Note, "spare")
	p.Feeds[1].FuseAmps, p.Feeds[1].Wire = 30, prop.Wire{AWG: 10}
	p.Feeds[0].FuseAmps = 30
	assert.Contains(t, find(t, listOf(t, p), "blade fuse 30 A").Note, "see the plan before you buy")
	p.Supply.Amps = 7
	assert.Contains(t, find(t, listOf(t, p), "supply 5 V, 7 A").Note, "feeds to add for them are not in this list")
}

// A fuse that the list proposes itself is held against the wire and the leads after it, as
// one of the file is: 7.5 A for the load is more than leads of 26 AWG carry, and than a
// feed of 26 AWG does.
func TestAProposedFuseThatIsTooLargeSaysSo(t *testing.T) {
	p := prop.Porthole()
	p.Feeds = []prop.Feed{{Pixel: 84, WireMetre: 0.5, Wire: prop.Wire{AWG: 12}}}
	p.Supply.Amps = 40
	const warned = "see the plan before you buy"
	p.LeadWire = prop.Wire{AWG: 16}
	assert.NotContains(t, find(t, listOf(t, p), "blade fuse 15 A").Note, warned, "leads of 16 AWG carry 22 A in free air")
	p.LeadWire = prop.Wire{AWG: 26}
	assert.Contains(t, find(t, listOf(t, p), "blade fuse 15 A").Note, warned)
	p.LeadWire, p.Feeds[0].Wire = prop.Wire{AWG: 12}, prop.Wire{AWG: 26}
	assert.Contains(t, find(t, listOf(t, p), "blade fuse 15 A").Note, warned)
}
