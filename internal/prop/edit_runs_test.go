package prop

import (
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

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
	assert.Equal(t, 4, d.Prop().Feeds[1].Pixel, "the feed at the end stays at its run's last pixel")
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
