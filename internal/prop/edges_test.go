package prop

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A file is read up to its limit to the octet, and one without text is empty,
// which is no error of reading.
func TestFilesAreReadToTheirLimit(t *testing.T) {
	path := filepath.Join(t.TempDir(), "x")
	for n, ok := range map[int]bool{0: true, 1: true, 10: true, 11: false} {
		want := strings.Repeat("a", n)
		require.NoError(t, os.WriteFile(path, []byte(want), 0o600))
		got, err := ReadFile(path, 10)
		assert.Equal(t, ok, err == nil, "%d octets: %v", n, err)
		if ok {
			assert.Equal(t, want, string(got))
		}
	}
	_, err := ReadFile(filepath.Join(t.TempDir(), "none"), 10)
	assert.ErrorIs(t, err, fs.ErrNotExist)
}

// ChangedOnDisk reports only changes of the file that was loaded or saved, by any
// spelling of its path. A document without a file has none.
func TestWhoseFileHasChanged(t *testing.T) {
	path, d := tempProp(t)
	other := filepath.Join(filepath.Dir(path), "other.toml")
	require.NoError(t, os.WriteFile(other, []byte(DemoFile("pennant")), 0o600))
	assert.False(t, d.ChangedOnDisk(path))
	assert.False(t, d.ChangedOnDisk(other), "it never held this text")
	fresh := open(t, DemoFile("porthole"))
	assert.False(t, fresh.ChangedOnDisk(other))
	require.NoError(t, os.WriteFile(path, []byte(DemoFile("pennant")), 0o600))
	assert.True(t, d.ChangedOnDisk(path))
	assert.True(t, d.ChangedOnDisk(filepath.Join(filepath.Dir(path), "..", filepath.Base(filepath.Dir(path)), "porthole.toml")), "the same file")
	require.NoError(t, d.Save(other), "what another file held is not this document's")
	assert.Equal(t, DemoFile("porthole"), onDisk(t, other))
	assert.False(t, d.ChangedOnDisk(path), "it is the other's now")
	require.NoError(t, os.WriteFile(other, []byte("name = 1"), 0o600))
	assert.True(t, d.ChangedOnDisk(other))
}

// If the count of a run changes, a part counted inside it stays inside: its first pixel
// is limited to the run, and its last is the run's last if it was so before or the run
// ends earlier. Parts of other runs are unchanged.
func TestPartsInsideARunKeepToIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lens := rapid.SliceOfN(rapid.IntRange(1, 9), 1, 3).Draw(t, "runs")
		r := rapid.IntRange(0, len(lens)-1).Draw(t, "run of the part")
		first := rapid.IntRange(1, lens[r]).Draw(t, "first")
		last := rapid.IntRange(first, lens[r]).Draw(t, "last")
		text := strings.Split(fileOf(lens, 0, 0, 0), "[[part]]")[0]
		text += fmt.Sprintf("[[part]]\nname = \"p\"\nrun = \" %c\"\nfirst = %d\nlast = %d\n", rapid.SampledFrom([]int{'a', 'A'}).Draw(t, "letter")+r, first, last)
		_, d, err := Parse([]byte(text), "t.toml")
		if err != nil { // the name is not trimmed there: then as it stands
			_, d, err = Parse([]byte(strings.Replace(text, "\" ", "\"", 1)), "t.toml")
		}
		require.NoError(t, err)
		i, n := rapid.IntRange(0, len(lens)-1).Draw(t, "run"), rapid.IntRange(1, 12).Draw(t, "pixels")
		require.NoError(t, d.SetPixels(i, n))
		wantFirst, wantLast := first, last
		if i == r {
			wantFirst = min(first, n)
			if last == lens[r] || last > n {
				wantLast = n
			}
		}
		base := d.Prop().FirstPixel(r)
		got := d.Prop().Parts[0]
		require.Equal(t, [2]int{wantFirst, wantLast}, [2]int{got.First - base + 1, got.Last - base + 1}, "runs %v, run %d to %d, part %d to %d of run %d", lens, i, n, first, last, r)
	})
}

