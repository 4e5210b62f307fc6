package prop

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const plain = `name = "Test"
[strip]
chip = "WS2812B"
[supply]
amps = "10 A"
[address]
host = "10.0.0.5"
universe = 1
[[run]]
name = "rim"
pixels = 30
`

// without is the plain file with one piece of text replaced.
func with(old, new string) string {
	if !strings.Contains(plain, old) {
		panic(old)
	}
	return strings.Replace(plain, old, new, 1)
}

func TestBadInput(t *testing.T) {
	rows := []struct {
		name, text, want string
	}{
		{"negative length", with("pixels = 30", `length = "-93 in"`),
			`t.toml line 11: run 1, length: "-93 in" is negative: write more than zero, such as "93 in", "7 ft 9 in" or "2.36 m"`},
		{"length without a unit", with("pixels = 30", `length = 93`),
			`t.toml line 11: run 1, length: 93 has no unit: write "93 in", "7 ft 9 in" or "2.36 m"`},
		{"wrong unit", with(`"10 A"`, `"10 V"`),
			`t.toml line 5: supply, amps: "10 V" has the unit "v", which is not that of a current: write "5 A" or "20 mA"`},
		{"unknown AWG", plain + "[[feed]]\nat = \"start\"\nlength = \"1 m\"\nwire = \"9 AWG\"\n",
			`t.toml line 15: feed 1, wire: "9 AWG" is no gauge known here: give a whole number from 10 (thick) to 30 (thin) AWG; or an area: "0.75 mm2"`},
		{"zero supply", with(`"10 A"`, `"0 A"`),
			`t.toml line 5: supply, amps: "0 A" is zero: write more than zero, such as "5 A" or "20 mA"`},
		{"zero volts", with(`amps = "10 A"`, "volts = \"0 V\"\namps = \"10 A\""),
			`t.toml line 5: supply, volts: "0 V" is zero: write more than zero, such as "5 V"`},
		{"too many volts", with(`amps = "10 A"`, "volts = \"12 V\"\namps = \"10 A\""),
			`t.toml line 5: supply, volts: 12 V would harm the WS2812B, which takes 5 V: use the right supply, or give the chip's own volts in [strip]`},
		{"more slots than universe 63999 holds", with("universe = 1", "universe = 63999") + "[[run]]\npixels = 141\n",
			`t.toml line 8: address, universe: 171 pixels from universe 63999 slot 1 on need more slots than universe 63999 holds: start lower or use fewer pixels`},
		{"a feed past the last pixel", plain + "[[feed]]\nat = 31\nlength = \"1 m\"\nwire = \"18 AWG\"\n",
			`t.toml line 13: feed 1, at: pixel 31 is not on the prop, which has 30: give 1 to 30, or "end"`},
		{"a part past the last pixel", plain + "[[part]]\nname = \"half\"\nfirst = 16\nlast = 31\n",
			`t.toml line 15: part 1, last: 31 is out of range: give a whole number from 1 to 30`},
		{"overlapping parts", plain + "[[part]]\nname = \"a\"\nfirst = 1\nlast = 20\n[[part]]\nname = \"b\"\nfirst = 20\nlast = 30\n",
			`t.toml line 16: part 2: "b" (pixels 20 to 30) overlaps "a" (pixels 1 to 20) of line 12: let one end before the other begins, or lie wholly inside it`},
		{"universe 0", with("universe = 1", "universe = 0"),
			`t.toml line 8: address, universe: 0 is out of range: give a whole number from 1 to 63999`},
		{"slot 513", with("universe = 1", "universe = 1\nslot = 513"),
			`t.toml line 9: address, slot: 513 is out of range: give a whole number from 1 to 512`},
		{"100,001 pixels", with("pixels = 30", "pixels = 100_001"),
			`t.toml line 11: run 1, pixels: 100_001 is out of range: give a whole number from 1 to 100000`},
		{"100,001 pixels in two runs", with("pixels = 30", "pixels = 100000") + "[[run]]\npixels = 1\n",
			`t.toml: the runs add up to 100001 pixels, and 100000 is the most: split it into several props`},
		{"a wrong letter", with(`chip = "WS2812B"`, "chip = \"WS2812B\"\norder = \"GRX\""),
			`t.toml line 4: strip, order: colour order "GRX" has the letter 'X'; only R, G, B, W and C are known`},
		{"unknown key", with("pixels = 30", "pixel = 30\npixels = 30"),
			`t.toml line 11: run 1: "pixel" is no key of [[run]]: did you mean "pixels"?`},
		{"a slip of the pen is told once", with("chip =", "chp ="),
			`t.toml line 3: strip: "chp" is no key of [strip]: did you mean "chip"?`},
		{"a slip in a run", with("pixels = 30", "pixles = 30"),
			`t.toml line 11: run 1: "pixles" is no key of [[run]]: did you mean "pixels"?`},
		{"a slip in a table", with("[supply]", "[suply]"),
			`t.toml line 4: the table [suply] is not known here: did you mean [supply]?`},
		{"no supply", with("[supply]\namps = \"10 A\"\n", ""),
			`t.toml: [supply]: is missing: write [supply], and below it its plate: volts = "5 V" and amps = "10 A"`},
		{"no runs", with("[[run]]\nname = \"rim\"\npixels = 30\n", ""),
			`t.toml: [[run]]: the prop has none: write [[run]] for each piece of strip, in wiring order`},
		{"no name", with("name = \"Test\"\n", ""),
			`t.toml: name: the prop needs one: write name = "Porthole" at the top`},
		{"a key of another table", with("pixels = 30", "pixels = 30\nuniverse = 2"),
			`t.toml line 12: run 1: "universe" is no key of [[run]]: it belongs to [address]`},
		{"unknown table", plain + "[wires]\n",
			`t.toml line 12: the table [wires] is not known here: there are [address], [[feed]], [[part]], [[piece]], [[run]], [sign], [strip], [supply]`},
		{"unknown chip", with("WS2812B", "WS2821B"),
			`t.toml line 3: strip, chip: "WS2821B" is not in the table of chips: did you mean "WS2812B"? If not, give order, volts and full (amps a channel) from its datasheet`},
		{"a run twice", plain + "[[run]]\nname = \"Rim\"\npixels = 1\n",
			`t.toml line 12: run 2, name: "Rim" is also the name in line 9: give each its own name`},
		{"no count", with("pixels = 30", ""),
			`t.toml line 9: run 1: has neither a pixel count nor a length: write pixels = 36, or length = "93 in", or diameter = "191 mm"`},
		{"a control character", with(`"rim"`, `"ri\u001bm"`),
			`t.toml line 10: run 1, name: has a control character in its text: take it out`},
		{"a mark that turns writing round", with(`"rim"`, `"ri\u202em"`),
			`t.toml line 10: run 1, name: has a control character in its text: take it out`},
		{"a broken address", with("10.0.0.5", "10.0.0"),
			`t.toml line 7: address, host: "10.0.0" is not a host: write an address such as "10.0.0.5", a name, or "multicast"`},
		{"a torn line", with(`"10 A"`, `"10 A`),
			`t.toml line 5: this is not TOML (basic strings cannot have new lines): correct or remove this line`},
		{"a key twice", with("pixels = 30", "pixels = 30\npixels = 31"),
			`t.toml line 12: run 1, pixels: is here a second time, after line 11: keep one of them`},
		{"not UTF-8", with("rim", "r\xfcm"),
			`t.toml line 10: is not UTF-8 text (byte 0xFC): save it as UTF-8 in your editor`},
		{"UTF-16", "\xff\xfen\x00", `t.toml: is UTF-16 text: save it as UTF-8 in your editor`},
		{"empty", " \r\n\t\n", `t.toml: is empty: write a first one with "ringout new NAME"`},
		{"too large", strings.Repeat("# junk\n", MaxFile/7+1), `t.toml: is larger than 1 MB, which no prop file is: check that it is the right file`},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			p, d, err := Parse([]byte(row.text), "t.toml")
			assert.Nil(t, p)
			assert.NotNil(t, d)
			var ps Problems
			require.True(t, errors.As(err, &ps))
			assert.Equal(t, row.want, err.Error())
			assert.Len(t, ps, 1, "one cause, one sentence")
		})
	}
	_, _, err := Parse([]byte(plain), "t.toml")
	assert.NoError(t, err, "the plain file itself is good")
}

