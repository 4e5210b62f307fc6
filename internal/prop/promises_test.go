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

// Only feet and inches add up, in this order and once.
func TestWhatAddsUp(t *testing.T) {
	for in, want := range map[string]float64{"7 ft 9 in": 93, "1 ft 0.5 in": 12.5, "7 ft 9 1/2 in": 93.5, "-1 ft 6 in": -18, "0 ft 3/4 in": 0.75, "3/4 in": 0.75, "1.5 ft": 18} {
		m, inches, err := ParseLength(in)
		require.NoError(t, err, in)
		assert.InDelta(t, want*0.0254, m, 1e-9, in)
		assert.True(t, inches)
	}
	for _, in := range []string{"9 in 7 ft", "1 m 2 cm", "1 ft 2 ft", "1 ft 2 in 3 in", "1 in 2 in", "1 yd 2 ft", "1 m 2 in", "1 V 2 V", "1/ in", "1 1/ in", "1e3 m", "--1 m", "1 1 in"} {
		_, _, err := ParseLength(in)
		assert.Error(t, err, in)
	}
	_, _, err := volts.parse("1 V 2 V")
	assert.Error(t, err)
	_, _, err = lengths.parse(strings.Repeat("9", 400) + " m")
	assert.Error(t, err, "more than a number can be")
	for in, inches := range map[string]bool{"1 yd": true, "1 ft": true, "1 in": true, "1 m": false, "1 cm": false, "1 mm": false} {
		_, got, err := ParseLength(in)
		require.NoError(t, err)
		assert.Equal(t, inches, got, in)
	}
}