// Tables without a name, or with an empty one, go by their number.
func TestTablesWithoutNames(t *testing.T) {
	for _, name := range []string{"", "name = \"\"\n"} {
		text := strings.Replace(with(`name = "rim"`+"\n", name), "[[run]]", "[[run]]\n", 1) + "[[run]]\n" + name + "pixels = 4\n[[part]]\n" + name + "first = 1\nlast = 2\n[[part]]\n" + name + "first = 3\nlast = 4\n" +
			"[[feed]]\n" + name + "at = 1\nlength = \"1 m\"\nwire = \"18 AWG\"\n[[feed]]\n" + name + "at = 2\nlength = \"1 m\"\nwire = \"18 AWG\"\n"
		p, _, err := Parse([]byte(text), "t.toml")
		require.NoError(t, err)
		assert.Equal(t, []string{"run 1", "run 2", "part 1", "part 2", "feed 1", "feed 2"}, []string{p.Runs[0].Name, p.Runs[1].Name, p.Parts[0].Name, p.Parts[1].Name, p.Feeds[0].Name, p.Feeds[1].Name}, "%q", name)
	}
}

// Figures in problems have the units of the file and the exact limit.
func TestProblemsInTheUnitsOfTheFile(t *testing.T) {
	said := func(text string) string {
		_, _, err := Parse([]byte(text), "t.toml")
		require.Error(t, err)
		return err.Error()
	}
	// 60 pixels a metre lie 16.7 mm apart, 0.656 in.
	assert.Contains(t, said(with("pixels = 30", `length = "0.3 in"`)), "is 0.3 in long, and one pixel takes 0.66 in")
	assert.Contains(t, said(with("pixels = 30", `length = "8 mm"`)), "is 8 mm long, and one pixel takes 16.7 mm")
	high := func(volts string) error {
		_, _, err := Parse([]byte(strings.Replace(with(`amps = "10 A"`, "amps = \"10 A\"\nvolts = \""+volts+"\""), "chip = \"WS2812B\"\n", "chip = \"WS2812B\"\nvolts = \"53 V\"\nlowest = \"50 V\"\n", 1)), "t.toml")
		return err
	}
	assert.NoError(t, high("60 V"))
	assert.ErrorContains(t, high("60.5 V"), "supply, volts")
	assert.ErrorContains(t, high("61 V"), "supply, volts")
	for volts, ok := range map[string]bool{"60 V": true, "60.5 V": false} {
		_, _, err := Parse([]byte(strings.Replace(with(`amps = "10 A"`, "amps = \"10 A\"\nvolts = \"55 V\""), "chip = \"WS2812B\"\n", "chip = \"WS2812B\"\nvolts = \""+volts+"\"\nlowest = \"50 V\"\n", 1)), "t.toml")
		assert.Equal(t, ok, err == nil, "a chip of %s: %v", volts, err)
	}
}

// Places in sentences: tables that come many times by number, others by name,
// the top of the file by the key alone.
func TestPlacesInWords(t *testing.T) {
	for want, w := range map[string]Where{"name": {"", 0, "name"}, "run 2, length": {"run", 1, "length"}, "part 1, first": {"part", 0, "first"}, "feed 3, at": {"feed", 2, "at"}, "strip, chip": {"strip", 0, "chip"}, "supply, amps": {"supply", 0, "amps"}} {
		assert.Equal(t, want, w.String())
	}
}