func TestAllProblemsInOneGo(t *testing.T) {
	text, err := os.ReadFile("../../testdata/props/bad.toml")
	require.NoError(t, err)
	want, err := os.ReadFile("../../testdata/props/bad.txt")
	require.NoError(t, err)
	_, _, err = Parse(text, "bad.toml")
	assert.Equal(t, string(want), err.Error()+"\n")
}

func TestProblemCanBeFound(t *testing.T) {
	_, _, err := Parse([]byte(with("pixels = 30", "pixels = 0")), "t.toml")
	var p Problem
	require.True(t, errors.As(err, &p))
	assert.Equal(t, Problem{"t.toml", 11, "run 1, pixels", "0 is out of range", "give a whole number from 1 to 100000"}, p)
}

func TestJunkGetsFewProblems(t *testing.T) {
	junk := bytes.Repeat([]byte("=[[\"x\n\x00"), 100_000)
	_, _, err := Parse(junk, "junk.toml")
	var ps Problems
	require.True(t, errors.As(err, &ps))
	assert.LessOrEqual(t, len(ps), maxProblems+1)
}

// A megabyte of whatever kind is read or refused in time; the tests would hang
// here if any of it cost more than a straight pass.
func TestLargestFiles(t *testing.T) {
	many := func(format string) string {
		var b strings.Builder
		for i := 0; b.Len() < MaxFile; i++ {
			fmt.Fprintf(&b, format, i)
		}
		return b.String()[:MaxFile]
	}
	runs := plain + many("[[run]]\nname=\"r%d\"\npixels=1\n")[:MaxFile/2]
	for name, text := range map[string]string{
		"parts of no run": runs[:strings.LastIndex(runs, "[[run]]")] + many("[[part]]\nrun=\"q%d\"\n")[:MaxFile/3],
		"unknown keys":    many("k%d=1\n"),
		"dotted keys":     many("a%d.b=1\n"),
		"open brackets":   "a=" + strings.Repeat("[", MaxFile-2),
		"open strings":    strings.Repeat("a=\"\"\"\n", MaxFile/7),
	} {
		_, _, err := Parse([]byte(text), "large.toml")
		var ps Problems
		require.True(t, errors.As(err, &ps), name)
		assert.LessOrEqual(t, len(ps), maxProblems+1, name)
	}
}