// A key is a line of a file with its limits: what is just inside is taken, what
// is just outside is a problem at that key.
func TestLimitsOfEveryKey(t *testing.T) {

	const feed = "[[feed]]\nat = 1\nlength = \"1 m\"\nwire = \"18 AWG\"\n"
	in := func(table, line string) string {
		switch table {
		case "strip":
			return with("[supply]", line+"\n[supply]")
		case "supply":
			return with("amps = \"10 A\"", "amps = \"10 A\"\n"+line)
		case "amps":
			return with("amps = \"10 A\"", line)
		case "address":
			return with("universe = 1", "universe = 1\n"+line)
		case "universe":
			return with("universe = 1", line)
		case "pixels":
			return with("pixels = 30", line)
		case "feed":
			return plain + feed + line + "\n"
		}
		return plain + line + "\n" // in the run
	}
	for _, row := range []struct {
		table, key string
		good, bad  []string
	}{
		{"strip", "density", []string{"0.1 per metre", "2000 per metre"}, []string{"0 per metre", "2001 per metre", "-1 per metre"}},
		{"strip", "group", []string{"1", "100"}, []string{"0", "101"}},
		{"strip", "volts", []string{"4.5 V", "60 V"}, []string{"0 V", "60.1 V"}},
		{"strip", "lowest", []string{"0.1 V", "5 V"}, []string{"0 V", "-0.1 V", "5.1 V"}},
		{"strip", "idle", []string{"0 A", "5 A"}, []string{"-1 mA", "5.1 A"}},
		{"strip", "full", []string{"1 mA", "20 A"}, []string{"0 A", "20.1 A"}},
		{"strip", "rail", []string{"1 mohm/m", "100 ohm/m"}, []string{"0 ohm/m", "101 ohm/m"}},
		{"strip", "reel", []string{"1 m", "1000 m"}, []string{"0 m", "1001 m"}},
		{"strip", "coil", []string{"1 m", "1000 m"}, []string{"0 m", "1001 m"}},
		{"amps", "amps", []string{"0.1 A", "1000 A"}, []string{"0 A", "1001 A"}},
		{"supply", "continuous", []string{"1 %", "100 %"}, []string{"0 %", "101 %"}},
		{"supply", "temperature", []string{"-50 C", "120 C", "-58 F", "248 F", "0 C", "32 F"}, []string{"-50.1 C", "120.1 C", "-58.2 F", "248.2 F", "251 C", "-61 C"}},
		{"supply", "volts", []string{"4.5 V", "5.75 V"}, []string{"4.4 V", "5.8 V", "0 V"}}, // WS2812B datasheet: 5 V, from 4.5 V; 15 % above harms
		{"universe", "universe", []string{"1", "63999"}, []string{"0", "64000"}},            // ANSI E1.31-2018 6.2.7
		{"address", "port", []string{"1", "65535"}, []string{"0", "65536"}},
		{"address", "slot", []string{"1", "512"}, []string{"0", "513"}},
		{"address", "priority", []string{"0", "200"}, []string{"-1", "201"}}, // 6.2.3
		{"address", "sync", []string{"0", "63999"}, []string{"-1", "64000"}},
		{"pixels", "pixels", []string{"1", "100000"}, []string{"0", "100001"}},
		{"run", "length", []string{"1 mm", "1000 m"}, []string{"0 m", "1001 m"}},
		{"run", "lead_in", []string{"0 m", "1000 m"}, []string{"-1 mm", "1001 m"}},
		{"run", "lead_out", []string{"0 m", "1000 m"}, []string{"-1 mm", "1001 m"}},
		{"run", "joint", []string{"0 ohm", "1000 ohm"}, []string{"-1 mohm", "1001 ohm"}},
		{"run", "diameter", []string{"1 mm", "1000 m"}, []string{"0 m", "1001 m"}},
		{"run", "angle", []string{"-360 deg", "360 deg"}, []string{"-361 deg", "361 deg"}},
		{"feed", "fuse", []string{"0.1 A", "500 A"}, []string{"0 A", "501 A"}},
	} {
		write := func(v string) string {
			if strings.ContainsAny(v, " %") {
				v = fmt.Sprintf("%q", v)
			}
			return in(row.table, row.key+" = "+v)
		}
		for _, v := range row.good {
			_, _, err := Parse([]byte(write(v)), "t.toml")
			if err != nil && !strings.Contains(err.Error(), row.key) {
				continue // another key does not fit this one: that is another rule
			}
			assert.NoError(t, err, "%s = %s", row.key, v)
		}
		for _, v := range row.bad {
			_, _, err := Parse([]byte(write(v)), "t.toml")
			if assert.Error(t, err, "%s = %s", row.key, v) {
				assert.Contains(t, err.Error(), row.key)
			}
		}
	}
	const star = "name = \"T\"\n[strip]\nchip = \"WS2812B\"\n[supply]\namps = \"1 A\"\n[address]\nhost = \"10.0.0.5\"\nuniverse = 1\n[[run]]\nshape = \"star\"\ndiameter = \"1 m\"\n"
	for v, ok := range map[string]bool{"points = 2": true, "points = 1": false, "points = 100": true, "points = 101": false, "points = 5\nstart = \"-360 deg\"": true,
		"points = 5\nstart = \"360 deg\"": true, "points = 5\nstart = \"361 deg\"": false, "points = 5\nstart = \"-361 deg\"": false} {
		_, _, err := Parse([]byte(star+v+"\n"), "t.toml")
		assert.Equal(t, ok, err == nil, "%s: %v", v, err)
	}
	for deg, want := range map[string]float64{"-90 deg": 270, "0 deg": 0, "360 deg": 0, "450 deg": -1, "90 deg": 90} {
		p, _, err := Parse([]byte(star+"points = 5\nstart = \""+deg+"\"\n"), "t.toml")
		if want < 0 {
			assert.Error(t, err)
			continue
		}
		require.NoError(t, err)
		assert.InDelta(t, want, p.Runs[0].Shape.Start, 1e-9, deg)
	}
}

// 32 °F are 0 °C, 212 °F 100 °C (their definition); wires at freezing point are
// not taken for wires without a temperature.
func TestTemperatureOfTheWires(t *testing.T) {
	for text, want := range map[string]float64{"-40 F": -40, "32 F": 0, "68 °F": 20, "60 C": 60, "0 C": 0, "140 F": 60} {
		p, _, err := Parse([]byte(with("amps = \"10 A\"", "amps = \"10 A\"\ntemperature = \""+text+"\"")), "t.toml")
		require.NoError(t, err)
		assert.InDelta(t, want, p.WireCelsius, 1e-5, text)
		assert.NotZero(t, p.WireCelsius)
	}
	p, _, err := Parse([]byte(plain), "t.toml")
	require.NoError(t, err)
	assert.Zero(t, p.WireCelsius, "none given")
}

