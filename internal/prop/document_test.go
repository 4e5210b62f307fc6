package prop

import (
	"sort"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2/unstable"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func open(t require.TestingT, text string) *Document {
	_, d, err := Parse([]byte(text), "t.toml")
	require.NoError(t, err)
	return d
}

func at(table string, i int, key string) Where { return Where{table, i, key} }

const notes = `# head note
name = "Test" # the name

[strip]
chip = "WS2812B" # chip note
# between

[supply]
amps = "10 A"
[address]
host     = "10.0.0.5" # host note
universe = 1
# last of address

# about the rim
[[run]]
name = "rim"
pixels = 30 # counted twice

# --- the others ---

# about the hub
[[run]]
name   = "hub"
pixels = 10
# below the hub

[[part]]
name  = "all but one"
first = 2
last  = 40
[[feed]]
at     = 31 # at the joint
length = "1 m"
wire   = "18 AWG"`

func TestSetInPlace(t *testing.T) {
	rows := []struct {
		name     string
		where    Where
		value    any
		old, new string // what changes in the text
	}{
		{"a value keeps its comment", at("run", 0, "pixels"), 31, "pixels = 30 #", "pixels = 31 #"},
		{"a text", at("", 0, "name"), `Say "hi" \ bye`, `name = "Test"`, `name = "Say \"hi\" \\ bye"`},
		{"a new key goes last, in step with the others", at("address", 0, "slot"), 7, "universe = 1\n", "universe = 1\nslot     = 7\n"},
		{"a new key where columns differ", at("run", 0, "travel"), "backward", "counted twice\n", "counted twice\ntravel = \"backward\"\n"},
		{"a new key in a table of one", at("strip", 0, "order"), "RGB", "# chip note\n", "# chip note\norder = \"RGB\"\n"},
		{"a key taken out leaves its comment", at("run", 0, "pixels"), nil, "pixels = 30 #", "#"},
		{"a new key where the file ends without a newline", at("feed", 0, "fuse"), "5 A", "18 AWG\"", "18 AWG\"\nfuse   = \"5 A\"\n"},
		{"yes or no", at("run", 1, "closed"), true, "pixels = 10\n", "pixels = 10\nclosed = true\n"},
		{"a list", at("run", 1, "corners"), []string{"0 in, 0 in", "6 in, 2 in"}, "pixels = 10\n", "pixels = 10\ncorners = [\"0 in, 0 in\", \"6 in, 2 in\"]\n"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			require.Equal(t, 1, strings.Count(notes, row.old))
			d := open(t, notes)
			all := []Setting{{row.where, row.value}}
			if row.value == nil { // a run needs a count
				all = append(all, Setting{at("run", 0, "length"), "50 cm"})
			}
			require.NoError(t, d.SetAll(all))
			want := strings.Replace(notes, row.old, row.new, 1)
			if row.value == nil {
				want = strings.Replace(want, "name = \"rim\"\n", "name = \"rim\"\nlength = \"50 cm\"\n", 1)
			}
			assert.Equal(t, want, d.Text())
		})
	}
}

func TestSetLineEnds(t *testing.T) {
	d := open(t, strings.ReplaceAll(notes, "\n", "\r\n"))
	require.NoError(t, d.Set(at("address", 0, "slot"), 7))
	assert.Equal(t, strings.Count(d.Text(), "\n"), strings.Count(d.Text(), "\r\n"))
	assert.Contains(t, d.Text(), "slot     = 7\r\n")
}

func TestSetInBracesAndDots(t *testing.T) {
	d := open(t, "name = \"Test\"\nstrip = { chip = \"WS2812B\" }\nsupply = { amps = \"10 A\" }\naddress.host = \"10.0.0.5\"\naddress.universe = 1\nrun = [{ pixels = 3 }, { pixels = 4 }]\n")
	require.NoError(t, d.Set(at("run", 1, "pixels"), 5))
	require.NoError(t, d.Set(at("run", 0, "name"), "first"))
	require.NoError(t, d.Set(at("strip", 0, "order"), "RGB"))
	require.NoError(t, d.Set(at("address", 0, "slot"), 9))
	assert.Equal(t, "name = \"Test\"\nstrip = { order = \"RGB\", chip = \"WS2812B\" }\nsupply = { amps = \"10 A\" }\naddress.host = \"10.0.0.5\"\naddress.universe = 1\naddress.slot = 9\nrun = [{ name = \"first\", pixels = 3 }, { pixels = 5 }]\n", d.Text())
	assert.EqualError(t, d.ReorderRuns([]int{1, 0}), "t.toml line 7: the runs stand in braces on one line: write each as [[run]] first")
}