func TestWaysToWriteTheSame(t *testing.T) {
	want, _, err := Parse([]byte(plain), "t.toml")
	require.NoError(t, err)
	for name, text := range map[string]string{
		"CRLF":            strings.ReplaceAll(plain, "\n", "\r\n"),
		"byte order mark": "\ufeff" + plain,
		"no last newline": strings.TrimSuffix(plain, "\n"),
		"braces": `name = "Test"
strip = { chip = "WS2812B" }
supply = { amps = "10 A" }
address = { host = "10.0.0.5", universe = 1 }
run = [{ name = "rim", pixels = 30 }]
`,
		"dotted keys": `name = "Test"
strip.chip = "WS2812B"
supply.amps = "10 A"
address.host = "10.0.0.5"
address.universe = 0x1
[[run]]
name = 'rim'
pixels = 3_0
`,
	} {
		got, _, err := Parse([]byte(text), "t.toml")
		if assert.NoError(t, err, name) {
			assert.Equal(t, want, got, name)
		}
	}
}

func TestEveryKeyIsRead(t *testing.T) {
	p, d, err := Load("../../testdata/props/everything.toml")
	require.NoError(t, err)
	assert.Empty(t, d.Doubts())
	assert.Equal(t, &Prop{
		Name: "Everything",
		Chip: Chip{Name: "XY1234", Volts: 12, MinVolts: 10, Order: "WRGB", LightsPerMetre: 30, LightsPerPixel: 3,
			IdleAmps: 0.0008, ChannelAmps: 0.015},
		Runs: []Run{
			{Name: "mast", Pixels: 24, Cut: 93 * inch, Shape: Shape{Kind: Line, Angle: 90, Centre: Point{0, 0.3048}}, Reverse: true,
				LeadIn: 10 * inch, LeadOut: 12 * inch},
			{Name: "hoop", Pixels: 5, Cut: Circumference(6 * inch), Shape: Shape{Kind: Ring, Diameter: 6 * inch, Start: 270}, Closed: true},
			{Name: "star", Pixels: 20, Cut: shapeLength(Shape{Kind: Star, Points: 5, Diameter: 2 * foot}), Reverse: true,
				Shape: Shape{Kind: Star, Points: 5, Diameter: 2 * foot}, Apart: true, JointOhms: 0.05},
			{Name: "edge", Pixels: 6, Cut: 2 * foot, Shape: Shape{Kind: Outline, Corners: []Point{{0, 0}, {foot, 0}, {foot, foot}}}},
		},
		Parts:  []Part{{Name: "low half", First: 0, Last: 11}, {Name: "gap", First: 24, Last: 25, Empty: true}},
		Supply: Supply{Volts: 12.5, Amps: 8, Continuous: 0.75},
		Feeds: []Feed{
			{Name: "foot", Pixel: 0, WireMetre: 5 * foot, Wire: Wire{AWG: 16, Clad: true}, FuseAmps: 7.5},
			{Name: "feed 2", Pixel: 12, WireMetre: 0.5, Wire: Wire{MM2: 0.75}},
			{Name: "feed 3", Pixel: 24, WireMetre: 0.5, Wire: Wire{MM2: 0.75}},
			{Name: "feed 4", Pixel: 54, WireMetre: 0.5, Wire: Wire{MM2: 0.75}},
		},
		Reel: 16 * foot, Coil: 25 * foot,
		Address: Address{Host: "pier-controller.local", Port: 5570, Interface: "eth0", Universe: 12, Slot: 99, Packing: Straddle, Priority: 0, Sync: 7},
		Inches:  true, RailOhms: 0.15, LeadWire: Wire{AWG: 20, Solid: true}, WireCelsius: 50,
	}, p)
}