// The figures of each chip beside the sheets and the list that they come from:
// volts, the lowest it works at, LEDs a metre as most sold and to a pixel
// (common practice), microseconds of a bit and of the pause after a frame.
func TestChipsByTheirSheets(t *testing.T) {
	for _, row := range []struct {
		name, source        string
		volts, lowest, leds float64
		group               int
		order               Order
		bit, reset          float64
		clocked             bool
	}{
		{"WS2812B", "datasheet 2016 V1.0: 5 V, works from 4.5, GRB, 1.25 µs, over 50 µs", 5, 4.5, 60, 1, "GRB", 1.25, 50, false},
		{"WS2812B V5", "maker's text: over 280 µs", 5, 4.5, 60, 1, "GRB", 1.25, 280, false},
		{"WS2811 12V", "datasheet: 12 V strip of three LEDs in series, RGB; three times 3.4 V and 0.3 V", 12, 10.5, 60, 3, "RGB", 1.25, 50, false},
		{"WS2811 5V", "datasheet: RGB; seed strings, 20 a metre (common practice)", 5, 4.5, 20, 1, "RGB", 1.25, 50, false},
		{"WS2813", "list: 5 V; over 280 µs (from memory)", 5, 4.5, 60, 1, "GRB", 1.25, 280, false},
		{"WS2814", "from memory: 24 V, WRGB, six LEDs in series", 24, 21.5, 60, 6, "WRGB", 1.25, 280, false},
		{"WS2815", "datasheet summary: 9 to 13 V; list: RGB, over 300 µs", 12, 9, 60, 1, "RGB", 1.25, 300, false},
		{"GS8208", "list: 10.8 to 13.2 V, RGB", 12, 10.8, 60, 1, "RGB", 1.25, 280, false},
		{"SK6812", "list: 5 V, GRB; over 80 µs", 5, 4.5, 60, 1, "GRB", 1.25, 80, false},
		{"SK6812 RGBW", "datasheet Rev 01: GRBW, over 80 µs", 5, 4.5, 60, 1, "GRBW", 1.25, 80, false},
		{"UCS1903", "from memory", 12, 10.5, 60, 3, "RGB", 1.25, 280, false},
		{"TM1814", "from memory: 12 V, WRGB", 12, 10.5, 60, 3, "WRGB", 1.25, 280, false},
		{"APA102", "format documents: 5 V, data and clock, BGR", 5, 4.5, 60, 1, "BGR", 1, 0, true},
		{"SK9822", "format documents: as APA102", 5, 4.5, 60, 1, "BGR", 1, 0, true},
		{"bulb RGBW", "a guess; read the bulb's plate", 12, 10.8, 0, 1, "RGBW", 0, 0, false},
		{"bulb RGBWC", "a guess; read the bulb's plate", 12, 10.8, 0, 1, "RGBWC", 0, 0, false},
	} {
		k, ok := KnownByName(row.name)
		require.True(t, ok, row.name)
		assert.Equal(t, []any{row.volts, row.lowest, row.leds, row.group, row.order, row.bit, row.reset, row.clocked},
			[]any{k.Volts, k.MinVolts, k.LightsPerMetre, k.LightsPerPixel, k.Order, k.Data.BitMicros, k.Data.ResetMicros, k.Data.Clocked}, "%s: %s", row.name, row.source)
	}
	assert.Len(t, KnownChips(), 16, "a chip without a row here")
}

// edits is the restricted edit distance by its definition, letter by letter
// from the end.
func edits(a, b string) int {
	switch {
	case a == "" || b == "":
		return len(a) + len(b)
	case a[len(a)-1] == b[len(b)-1]:
		return edits(a[:len(a)-1], b[:len(b)-1])
	}
	best := 1 + min(edits(a[:len(a)-1], b), edits(a, b[:len(b)-1]), edits(a[:len(a)-1], b[:len(b)-1]))
	if x, y := len(a), len(b); x > 1 && y > 1 && a[x-1] == b[y-2] && a[x-2] == b[y-1] {
		best = min(best, 1+edits(a[:x-2], b[:y-2]))
	}
	return best
}

// The distance of words is that of its definition, and a word is near another
// when at most half of it, and no more than three letters, are off.
func TestWordsThatAreNear(t *testing.T) {
	letters := rapid.StringOfN(rapid.RuneFrom([]rune("abc")), 0, 6, -1)
	rapid.Check(t, func(t *rapid.T) {
		a, b := letters.Draw(t, "a"), letters.Draw(t, "b")
		require.Equal(t, edits(a, b), editDistance(a, b), "%q and %q", a, b)
		require.Equal(t, editDistance(a, b), editDistance(b, a))
	})
	long := strings.Repeat("a", 40)
	assert.Equal(t, 1, editDistance(long, long[1:]))
	for word, want := range map[string]string{"": "", "x": "", "lenght": "length", "LENGTH": "length", "leng": "length", "len": "", "pixles": "pixels", "pixxles": "pixels", "piyyxels": "pixels", "pizzzzels": "", "chp": "chip", "ab": "", "cip": "chip"} {
		assert.Equal(t, want, nearest(word, []string{"length", "pixels", "chip"}), "%q", word)
	}
	assert.Equal(t, "abcd", nearest("abce", []string{"abcf", "abcd"}[1:]), "")
	assert.Equal(t, "first", nearest("firsz", []string{"first", "firsy"}), "of two alike the first")
}