// Hosts are addresses or names of RFC 1123 labels: 1 to 63 letters, digits and
// hyphens, no hyphen at either end, 253 in all.
func TestHostNames(t *testing.T) {
	long := strings.Repeat("a", 63)
	full := long + "." + long + "." + long + "." + strings.Repeat("a", 61)
	require.Len(t, full, 253)
	for name, ok := range map[string]bool{"pi": true, "pier-7.lan": true, "pier.lan.": true, "under_score": true, long: true, long + "a": false, full: true, full + "a": false,
		"": false, "-a": false, "a-": false, "a..b": false, ".": false, "1.2.3": false, "123": false, "a b": false, "ä": false, "a/b": false, "7a": true} {
		assert.Equal(t, ok, hostName(name), "%q", name)
	}
	for host, ok := range map[string]bool{"10.0.0.5": true, "fe80::1": true, "239.255.0.1": false, "ff02::1": false, "0.0.0.0": false, "::": false, "multicast": true, "MULTICAST": true, "a-": false} {
		p, _, err := Parse([]byte(with("10.0.0.5", host)), "t.toml")
		assert.Equal(t, ok, err == nil, host)
		if ok && strings.EqualFold(host, "multicast") {
			assert.Empty(t, p.Address.Host)
		}
	}
}

// A text may be as long as 500 octets, and no control or turning mark passes.
func TestTextsOfAFile(t *testing.T) {
	for n, ok := range map[int]bool{500: true, 501: false} {
		_, _, err := Parse([]byte(with(`"rim"`, `"`+strings.Repeat("x", n)+`"`)), "t.toml")
		assert.Equal(t, ok, err == nil, "%d letters", n)
	}
	for r, bad := range map[rune]bool{0x2029: false, 0x202a: true, 0x202e: true, 0x202f: false, 0x2065: false, 0x2066: true, 0x2069: true, 0x206a: false, 'a': false, 0x7f: true, 0x9b: true, '\n': true} {
		assert.Equal(t, bad, invisible(r), "%U", r)
	}
}

// What a count by length says: too short for one pixel and too long for the most
// are problems; a written count that is off by more than two pixels and 3 % is
// doubted, whichever way.
func TestCountsAgainstLengths(t *testing.T) {
	doubt := func(text string) bool {
		p, d, err := Parse([]byte(text), "t.toml")
		require.NoError(t, err)
		require.NotNil(t, p)
		return strings.Contains(fmt.Sprint(d.Doubts()), "do not match")
	}
	// 1 m of 60 a metre carries 60; 3 % are 2, so 58 to 62 pass.
	for n, want := range map[int]bool{57: true, 58: false, 60: false, 62: false, 63: true} {
		assert.Equal(t, want, doubt(with("pixels = 30", fmt.Sprintf("pixels = %d\nlength = \"1 m\"", n))), "%d", n)
	}
	// 10 m carry 600; 3 % are 18.
	for n, want := range map[int]bool{581: true, 582: false, 618: false, 619: true} {
		assert.Equal(t, want, doubt(with("pixels = 30", fmt.Sprintf("pixels = %d\nlength = \"10 m\"", n))), "%d", n)
	}
	// Fewer pixels than round a ring may stand apart: only more are doubted.
	around := math.Pi * 0.5 * 60 // 94.2
	assert.False(t, doubt(with("pixels = 30", "pixels = 30\ndiameter = \"500 mm\"")))
	assert.True(t, doubt(with("pixels = 30", fmt.Sprintf("pixels = %d\ndiameter = \"500 mm\"", int(around)+5))))
	ring := func(length string) bool {
		p, d, err := Parse([]byte(with("pixels = 30", "diameter = \"100 mm\"\nlength = \""+length+"\"")), "t.toml")
		require.NoError(t, err)
		require.NotNil(t, p)
		return strings.Contains(fmt.Sprint(d.Doubts()), "across is 31.4 cm round, but the length is")
	}
	// 314.16 mm round; a tenth more or less is let pass.
	for length, want := range map[string]bool{"345 mm": false, "346 mm": true, "286 mm": false, "285 mm": true} {
		assert.Equal(t, want, ring(length), length)
	}
	for line, want := range map[string]string{
		`length = "16 mm"`: "one pixel takes 16.7 mm", `length = "17 mm"`: "", `length = "1000 m"`: "", `shape = "outline"`: "an outline needs its points"} {
		_, _, err := Parse([]byte(with("pixels = 30", line)), "t.toml")
		if want == "" {
			assert.NoError(t, err, line)
		} else {
			assert.ErrorContains(t, err, want)
		}
	}
}