func TestDemoFilesAreTheOnesInTestdata(t *testing.T) {
	for _, name := range []string{"porthole", "pennant", "buoylamp"} {
		text, err := os.ReadFile(filepath.Join("../../testdata/props", name+".toml"))
		require.NoError(t, err)
		assert.Equal(t, DemoFile(name), string(text))
	}
	assert.Empty(t, DemoFile("lighthouse"))
}

func TestDemoProps(t *testing.T) {
	p := Porthole()
	assert.Equal(t, []int{36, 48, 60}, []int{p.Runs[0].Pixels, p.Runs[1].Pixels, p.Runs[2].Pixels})
	assert.Equal(t, 144, p.Pixels())
	assert.Equal(t, 84, p.Feeds[1].Pixel)
	assert.Equal(t, Part{Name: "lower rim", First: 99, Last: 128}, p.Parts[1])
	assert.Equal(t, 136, Pennant().Pixels())
	assert.Equal(t, 1, BuoyLamp().Pixels())
	for _, d := range Demos() {
		_, doc, err := Parse([]byte(DemoFile(strings.ReplaceAll(strings.ToLower(d.Name), " ", ""))), d.Name)
		require.NoError(t, err)
		assert.Empty(t, doc.Doubts(), d.Name)
	}
	assert.Empty(t, Collisions(Demos()))
}

func TestDoubts(t *testing.T) {
	_, d, err := Parse([]byte(with("pixels = 30", "pixels = 30\nlength = \"93 in\"")), "t.toml")
	require.NoError(t, err, "a doubt stops nothing")
	require.Len(t, d.Doubts(), 1)
	assert.Equal(t, `t.toml line 11: run 1, pixels: 30 pixels do not match 93 in of strip, which carries about 142: check the length, the count and the density`, d.Doubts()[0].Error())
	_, d, err = Parse([]byte(plain+"[[feed]]\nname = \"a\"\nat = 1\nlength = \"1 m\"\nwire = \"18 AWG\"\n[[feed]]\nname = \"b\"\nat = \"start\"\nlength = \"1 m\"\nwire = \"18 AWG\"\n"), "t.toml")
	require.NoError(t, err)
	assert.Equal(t, `t.toml line 17: feed 2: "b" enters at the same place as "a": power off, then move one, or use one thicker wire`, d.Doubts()[0].Error())
	_, d, err = Parse([]byte(with("pixels = 30", "length = \"93 in\"\ndiameter = \"12 in\"")), "t.toml")
	require.NoError(t, err)
	assert.Equal(t, `t.toml line 12: run 1, diameter: 12 in across is 37.7 in round, but the length is 93 in: check both, or leave out one`, d.Doubts()[0].Error())
	// Practice is one or two off what the length says; that is no doubt.
	_, d, err = Parse([]byte(with("pixels = 30", "pixels = 140\nlength = \"93 in\"")), "t.toml")
	require.NoError(t, err)
	assert.Empty(t, d.Doubts())
}

