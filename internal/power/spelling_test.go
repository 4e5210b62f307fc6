package power

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// A writtenProp is a prop file that the test writes, with the same facts kept
// as plain numbers, from which its deck for ngspice is written without reading
// the file.
type writtenProp struct {
	runs  []writtenRun
	feeds []writtenFeed
}

type writtenRun struct {
	name             string
	pixels           int
	in, out, joint   float64 // metres of 20 AWG before and after it, ohms
	closed, apart    bool
	firstPixel, last int // from 0
}

type writtenFeed struct {
	pixel  int // from 0
	place  string
	metres float64
	awg    int
}

// anyWritten draws a file of one to five runs and one to five feeds.
func anyWritten(r *rand.Rand) *writtenProp {
	w := &writtenProp{}
	names := []string{"A", "inner ring", "End of tail", "Stern of boat", "x of y"}
	r.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
	tenths := func(n int) float64 { return float64(r.IntN(n)) / 10 }
	at := 0
	for i := range 1 + r.IntN(5) {
		run := writtenRun{name: names[i], pixels: 1 + r.IntN(12), in: tenths(10), out: tenths(10), closed: r.IntN(4) == 0}
		if i > 0 {
			run.joint, run.apart = tenths(3), r.IntN(3) == 0
		}
		run.firstPixel, run.last = at, at+run.pixels-1
		at += run.pixels
		w.runs = append(w.runs, run)
	}
	for range 1 + r.IntN(5) {
		w.feeds = append(w.feeds, w.anyFeed(r, at))
	}
	return w
}

// anyFeed draws a place in one of its spellings, with the pixel that is meant.
func (w *writtenProp) anyFeed(r *rand.Rand, pixels int) writtenFeed {
	f := writtenFeed{metres: float64(1+r.IntN(30)) / 10, awg: 16 + 2*r.IntN(4)}
	run := w.runs[r.IntN(len(w.runs))]
	name := []string{run.name, strings.ToUpper(run.name), " " + run.name}[r.IntN(3)]
	switch r.IntN(6) {
	case 0:
		f.pixel, f.place = 0, []string{`"start"`, `"Start"`, `" start "`}[r.IntN(3)]
	case 1:
		f.pixel, f.place = pixels-1, []string{`"end"`, `"END"`}[r.IntN(2)]
	case 2:
		f.pixel, f.place = run.firstPixel, fmt.Sprintf("%q", "start of "+name)
	case 3, 4:
		f.pixel, f.place = run.last, fmt.Sprintf("%q", []string{"end of ", "End of "}[r.IntN(2)]+name)
	default:
		f.pixel = r.IntN(pixels)
		f.place = fmt.Sprint(f.pixel + 1)
	}
	return f
}

// file is the prop file; with numbers every place is written as its number.
func (w *writtenProp) file(numbers bool) string {
	var b strings.Builder
	b.WriteString("name = \"Places\"\n[strip]\nchip = \"WS2812B\"\nlead_wire = \"20 AWG\"\n[supply]\namps = \"20 A\"\n[address]\nhost = \"multicast\"\nuniverse = 1\n")
	for _, r := range w.runs {
		fmt.Fprintf(&b, "[[run]]\nname = %q\npixels = %d\nlead_in = \"%g m\"\nlead_out = \"%g m\"\njoint = \"%g ohm\"\nclosed = %t\napart = %t\n",
			r.name, r.pixels, r.in, r.out, r.joint, r.closed, r.apart)
	}
	for _, f := range w.feeds {
		place := f.place
		if numbers {
			place = fmt.Sprint(f.pixel + 1)
		}
		fmt.Fprintf(&b, "[[feed]]\nat = %s\nlength = \"%g m\"\nwire = \"%d AWG\"\n", place, f.metres, f.awg)
	}
	return b.String()
}

// ohmsOf is stranded copper by IEC 60028 and ASTM B258's gauges, 2 % over
// solid as in NEC chapter 9 table 8; written here apart from the product.
func ohmsOf(awg int, metres float64) float64 {
	d := 0.127 * math.Pow(92, float64(36-awg)/39)
	return metres * (1000.0 / 58) / (math.Pi / 4 * d * d) / 1000 * 1.02
}

// network is the copper by hand: 0.2 ohms a metre of rail at 60 pixels a metre,
// leads and joint between runs, plus cut before a run that stands apart.
func (w *writtenProp) network() *Network {
	const step = 0.2 / 60
	n := &Network{Volts: 5}
	for i, r := range w.runs {
		if i > 0 {
			ohms := step + ohmsOf(20, w.runs[i-1].out+r.in) + r.joint
			l := Rails{ohms, ohms}
			if r.apart {
				l.Plus = Broken
			}
			n.Links = append(n.Links, l)
		}
		for range r.pixels - 1 {
			n.Links = append(n.Links, Rails{step, step})
		}
		if r.closed && r.pixels > 1 {
			n.Loops = append(n.Loops, Loop{r.firstPixel, r.last, Rails{step, step}})
		}
	}
	for _, f := range w.feeds {
		ohms := ohmsOf(f.awg, f.metres)
		n.Taps = append(n.Taps, Tap{f.pixel, Rails{ohms, ohms}})
	}
	return n
}