// Parts: one may lie in another or beside it; the same pixels twice and a half
// overlap are problems.
func TestPartsThatOverlap(t *testing.T) {
	for ranges, ok := range map[string]bool{"1-10 11-20": true, "1-10 10-20": false, "1-20 5-10": true, "5-10 1-20": true, "1-10 1-10": false, "1-10 1-20": true, "1-20 1-10": true,
		"1-20 11-20": true, "1-20 2-10 5-10": true, "1-20 2-10 5-11": false, "1-20 2-10 11-30": false, "1-20 2-10 21-30": true, "1-5 2-5 3-5": true, "1-30 1-20 21-30 25-30": true} {
		text := plain
		for i, r := range strings.Fields(ranges) {
			first, last, _ := strings.Cut(r, "-")
			text += fmt.Sprintf("[[part]]\nname = \"p%d\"\nfirst = %s\nlast = %s\n", i, first, last)
		}
		_, _, err := Parse([]byte(text), "t.toml")
		assert.Equal(t, ok, err == nil, "%s: %v", ranges, err)
	}
	for lines, ok := range map[string]bool{"first = 1": false, "last = 3": false, "first = 3\nlast = 3": true, "first = 4\nlast = 3": false, "run = \"rim\"": true, "run = \"rim\"\nfirst = 2": false,
		"run = \"rim\"\nfirst = 2\nlast = 30": true, "run = \"rim\"\nfirst = 2\nlast = 31": false, "": false} {
		_, _, err := Parse([]byte(plain+"[[part]]\nname = \"x\"\n"+lines+"\n"), "t.toml")
		assert.Equal(t, ok, err == nil, "%q: %v", lines, err)
	}
}

// Places of feeds, by hand, in a prop of 30 and 10 pixels.
func TestPlacesOfFeeds(t *testing.T) {
	for at, want := range map[string]int{"1": 0, "30": 29, "31": 30, "40": 39, `"start"`: 0, `"end"`: 39, `"start of rim"`: 0, `"end of rim"`: 29, `"start of tail"`: 30, `"END of Tail"`: 39, `"end of  tail "`: 39} {
		p, _, err := Parse([]byte(plain+"[[run]]\nname = \"tail\"\npixels = 10\n[[feed]]\nat = "+at+"\nlength = \"1 m\"\nwire = \"18 AWG\"\n"), "t.toml")
		require.NoError(t, err, at)
		assert.Equal(t, want, p.Feeds[0].Pixel, at)
	}
	for _, at := range []string{"0", "41", "-1", `"middle"`, `"start of mast"`, "1.5", `""`} {
		_, _, err := Parse([]byte(plain+"[[run]]\nname = \"tail\"\npixels = 10\n[[feed]]\nat = "+at+"\nlength = \"1 m\"\nwire = \"18 AWG\"\n"), "t.toml")
		assert.ErrorContains(t, err, "feed 1, at", at)
	}
	two := plain + "[[feed]]\nat = 1\nlength = \"1 m\"\nwire = \"18 AWG\"\n[[feed]]\nat = %s\nlength = \"1 m\"\nwire = \"18 AWG\"\n"
	for at, want := range map[string]bool{`"start"`: true, "2": false} {
		_, d, err := Parse(fmt.Appendf(nil, two, at), "t.toml")
		require.NoError(t, err)
		assert.Equal(t, want, strings.Contains(fmt.Sprint(d.Doubts()), `"feed 2" enters at the same place as "feed 1"`), at)
	}
}