// A file cut short anywhere is read as what it is or refused; it never panics.
func TestCutShortAnywhere(t *testing.T) {
	whole := DemoFile("porthole")
	good := 0
	for n := range len(whole) {
		p, d, err := Parse([]byte(whole[:n]), "cut.toml")
		require.NotNil(t, d)
		require.True(t, (p == nil) == (err != nil))
		if err == nil {
			good++
		}
	}
	assert.Less(t, good, len(whole)/2, "most cuts must be noticed")
}

func FuzzParse(f *testing.F) {
	for _, name := range []string{"porthole", "pennant", "buoylamp"} {
		f.Add([]byte(DemoFile(name)))
	}
	f.Add([]byte(plain))
	bad, _ := os.ReadFile("../../testdata/props/bad.toml")
	f.Add(bad)
	f.Add([]byte("run=[{pixels=1},2]\nstrip.chip=\"x\"\n[a.b]\n[[run]]\ncorners=[\"1 m,2 m\",3]\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		p, d, err := Parse(text, "f.toml")
		if (p == nil) != (err != nil) || d.Text() != string(text) {
			t.Fatalf("prop %v, error %v", p, err)
		}
		if p == nil {
			return
		}
		if _, err := PatchFor(p); err != nil {
			t.Fatalf("accepted, but has no patch: %v", err)
		}
		for i, r := range Layout(p) {
			if len(r) != p.Runs[i].Pixels {
				t.Fatalf("run %d has %d places for %d pixels", i, len(r), p.Runs[i].Pixels)
			}
		}
	})
}

func TestFourRingsFile(t *testing.T) {
	p, d, err := Load("../../testdata/props/fourrings.toml")
	require.NoError(t, err)
	assert.Empty(t, d.Doubts())
	assert.True(t, p.Inches)
	// Source: common practice, 71, 61, 52 and 42 pixels, from one coil of 25 ft.
	for i, practice := range []int{71, 61, 52, 42} {
		assert.InDelta(t, practice, p.Runs[i].Pixels, 1)
	}
	plan, err := PlanCuts(TubePieces(p), p.Coil)
	require.NoError(t, err)
	assert.Len(t, plan.Reels, 1)
	assert.Zero(t, plan.Reels[0].Left)
}

// The page of the format names every key, and none that is not read.
func TestFormatIsDocumented(t *testing.T) {
	text, err := os.ReadFile("../../internal/cli/pages/prop-file.md")
	require.NoError(t, err)
	assert.Contains(t, string(text), "```toml\n"+strings.TrimRight(DemoFile("porthole"), "\n")+"\n```", "the whole example is the built-in Porthole")
	for table, names := range Keys {
		section := string(text)
		if table != "" {
			_, section, _ = strings.Cut(section, "## `"+brackets(table)+"`")
		} else {
			_, section, _ = strings.Cut(section, "## Top of the file")
		}
		section, _, _ = strings.Cut(section, "\n## ")
		for _, key := range names {
			assert.Contains(t, section, "`"+key+"`", "%s in %s", key, placeName(table))
		}
		for _, line := range strings.Split(section, "\n") {
			if cells := strings.Split(line, "|"); len(cells) > 2 && strings.HasPrefix(line, "| `") {
				for _, key := range strings.Split(cells[1], ",") {
					assert.Contains(t, names, strings.Trim(key, " `"), "documented, but not read")
				}
			}
		}
	}
}