// dark tells of every pixel whether no plus wire reaches it.
func (w *writtenProp) dark() []bool {
	var out []bool
	for i := 0; i < len(w.runs); {
		end := i + 1
		for end < len(w.runs) && !w.runs[end].apart {
			end++
		}
		first, last := w.runs[i].firstPixel, w.runs[end-1].last
		fed := false
		for _, f := range w.feeds {
			fed = fed || f.pixel >= first && f.pixel <= last
		}
		for range last - first + 1 {
			out = append(out, !fed)
		}
		i = end
	}
	return out
}

// deck has 61 mA at every pixel that plus reaches: the older WS2812B, white.
func (w *writtenProp) deck() string {
	draws := make([]Draw, 0, len(w.dark()))
	for _, dark := range w.dark() {
		d := Draw{Idle: 0.001, Red: 0.02, Rest: 0.04}
		if dark {
			d = Draw{}
		}
		draws = append(draws, d)
	}
	return deck("places of feeds", w.network(), draws, nil)
}

// check reads the file and compares volts and feeds with what ngspice gave.
func (w *writtenProp) check(t *testing.T, text string, spice spiceResult) {
	t.Helper()
	p, _, err := prop.Parse([]byte(text), "places.toml")
	require.NoError(t, err, text)
	r, err := Plan(p, 1, FullWhite())
	require.NoError(t, err, text)
	spice.check(t, w.network(), w.dark(), r.Constant, 1e-6)
	for i, f := range r.Feeds {
		assert.Equal(t, w.feeds[i].pixel, f.Pixel, "%s\n%s", w.feeds[i].place, text)
	}
	if t.Failed() {
		t.Fatal(text)
	}
}

// Every spelling of a place feeds the pixel that its number feeds, in 80 random
// files against what ngspice 39 gave for decks that were written without
// reading them. With RINGOUT_TOOLS=1 ngspice runs them all again.
func TestPlacesOfFeedsAgainstNgspice(t *testing.T) {
	path := filepath.Join(ladderData, "places.json")
	var kept []spiceResult
	if b, err := os.ReadFile(path); err == nil {
		require.NoError(t, json.Unmarshal(b, &kept))
	}
	all := os.Getenv("RINGOUT_TOOLS") == "1"
	var fresh []spiceResult
	for i := range 80 {
		w := anyWritten(rand.New(rand.NewPCG(uint64(i), 13)))
		if *record {
			fresh = append(fresh, fromSpice(t, simulate(t, w.deck()), w.network()))
			continue
		}
		require.Len(t, kept, 80)
		w.check(t, w.file(false), kept[i])
		w.check(t, w.file(true), kept[i])
		if all {
			w.check(t, w.file(false), fromSpice(t, simulate(t, w.deck()), w.network()))
		}
	}
	if *record {
		b, err := json.Marshal(fresh)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(path, append(b, '\n'), 0o644))
	}
}

// Two runs of 40 with 1 m of lead between, fed at the start and at the end of
// the first: the figure the second run gets is that of at = 40, and a run that
// stands apart gets nothing.
func TestTheEndOfARunIsNotTheNextRun(t *testing.T) {
	text := func(place, apart string) *Report {
		p, _, err := prop.Parse([]byte("name = \"Two\"\n[strip]\nchip = \"WS2812B\"\n[supply]\namps = \"20 A\"\n[address]\nhost = \"multicast\"\nuniverse = 1\n"+
			"[[run]]\nname = \"A\"\npixels = 40\nlead_out = \"1 m\"\n[[run]]\nname = \"B\"\npixels = 40\n"+apart+
			"[[feed]]\nat = \"start\"\nlength = \"1 m\"\nwire = \"18 AWG\"\n[[feed]]\nat = "+place+"\nlength = \"1 m\"\nwire = \"18 AWG\"\n"), "two.toml")
		require.NoError(t, err)
		r, err := Plan(p, 1, FullWhite())
		require.NoError(t, err)
		return r
	}
	word, number, next := text(`"end of A"`, ""), text("40", ""), text("41", "")
	assert.Equal(t, number.Constant, word.Constant)
	assert.Equal(t, number.HoldLevel, word.HoldLevel)
	assert.Greater(t, next.Constant.Lowest, word.Constant.Lowest+0.1, "feeding the other side of the lead is another matter")
	assert.Equal(t, 40, text(`"end of A"`, "apart = true\n").Constant.Dead, "no wire brings plus to the second run")
}