func TestSetRefusesAndChangesNothing(t *testing.T) {
	rows := []struct {
		where Where
		value any
		want  string
	}{
		{at("run", 0, "pixels"), 0, "t.toml line 18: run 1, pixels: 0 is out of range: give a whole number from 1 to 100000"},
		{at("run", 0, "pixels"), -5, "t.toml line 18: run 1, pixels: -5 is out of range: give a whole number from 1 to 100000"},
		{at("run", 2, "pixels"), 5, "t.toml: there is no run 3: it has 2"},
		{at("run", 0, "pixel"), 5, `t.toml: there is no key "pixel" in [[run]]: did you mean "pixels"?`},
		{at("strip", 0, "order"), "RGX", `t.toml line 6: strip, order: colour order "RGX" has the letter 'X'; only R, G, B, W and C are known`},
		{at("strip", 0, "order"), 3.5, "a float64 cannot be written into a prop file"},
		{at("run", 0, "name"), "a\nb", "t.toml line 17: run 1, name: has a control character in its text: take it out"},
		{at("", 0, "name"), "\xff", `the text "\xff" is not UTF-8: type it anew`},
	}
	d := open(t, notes)
	before := d.Prop()
	for _, row := range rows {
		assert.EqualError(t, d.Set(row.where, row.value), row.want)
		assert.Equal(t, notes, d.Text())
		assert.Same(t, before, d.Prop())
	}
	_, bad, err := Parse([]byte("name = 3"), "t.toml")
	require.Error(t, err)
	assert.Error(t, bad.Set(at("", 0, "name"), "now good but still short of the rest"))
	assert.Equal(t, "name = 3", bad.Text())
}

func TestSetPixelsCarriesNumbersAlong(t *testing.T) {
	d := open(t, notes)
	require.NoError(t, d.SetPixels(0, 28))
	p := d.Prop()
	assert.Equal(t, 28, p.Runs[0].Pixels)
	assert.Equal(t, 28, p.Feeds[0].Pixel, "the feed stays at the joint")
	assert.Equal(t, Part{Name: "all but one", First: 1, Last: 37}, p.Parts[0], "the part still ends with the prop")
	assert.Contains(t, d.Text(), "at     = 29 # at the joint")

	require.NoError(t, d.SetPixels(0, 1))
	assert.Equal(t, Part{Name: "all but one", First: 0, Last: 10}, d.Prop().Parts[0])
	require.NoError(t, d.SetPixels(1, 12))
	assert.Equal(t, 12, d.Prop().Parts[0].Last)
	assert.EqualError(t, d.SetPixels(2, 5), "t.toml: there is no run 3: it has 2")

	d = open(t, DemoFile("porthole"))
	require.NoError(t, d.SetPixels(2, 40)) // the lower rim is its pixels 16 to 45
	assert.Equal(t, Part{Name: "lower rim", First: 99, Last: 123}, d.Prop().Parts[1])
}

func TestReorderRuns(t *testing.T) {
	text := strings.Replace(notes, "first = 2", "first = 31", 1)
	d := open(t, text)
	require.NoError(t, d.ReorderRuns([]int{1, 0}))
	want := text
	rim := "# about the rim\n[[run]]\nname = \"rim\"\npixels = 30 # counted twice\n"
	hub := "# about the hub\n[[run]]\nname   = \"hub\"\npixels = 10\n# below the hub\n"
	want = strings.Replace(want, rim, "@", 1)
	want = strings.Replace(want, hub, rim, 1)
	want = strings.Replace(want, "@", hub, 1)
	want = strings.Replace(want, "first = 31\nlast  = 40", "first = 1\nlast  = 10", 1)
	want = strings.Replace(want, "at     = 31", "at     = 1", 1) // it enters the hub's first pixel
	assert.Equal(t, want, d.Text())
	assert.Equal(t, "hub", d.Prop().Runs[0].Name)

	d = open(t, notes) // its part spans both runs and would come apart
	assert.EqualError(t, d.ReorderRuns([]int{1, 0}), `t.toml line 28: part "all but one" spans runs that come apart: change or remove it by hand first`)
	assert.EqualError(t, d.ReorderRuns([]int{0}), "t.toml: [0] is no order of its 2 runs")
	assert.EqualError(t, d.ReorderRuns([]int{0, 0}), "t.toml: [0 0] is no order of its 2 runs")
	assert.Equal(t, notes, d.Text())
}