// Unusual but valid files: an empty list of runs, an empty first line, a run of one
// pixel with a feed at its end.
func TestOddButWholeFiles(t *testing.T) {
	_, _, err := Parse([]byte(strings.Split(plain, "[strip]")[0]+"run = []\n[strip]\n"+strings.Split(strings.Split(plain, "[strip]\n")[1], "[[run]]")[0]), "t.toml")
	assert.Error(t, err, "no runs")
	_, d, err := Parse([]byte("\n"+plain), "t.toml")
	require.NoError(t, err)
	require.NoError(t, d.Set(Where{"address", 0, "slot"}, 9))
	assert.Equal(t, "\n"+with("universe = 1\n", "universe = 1\nslot = 9\n"), d.Text())
	const feed = "[[feed]]\nat = %q\nlength = \"1 m\"\nwire = \"18 AWG\"\n"
	for at, want := range map[string]int{"start": 0, "end": 33, "start of rim": 0, "end of rim": 29, "start of one": 30, "end of one": 30, "start of three": 31, "end of three": 33, " END of Three ": 33} {
		p, _, err := Parse([]byte(plain+"[[run]]\nname = \"one\"\npixels = 1\n[[run]]\nname = \"three\"\npixels = 3\n"+fmt.Sprintf(feed, at)), "t.toml")
		require.NoError(t, err, at)
		assert.Equal(t, want, p.Feeds[0].Pixel, at)
	}
	text := Template(Answers{})
	for _, line := range []string{"universe = 1\n", "slot     = 1 "} {
		assert.Contains(t, text, line)
	}
}

// Feeds at the start and the end of the prop stay on the run that they are
// soldered to, whichever way the runs are put.
func TestFeedsStayOnTheirRuns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lens := rapid.SliceOfN(rapid.IntRange(1, 5), 2, 4).Draw(t, "runs")
		named := rapid.Bool().Draw(t, "named")
		text := strings.Split(fileOf(lens, 0, 0, 0), "[[part]]")[0]
		if !named {
			for i := range lens {
				text = strings.Replace(text, fmt.Sprintf("name = \"%c\"\n", 'a'+i), "", 1)
			}
		}
		text += "[[feed]]\nat = \"Start\"\nlength = \"1 m\"\nwire = \"18 AWG\"\n[[feed]]\nat = \"end\"\nlength = \"1 m\"\nwire = \"18 AWG\"\n"
		_, d, err := Parse([]byte(text), "t.toml")
		require.NoError(t, err)
		order := rapid.Permutation([]int{0, 1, 2, 3}[:len(lens)]).Draw(t, "order")
		require.NoError(t, d.ReorderRuns(order))
		now, at := make([]int, len(lens)), make([]int, len(lens))
		for i, old := range order {
			now[i], at[old] = lens[old], i
		}
		last := len(lens) - 1
		want := [2]int{numberOf(now, inRun{at[0], 0}), numberOf(now, inRun{at[last], lens[last] - 1})}
		require.Equal(t, want, [2]int{d.Prop().Feeds[0].Pixel, d.Prop().Feeds[1].Pixel}, "runs %v in order %v:\n%s", lens, order, d.Text())
	})
}

// A piece longer than a reel is made of as many runs as it needs, and no more if it
// fills the last one exactly.
func TestRunsOfAPieceTooLong(t *testing.T) {
	for metres, runs := range map[float64]int{5.01: 2, 10: 2, 10.01: 3, 14.99: 3, 15: 3} {
		text := CutPlan{Reel: 5}.SayTooLong(Piece{Name: "rim", Metres: metres})
		assert.Contains(t, text, fmt.Sprintf("make it of %d runs", runs), "%g m", metres)
	}
}

// Any text that waits for a file that is no prop file is found, the newest
// first; an empty one is not.
func TestTextsThatWait(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "notes")
	for _, text := range []string{"x", "two"} {
		_, err := KeepUnsaved(path, folder, text)
		require.NoError(t, err)
		file, got := UnsavedText(path, folder)
		assert.Equal(t, text, got)
		require.NoError(t, os.Remove(file))
	}
	_, err := KeepUnsaved(path, folder, "")
	require.NoError(t, err)
	_, got := UnsavedText(path, folder)
	assert.Empty(t, got)
}