// The runs of a file are named in a hint, up to eight of them.
func TestHintsNameTheRuns(t *testing.T) {
	for n, want := range map[int]string{3: "the runs are rim, x1, x2", 8: "the runs are rim, x1, x2, x3, x4, x5, x6, x7", 9: "x7, ...", 200: "x7, ...", 201: "name a run of this file"} {
		text := plain
		for i := 1; i < n; i++ {
			text += fmt.Sprintf("[[run]]\nname = \"x%d\"\npixels = 1\n", i)
		}
		_, _, err := Parse([]byte(text+"[[part]]\nname = \"p\"\nrun = \"quite another one\"\n"), "t.toml")
		require.ErrorContains(t, err, want)
		if n == 8 {
			assert.NotContains(t, err.Error(), "...")
		}
	}
	_, _, err := Parse([]byte(plain+"[[part]]\nname = \"p\"\nrun = \"rom\"\n"), "t.toml")
	assert.ErrorContains(t, err, `did you mean "rim"?`)
}

// Where pixels move when a stretch is taken out: those before it stay, those
// after it come nearer by its length.
func TestPixelsTakenOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first, n := rapid.IntRange(0, 50).Draw(t, "first"), rapid.IntRange(1, 50).Draw(t, "n")
		m := withoutRun(first, n, 200-n)
		if v := rapid.IntRange(0, 199).Draw(t, "pixel"); v < first && (m.from(v) != v || m.to(v) != v) || v >= first+n && (m.from(v) != v-n || m.to(v) != v-n) {
			t.Fatalf("pixel %d goes to %d and %d", v, m.from(v), m.to(v))
		}
		if m.to(first+n-1) != first-1 {
			t.Fatalf("what ended with the stretch ends at %d, not before it", m.to(first+n-1))
		}
	})
	p := "name = \"T\"\n[strip]\nchip = \"WS2812B\"\n[supply]\namps = \"1 A\"\n[address]\nhost = \"10.0.0.5\"\nuniverse = 1\n[[run]]\npixels = 10\n[[run]]\npixels = 10\n[[run]]\npixels = 10\n"
	for add, ok := range map[string]bool{
		"[[part]]\nname = \"a\"\nfirst = 1\nlast = 10\n": true, "[[part]]\nname = \"a\"\nfirst = 1\nlast = 11\n": false, "[[part]]\nname = \"a\"\nfirst = 20\nlast = 25\n": false,
		"[[part]]\nname = \"a\"\nfirst = 21\nlast = 25\n": true, "[[part]]\nname = \"a\"\nfirst = 11\nlast = 20\n": false, "[[part]]\nname = \"a\"\nfirst = 10\nlast = 20\n": true,
		"[[part]]\nname = \"a\"\nfirst = 11\nlast = 21\n": true, "[[part]]\nname = \"a\"\nfirst = 10\nlast = 19\n": false, "[[part]]\nname = \"a\"\nfirst = 12\nlast = 21\n": false,
		"[[part]]\nname = \"a\"\nrun = \"run 1\"\nfirst = 2\nlast = 3\n": true,
		"[[feed]]\nat = 11\nlength = \"1 m\"\nwire = \"18 AWG\"\n":       true, "[[feed]]\nat = 12\nlength = \"1 m\"\nwire = \"18 AWG\"\n": false, "[[feed]]\nat = 20\nlength = \"1 m\"\nwire = \"18 AWG\"\n": false,
		"[[feed]]\nat = 21\nlength = \"1 m\"\nwire = \"18 AWG\"\n": true, "[[feed]]\nat = 10\nlength = \"1 m\"\nwire = \"18 AWG\"\n": true,
	} {
		_, d, err := Parse([]byte(p+add), "t.toml")
		require.NoError(t, err)
		assert.Equal(t, ok, d.refuseReferred(1) == nil, "%s%v", add, d.refuseReferred(1))
	}
}