// A feed stays soldered to its run when the run gets another place.
func TestReorderPinsFeeds(t *testing.T) {
	d := open(t, DemoFile("pennant"))
	require.NoError(t, d.ReorderRuns([]int{1, 0}))
	assert.Contains(t, d.Text(), `at     = "start of outline"`)
	assert.Equal(t, []int{40, 0}, []int{d.Prop().Feeds[0].Pixel, d.Prop().Feeds[1].Pixel})

	// Runs without names: the start is a pixel number then, and what is called
	// "run 2" gets that name in writing before it moves.
	d = open(t, strings.Replace(plain, "name = \"rim\"\n", "", 1)+"[[run]]\npixels = 5\n[[part]]\nrun = \"run 2\"\n"+
		"[[feed]]\nat = \"start\"\nlength = \"1 m\"\nwire = \"18 AWG\"\n[[feed]]\nat = \"end\"\nlength = \"1 m\"\nwire = \"18 AWG\"\n")
	require.NoError(t, d.ReorderRuns([]int{1, 0}))
	assert.Equal(t, []int{5, 5}, []int{d.Prop().Feeds[0].Pixel, d.Prop().Parts[0].Last - d.Prop().Parts[0].First + 1})
}

func TestAddAndRemoveRuns(t *testing.T) {
	d := open(t, plain)
	add := []Field{{"name", "hub"}, {"pixels", 7}, {"lead_in", "12 in"}}
	require.NoError(t, d.AddRun(1, add))
	assert.Equal(t, plain+"\n[[run]]\nname = \"hub\"\npixels = 7\nlead_in = \"12 in\"\n", d.Text())
	require.NoError(t, d.RemoveRun(0))
	assert.Equal(t, "hub", d.Prop().Runs[0].Name)
	assert.Error(t, d.RemoveRun(0), "a prop has at least one run")
	require.NoError(t, d.AddRun(0, []Field{{"name", "rim"}, {"pixels", 30}}))
	assert.Equal(t, []string{"rim", "hub"}, []string{d.Prop().Runs[0].Name, d.Prop().Runs[1].Name})
	assert.EqualError(t, d.AddRun(3, add), "t.toml: a run can be put at place 1 to 3, not 4")

	d = open(t, strings.TrimSuffix(notes, "\n"))
	require.NoError(t, d.RemoveRun(1))
	assert.Equal(t, 29, d.Prop().Parts[0].Last, "the part around it ends with what is left")
	d = open(t, strings.Replace(notes, "last  = 40", "last  = 35", 1))
	assert.EqualError(t, d.RemoveRun(1), `t.toml line 28: part "all but one" lies in run "hub": change or remove the part first`)
}

func TestSetOrderAndReverse(t *testing.T) {
	d := open(t, DemoFile("porthole"))
	require.NoError(t, d.SetOrder("RGB"))
	require.NoError(t, d.SetReverse(0, true))
	require.NoError(t, d.SetReverse(1, true))
	assert.Equal(t, Order("RGB"), d.Prop().Chip.Order)
	assert.True(t, d.Prop().Runs[0].Reverse)
	assert.True(t, d.Prop().Runs[1].Reverse)
	assert.False(t, d.Prop().Runs[2].Reverse)
	got := Diff(DemoFile("porthole"), d.Text())
	assert.Equal(t, []string{
		`-order     = "GRB"          # colours in the order of the wire`,
		`+order     = "RGB"          # colours in the order of the wire`,
		`-travel   = "clockwise" # as seen from the lit face`,
		`+travel   = "counter-clockwise" # as seen from the lit face`,
		`+travel   = "counter-clockwise"`,
	}, changed(got))
}

func changed(lines []DiffLine) (out []string) {
	for _, l := range lines {
		if l.Op != ' ' {
			out = append(out, string(l.Op)+l.Text)
		}
	}
	return out
}