// Problems name rows and holes as people count them.
func TestProblemsOfADrawing(t *testing.T) {
	const sign = "name = \"T\"\n[strip]\nchip = \"WS2811 5V\"\n[supply]\namps = \"1 A\"\n[address]\nhost = \"10.0.0.5\"\nuniverse = 1\n[sign]\nreach = \"8 cm\"\n"
	for text, want := range map[string]string{
		"pitch = \"5 cm\"\nholes = \"\"\"\nx x\nx\u00adx\n\"\"\"\n":    "t.toml line 14: sign, holes: row 2 of the drawing has a sign that does not print: take it out",
		"pitch = \"5 cm\"\nholes = \"\"\"\nx x\n\tx\n\"\"\"\n":         "t.toml line 14: sign, holes: row 2 of the drawing has a tab, whose width is anyone's guess: use spaces",
		"holes = [\"0 cm, 0 cm\", \"5 cm, 0 cm\", \"0 cm, 0 cm\"]\n":   "sign, holes: hole 3 of the list is where hole 1 is: remove one of them",
		"holes = [\"0 cm, 0 cm\",\n\"5 cm, 0 cm\",\n\"5 cm, 0 cm\"]\n": "line 13: sign, holes: hole 3 of the list is where hole 2 is: remove one of them",
	} {
		_, _, err := Parse([]byte(sign+text), "t.toml")
		assert.ErrorContains(t, err, want)
	}
	// Twenty problems are enough to go on with; the rest are counted.
	many := plain
	for range 200 {
		many += "[[run]]\npixels = 0\n"
	}
	_, _, err := Parse([]byte(many), "t.toml")
	var all Problems
	require.ErrorAs(t, err, &all)
	last := all[len(all)-1]
	assert.Equal(t, fmt.Sprintf("has %d more problems", 200-(len(all)-1)), last.Text)
	assert.Zero(t, last.Line, "it is of the whole file")
}

// Removing a key removes only its line. The lines around it stay, and so does a comment
// after it.
func TestAKeyTakenOutIsOneLine(t *testing.T) {
	const all = "name = \"T\"\nnote = \"n\"\n[strip]\nchip = \"WS2812B\"\norder = \"RGB\" # as seen\nreel = \"5 m\"\n\n[supply]\namps = \"9 A\"\ncontinuous = \"70 %\"\n[address]\nhost = \"10.0.0.5\"\nslot = 3\nuniverse = 1\n[[run]]\nname = \"a\"\npixels = 9\nlead_in = \"1 m\""
	for key, w := range map[string]Where{"note": {"", 0, "note"}, "order": {"strip", 0, "order"}, "reel": {"strip", 0, "reel"}, "continuous": {"supply", 0, "continuous"}, "slot": {"address", 0, "slot"}, "lead_in": {"run", 0, "lead_in"}} {
		for _, end := range []string{"\n", "\r\n"} {
			d := open(t, strings.ReplaceAll(all, "\n", end))
			require.NoError(t, d.Set(w, nil))
			var want []string
			for _, line := range strings.Split(all, "\n") {
				if key == "order" && strings.HasPrefix(line, key) {
					line = "# as seen"
				}
				if !strings.HasPrefix(line, key+" ") {
					want = append(want, line)
				}
			}
			assert.Equal(t, strings.TrimRight(strings.Join(want, end), "\r\n"), strings.TrimRight(d.Text(), "\r\n"), key)
		}
	}
}

// A file that is written for a prop has its feeds where they were, whichever
// pixel that is.
func TestFeedsAreWrittenWhereTheyAre(t *testing.T) {
	for at := range 7 {
		p := prop7(at)
		back, _, err := Parse([]byte(FileText(p)), "t.toml")
		require.NoError(t, err)
		assert.Equal(t, at, back.Feeds[0].Pixel, FileText(p))
	}
}

func prop7(feed int) *Prop {
	c, _ := ChipByName("WS2812B")
	return &Prop{Name: "seven", Chip: c, Supply: Supply{Volts: 5, Amps: 2, Continuous: 0.8}, Address: Address{Host: "10.0.0.5", Universe: 1, Packing: Whole, Priority: 100},
		Runs: []Run{{Name: "a", Pixels: 3}, {Name: "b", Pixels: 4}}, Feeds: []Feed{{Name: "f", Pixel: feed, Wire: Wire{AWG: 18}, WireMetre: 1}}}
}
