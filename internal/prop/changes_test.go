package prop

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Each file and what a person would say of it, written by hand.
func TestChangesInWords(t *testing.T) {
	demo := DemoFile("porthole")
	swap := func(was, is string) string {
		require.Contains(t, demo, was)
		return strings.Replace(demo, was, is, 1)
	}
	for _, row := range []struct {
		name, older, newer string
		want               []string
	}{
		{"the same", demo, demo, nil},
		{"notes only", demo, swap("# as on its plate", "# another note"), nil},
		{"a value", demo, swap(`"GRB"`, `"RGB"`), []string{"colour order: GRB now, RGB then"}},
		{"of a run", demo, swap("pixels   = 48", "pixels   = 50"), []string{"middle ring, pixels: 48 now, 50 then"}},
		{"of the address", demo, swap("universe = 1", "universe = 3"), []string{"universe: 1 now, 3 then"}},
		{"of the supply", demo, swap(`"10 A"`, `"12 A"`), []string{"supply amps: 10 A now, 12 A then"}},
		{"a new key", demo, swap("pixels   = 48", "pixels   = 48\ntravel = \"counter-clockwise\""), []string{"middle ring, travel: not given now, counter-clockwise then"}},
		{"a key less", demo, swap("slot     = 1 ", "# slot = 1 "), []string{"slot: 1 now, not given then"}},
		{"another name", demo, swap(`"outer ring"`, `"rim"`), []string{"rim, name: outer ring now, rim then"}},
		{"runs without names", "[[run]]\npixels = 3\n[[run]]\npixels = 4\n", "[[run]]\npixels = 3\n[[run]]\npixels = 5\n", []string{"run 2, pixels: 4 now, 5 then"}},
		{"a run more", "[[run]]\nname = \"a\"\n", "[[run]]\nname = \"a\"\n[[run]]\nname = \"b\"\n", []string{"b, name: not given now, b then"}},
		{"one name twice", "[[run]]\nname = \"a\"\n[[run]]\nname = \"a\"\npixels = 2", "[[run]]\nname = \"a\"\n[[run]]\nname = \"a\"\npixels = 3", []string{"run 2, pixels: 2 now, 3 then"}},
		{"a key twice", "[[run]]\nname = \"a\"\nname = \"b\"\n", "[[run]]\nname = \"a\"\nname = \"c\"\n", []string{"a, name: b now, c then"}},
		{"a list", "x = [1,\n 2]", "x = [1,  3]", []string{"x: [1, 2] now, [1, 3] then"}},
		{"in braces", `strip = {order = "GRB"}`, `strip.order = "BGR"`, []string{"colour order: GRB now, BGR then"}},
		{"not TOML", "x = 1\n[supply", "x = 2\n[suply", []string{"x: 1 now, 2 then", "what is not TOML: [supply now, [suply then"}},
		{"what a terminal would obey", "x = 1", `x = "\u001b[2Ja"`, []string{"x: 1 now,  [2Ja then"}},
		{"nothing", "", "x = 1\r\n", []string{"x: not given now, 1 then"}},
	} {
		var got []string
		for _, c := range Changes(row.older, row.newer) {
			got = append(got, c.Says("now", "then"))
		}
		assert.Equal(t, row.want, got, row.name)
	}
}

// Runs that change places are said once, and not as every value of each.
func TestRunsThatChangePlaces(t *testing.T) {
	d := open(t, DemoFile("porthole"))
	next, err := d.TakeOver(Found{Runs: []int{1, 0, 2}, Pixels: map[int]int{2: 59}})
	require.NoError(t, err)
	assert.Equal(t, []Change{
		{"order of the runs", "inner ring, middle ring, outer ring", "middle ring, inner ring, outer ring"},
		{"outer ring, pixels", "60", "59"},
		{"feed inner, at", "start", "start of inner ring"}, // it stays where it is soldered
	}, Changes(d.Text(), next.Text()))
}

// What is set is what is said, and nothing else; back again it says the opposite.
func TestChangesAreWhatWasSet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := open(t, DemoFile("porthole"))
		before := d.Text()
		s := drawSetting(t)
		if d.SetAll([]Setting{s}) != nil {
			return
		}
		there, back := Changes(before, d.Text()), Changes(d.Text(), before)
		if (len(there) == 0) != (len(back) == 0) || len(there) > 1 && s.Where.Key != "name" {
			t.Fatalf("%v: %v, back %v", s, there, back)
		}
		for i := range there {
			if there[i].Was != back[i].Is || there[i].Is != back[i].Was {
				t.Fatalf("%v, back %v", there, back)
			}
		}
	})
}

func FuzzChanges(f *testing.F) {
	f.Add(DemoFile("porthole"), notes)
	f.Add("[[run]]\n[[run]]\nname=1", "run=[{name='a'}]")
	f.Add("[[run]]\nname='a'\n# a note that joins [[run]]\nname='b'", "[strip]\nx=1\n[strip]\nx=2\nx=3")
	f.Fuzz(func(t *testing.T, a, b string) {
		for _, text := range []string{a, b} {
			if none := Changes(text, text); len(none) > 0 {
				t.Fatalf("%q differs from itself: %v", text, none)
			}
		}
		Changes(a, b)
	})
}

// BenchmarkChanges compares props of many runs: the time should grow as the runs do.
func BenchmarkChanges(b *testing.B) {
	for _, runs := range []int{2_000, 20_000} {
		b.Run(fmt.Sprintf("runs=%d", runs), func(b *testing.B) {
			var older strings.Builder
			for i := range runs {
				fmt.Fprintf(&older, "[[run]]\nname = \"r%d\"\nshape = \"line\"\npixels = 3\n", i)
			}
			newer := strings.TrimSuffix(older.String(), "3\n") + "4\n"
			for b.Loop() {
				Changes(older.String(), newer)
			}
		})
	}
}