// comments lists the comments of a text, found by the TOML reader and not by
// the code under test.
func comments(text string) (out []string) {
	var p unstable.Parser
	p.KeepComments = true
	p.Reset([]byte(strings.TrimPrefix(text, bom)))
	var walk func(n *unstable.Node)
	walk = func(n *unstable.Node) {
		for ; n.Valid(); n = n.Next() {
			if n.Kind == unstable.Comment {
				out = append(out, strings.TrimSpace(string(n.Data)))
			}
			walk(n.Child())
		}
	}
	for p.NextExpression() {
		walk(p.Expression())
	}
	return out
}

// keyOrder lists tables and keys as they stand.
func keyOrder(text string) (out []string) {
	var p unstable.Parser
	p.Reset([]byte(strings.TrimPrefix(text, bom)))
	for p.NextExpression() {
		s := ""
		for it := p.Expression().Key(); it.Next(); {
			s += "." + string(it.Node().Data)
		}
		out = append(out, s)
	}
	return out
}

// isSubsequence reports whether all of a stand in b in a's order.
func isSubsequence(a, b []string) bool {
	i := 0
	for _, s := range b {
		if i < len(a) && a[i] == s {
			i++
		}
	}
	return i == len(a)
}

func drawSetting(t *rapid.T) Setting {
	all := []Setting{
		{at("run", 0, "pixels"), rapid.IntRange(1, 60).Draw(t, "pixels")},
		{at("run", 1, "name"), rapid.StringN(1, 20, -1).Draw(t, "name")},
		{at("run", 0, "lead_in"), FormatLength(rapid.Float64Range(0, 3).Draw(t, "lead"), rapid.Bool().Draw(t, "inches"))},
		{at("run", 1, "closed"), rapid.Bool().Draw(t, "closed")},
		{at("strip", 0, "order"), rapid.SampledFrom([]string{"RGB", "GRB", "BGR"}).Draw(t, "order")},
		{at("strip", 0, "full"), "12 mA"},
		{at("address", 0, "slot"), rapid.IntRange(1, 512).Draw(t, "slot")},
		{at("address", 0, "host"), rapid.SampledFrom([]string{"multicast", "10.0.0.9", "pier"}).Draw(t, "host")},
		{at("address", 0, "sync"), nil},
		{at("supply", 0, "amps"), "20 A"},
		{at("", 0, "note"), rapid.StringMatching(`[ -~äß€]{0,30}`).Draw(t, "note")},
	}
	return rapid.SampledFrom(all).Draw(t, "setting")
}

// Any number of settings keep every comment and the order of all that was
// there, and what was set is what is read.
func TestEditsKeepCommentsAndOrder(t *testing.T) {
	texts := []string{notes, strings.ReplaceAll(notes, "\n", "\r\n"), bom + notes, DemoFile("porthole"), Template(Answers{Runs: []AnswerRun{{Pixels: 5}, {Pixels: 50}}})}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.SampledFrom(texts).Draw(t, "text")
		d := open(t, text)
		for range rapid.IntRange(1, 6).Draw(t, "edits") {
			s := drawSetting(t)
			before := d.Text()
			if err := d.SetAll([]Setting{s}); err != nil {
				if d.Text() != before {
					t.Fatalf("refused (%v), yet changed", err)
				}
				continue
			}
			if want, err := written(s.Value); err == nil {
				if got, _ := d.Get(s.Where); got != want {
					t.Fatalf("%v reads %s, want %s", s.Where, got, want)
				}
			}
			if a, b := comments(before), comments(d.Text()); !assert.ObjectsAreEqual(a, b) {
				t.Fatalf("comments changed:\n%q\n%q", a, b)
			}
			if s.Value != nil && !isSubsequence(keyOrder(before), keyOrder(d.Text())) {
				t.Fatalf("order changed:\n%q\n%q", keyOrder(before), keyOrder(d.Text()))
			}
		}
	})
}