// Chips are found by any spelling of their names, and the table is whole.
func TestNamesOfChips(t *testing.T) {
	for name, want := range map[string]string{"ws2812b": "WS2812B", "WS-2812B": "WS2812B", "ws 2812_b": "WS2812B", "WS2812": "WS2812B", "ws2812b v5": "WS2812B V5", "apa102c": "APA102", "Bulb": "bulb RGBW", "bulb5": "bulb RGBWC", "ws2811": "WS2811 12V"} {
		c, ok := ChipByName(name)
		assert.True(t, ok, name)
		assert.Equal(t, want, c.Name)
	}
	_, ok := ChipByName("WS2812C")
	assert.False(t, ok)
	for _, k := range KnownChips() {
		backup := map[string]bool{"WS2813": true, "WS2815": true, "GS8208": true}[k.Name]
		assert.Equal(t, backup, k.BackupLine(), k.Name)
		assert.Equal(t, !strings.HasPrefix(k.Name, "bulb"), k.IsStrip(), k.Name)
		assert.Equal(t, k.Name == "APA102" || k.Name == "SK9822", k.Data.Clocked)
		if k.IsStrip() {
			assert.InDelta(t, 1, k.Pitch()*k.LightsPerMetre/float64(k.LightsPerPixel), 1e-12)
		} else {
			assert.Zero(t, k.Pitch())
		}
	}
	// Figures that a reading replaced have no spread.
	c, _ := ChipByName("WS2813")
	_, _, ok = c.Spread()
	assert.True(t, ok)
	for _, change := range []func(*Chip){func(c *Chip) { c.IdleAmps *= 2 }, func(c *Chip) { c.ChannelAmps *= 2 }, func(c *Chip) { c.Name = "SK6812" }, func(c *Chip) { c.Name = "no such" }} {
		other := c
		change(&other)
		low, high, ok := other.Spread()
		assert.False(t, ok)
		assert.Equal(t, other, low)
		assert.Equal(t, other, high)
	}
}

// Wires and sleeves of a prop, by hand: three runs with leads of 1 m, 0.5 + 0.2 m
// and 0.3 m of three wires, 6 m in all; 3 + 6 + 6 pads and two of each of two
// feeds; ends are 1 + 2 + 2 and one a feed.
func TestWhatJointsAndFeedsUseUp(t *testing.T) {
	p := &Prop{Chip: Chip{Name: "WS2812B"}, Runs: []Run{{Name: "a", Pixels: 3, LeadIn: 1, LeadOut: 0.5}, {Name: "b", Pixels: 4, LeadIn: 0.2}, {Name: "c", Pixels: 5, LeadIn: 0.3}},
		Feeds: []Feed{{Wire: Wire{AWG: 18}, WireMetre: 2}, {Wire: Wire{AWG: 18}, WireMetre: 1, Pixel: 7}, {Wire: Wire{AWG: 14}, WireMetre: 1.5, Pixel: 3}}}
	m := MaterialsFor(p)
	require.Len(t, m.Wires, 3)
	assert.Equal(t, DefaultLeadWire, m.Wires[0].Wire)
	assert.InDelta(t, 5, m.Wires[0].Metres, 1e-12, "2 m of three wires, but for 1 m of plus that the feeds bring")
	assert.InDelta(t, 6, m.Wires[1].Metres, 1e-12, "out and back, of both feeds of one wire")
	assert.InDelta(t, 3, m.Wires[2].Metres, 1e-12)
	assert.Equal(t, 14+6, m.SolderPads)
	assert.InDelta(t, 20*0.02, m.PadSleeves, 1e-12)
	assert.InDelta(t, 8*0.06, m.EndSleeves, 1e-12)
	js := Joints(p)
	assert.Equal(t, Joint{From: 0, To: 1, LastPixel: 2, FirstPixel: 3, Lead: 0.7, Conductors: 3}, js[1])
	assert.Equal(t, Joint{From: -1, To: 0, LastPixel: -1, FirstPixel: 0, Lead: 1, Conductors: 2, SupplyApart: true}, js[0])
	assert.Equal(t, []string{"controller to a", "a to b", "b to c"}, []string{js[0].Name(p), js[1].Name(p), js[2].Name(p)})
	p.Chip.Name, p.Runs[2].Apart, p.LeadWire = "APA102", true, Wire{AWG: 22}
	js = Joints(p)
	assert.Equal(t, []int{3, 4, 3}, []int{js[0].Conductors, js[1].Conductors, js[2].Conductors})
	assert.True(t, js[2].SupplyApart && !js[1].SupplyApart)
	assert.Equal(t, Wire{AWG: 22}, MaterialsFor(p).Wires[0].Wire)
	bare := &Prop{Runs: []Run{{Pixels: 1}}}
	assert.Empty(t, MaterialsFor(bare).Wires, "no length, no wire")
}
