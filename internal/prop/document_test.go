package prop

import (
	"sort"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2/unstable"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/testkit/linediff"
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
		{at("", 0, "name"), "\xff", `the text "\xff" is not UTF-8: type it again`},
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

func TestSetOrderAndReverse(t *testing.T) {
	d := open(t, DemoFile("porthole"))
	require.NoError(t, d.Set(at("strip", 0, "order"), "RGB"))
	require.NoError(t, d.SetReverse(0, true))
	require.NoError(t, d.SetReverse(1, true))
	assert.Equal(t, Order("RGB"), d.Prop().Chip.Order)
	assert.True(t, d.Prop().Runs[0].Reverse)
	assert.True(t, d.Prop().Runs[1].Reverse)
	assert.False(t, d.Prop().Runs[2].Reverse)
	got := linediff.Compare(DemoFile("porthole"), d.Text())
	assert.Equal(t, []string{
		`-order     = "GRB"          # colours in the order of the wire`,
		`+order     = "RGB"          # colours in the order of the wire`,
		`-travel   = "clockwise" # as seen from the lit face`,
		`+travel   = "counter-clockwise" # as seen from the lit face`,
		`+travel   = "counter-clockwise"`,
	}, changed(got))
}

func changed(lines []linediff.Line) (out []string) {
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

// Any number of settings keep every comment and the order of all keys, and the values
// set are read back.
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

// A missing table is added at the end of the file after a blank line, even if the last line
// has no line end. A repeatable table is not added, nor a second one that may occur once.
func TestSetAddsAMissingTable(t *testing.T) {
	whole := DemoFile("porthole")
	from := strings.Index(whole, "[supply]")
	to := from + strings.Index(whole[from:], "\n[address]") + 1
	require.Greater(t, to, from)
	without := whole[:from] + whole[to:]
	for _, text := range []string{without, strings.TrimRight(without, "\n")} {
		_, d, err := Parse([]byte(text), "t.toml")
		require.Error(t, err)
		require.NoError(t, d.SetAll([]Setting{{at("supply", 0, "volts"), "5 V"}, {at("supply", 0, "amps"), "10 A"}}))
		require.Equal(t, strings.TrimRight(without, "\n")+"\n\n[supply]\nvolts = \"5 V\"\namps  = \"10 A\"\n", d.Text())
		require.InDelta(t, 10, d.Prop().Supply.Amps, 0)
	}
	_, d, err := Parse([]byte(whole), "t.toml")
	require.NoError(t, err)
	require.EqualError(t, d.Set(at("supply", 1, "amps"), "10 A"), "t.toml: there is no supply 2: it has 1")
	require.EqualError(t, d.Set(at("feed", 9, "at"), 3), "t.toml: there is no feed 10: it has 2")
}