// A new order of runs keeps every comment somewhere, and going back gives the
// very text there was.
func TestReorderThereAndBack(t *testing.T) {
	text := strings.Replace(DemoFile("porthole"), `"start"  #`, `"start of inner ring" #`, 1) + "\n[[part]]\nname = \"x\"\nfirst = 40\nlast = 50\n\n[[feed]]\nat = 90\nlength = \"1 m\"\nwire = \"18 AWG\"\n"
	rapid.Check(t, func(t *rapid.T) {
		d := open(t, text)
		was := d.Prop()
		order := rapid.Permutation([]int{0, 1, 2}).Draw(t, "order")
		if err := d.ReorderRuns(order); err != nil {
			t.Fatal(err)
		}
		now := d.Prop()
		for i, old := range order {
			if now.Runs[i].Name != was.Runs[old].Name {
				t.Fatalf("run %d is %s", i, now.Runs[i].Name)
			}
		}
		for i := range was.Parts {
			r, o := was.Find(was.Parts[i].First)
			r2, o2 := now.Find(now.Parts[i].First)
			if was.Runs[r].Name != now.Runs[r2].Name || o != o2 {
				t.Fatalf("part %q has left its run", was.Parts[i].Name)
			}
		}
		a, b := comments(text), comments(d.Text())
		sort.Strings(a)
		sort.Strings(b)
		if !assert.ObjectsAreEqual(a, b) {
			t.Fatal("a comment is lost")
		}
		back := make([]int, 3)
		for i, old := range order {
			back[old] = i
		}
		if err := d.ReorderRuns(back); err != nil || d.Text() != text {
			t.Fatalf("not the text there was (%v):\n%s", err, d.Text())
		}
	})
}

func TestDiff(t *testing.T) {
	assert.Equal(t, []DiffLine{{' ', 1, "a"}, {'-', 2, "b"}, {'+', 2, "x"}, {' ', 3, "c"}, {'+', 4, "d"}},
		Diff("a\nb\nc\n", "a\nx\nc\nd\n"))
	assert.Empty(t, changed(Diff("a\r\nb", "a\nb\n")))
	assert.Empty(t, Diff("", ""))
	rapid.Check(t, func(t *rapid.T) {
		lines := rapid.SliceOfN(rapid.SampledFrom([]string{"a", "b", "c"}), 0, 12)
		a, b := lines.Draw(t, "a"), lines.Draw(t, "b")
		var back, forth []string
		for _, l := range Diff(strings.Join(a, "\n"), strings.Join(b, "\n")) {
			if l.Op != '+' {
				back = append(back, l.Text)
			}
			if l.Op != '-' {
				forth = append(forth, l.Text)
			}
		}
		if strings.Join(back, "\n") != strings.Join(a, "\n") || strings.Join(forth, "\n") != strings.Join(b, "\n") {
			t.Fatalf("%q and %q came back as %q and %q", a, b, back, forth)
		}
	})
}

func FuzzEdit(f *testing.F) {
	f.Add([]byte(notes), "run", 0, "pixels", "x", 9)
	f.Add([]byte(DemoFile("porthole")), "strip", 0, "order", "RGB", 1)
	f.Add([]byte("name=\"T\"\nstrip={chip=\"WS2812B\"}\nsupply.amps=\"1 A\"\naddress={host=\"multicast\",universe=1}\nrun=[{pixels=1}]"), "address", 0, "slot", "", 3)
	f.Fuzz(func(t *testing.T, text []byte, table string, i int, key, value string, n int) {
		_, d, err := Parse(text, "f.toml")
		if err != nil {
			return
		}
		for _, edit := range []func() error{
			func() error { return d.Set(Where{table, i, key}, value) },
			func() error { return d.Set(Where{table, i, key}, n) },
			func() error { return d.SetPixels(i, n) },
			func() error { return d.SetReverse(i, n%2 == 0) },
		} {
			before := d.Text()
			if err := edit(); err != nil {
				if d.Text() != before {
					t.Fatalf("refused (%v), yet changed", err)
				}
				continue
			}
			if _, _, err := Parse([]byte(d.Text()), "f.toml"); err != nil {
				t.Fatalf("an edit left %v in\n%s", err, d.Text())
			}
			if a, b := comments(before), comments(d.Text()); !assert.ObjectsAreEqual(a, b) {
				t.Fatalf("comments changed:\n%q\n%q", a, b)
			}
		}
		if len(d.Prop().Runs) > 1 {
			before := comments(d.Text())
			order := make([]int, len(d.Prop().Runs))
			for k := range order {
				order[k] = len(order) - 1 - k
			}
			if d.ReorderRuns(order) == nil {
				after := comments(d.Text())
				sort.Strings(before)
				sort.Strings(after)
				if !assert.ObjectsAreEqual(before, after) {
					t.Fatalf("comments lost:\n%q\n%q", before, after)
				}
			}
		}
	})
}
