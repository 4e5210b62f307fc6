package outsider

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/program"
)

// right reports whether the most likely finding names the fault. An invisible sag is no
// fault to find.
func (g *game) right() bool {
	if len(g.Findings) == 0 {
		return false
	}
	first := g.Findings[0]
	if g.Kind == "good" || g.Kind == "sag" && first.Good && !g.fades() {
		return first.Good
	}
	return slices.ContainsFunc(g.Names, func(name string) bool {
		if name == unknown {
			return first.isUnknown()
		}
		return first.names(name)
	})
}

// isUnknown reports whether a finding says that none of the known faults explains the
// light.
func (f Finding) isUnknown() bool { return !f.Good && len(f.Causes) == 0 }

// names reports whether one of the causes of a finding is a fault, or two with
// a comma between, in either order.
func (f Finding) names(fault string) bool {
	want := strings.Split(fault, ", ")
	slices.Sort(want)
	for _, c := range f.Causes {
		got := slices.Sorted(slices.Values(c.Faults))
		if slices.EqualFunc(got, want, func(g, w string) bool {
			return g == w || w == sagging && strings.HasPrefix(g, sagging)
		}) {
			return true
		}
	}
	return false
}

// verdict classifies a game: right; unknown, if the finding is unknown or not sure; or
// wrong, if it is sure and false.
func (g *game) verdict() string {
	switch {
	case g.right():
		return "right"
	case len(g.Findings) == 0 || g.Findings[0].isUnknown() || g.Findings[0].Percent < 80:
		return "unknown"
	}
	return "wrong"
}

// fades reports whether an eye sees the sag at the level that is asked about.
func (g *game) fades() bool {
	white := Probe{Kind: "fade", Paint: []Stretch{{"white", g.Plan.Total()}}}
	return g.See(white, 0.8) != "alike"
}

func (g *game) String() string {
	var b strings.Builder
	verdict := g.verdict()
	fmt.Fprintf(&b, "%s: seed %d, %s, %s %v, joints open only when bent %v, part octets light %v: %d answers, stopped: %s",
		verdict, g.seed, g.Name, g.Kind, g.Names, g.Bends, g.Case.Prop.Partial, g.Answered, g.Stopped)
	for i, f := range g.Findings {
		if i > 3 || verdict == "right" && i > 0 {
			break
		}
		fmt.Fprintf(&b, "\n    %d %%, %s, good %v: %s", f.Percent, f.Sure, f.Good, f.Title)
		for _, c := range f.Causes {
			fmt.Fprintf(&b, " %q", c.Faults)
		}
	}
	if verdict != "right" {
		fmt.Fprintf(&b, "\n    - %s", strings.Join(g.Said, "\n    - "))
	}
	if len(g.NotOffered) > 0 {
		fmt.Fprintf(&b, "\n    not offered: %v", g.NotOffered)
	}
	return b.String()
}

// playAll plays one game for each number of seeds, of the kinds in turn.
func playAll(t *testing.T, program string, kinds []string, seeds []uint64) (games []*game) {
	t.Helper()
	for i, seed := range seeds {
		games = append(games, deal(kinds[i%len(kinds)], seed))
	}
	t.Run("play", func(t *testing.T) {
		for _, g := range games {
			t.Run(strconv.FormatUint(g.seed, 10), func(t *testing.T) {
				t.Parallel()
				g.play(t, program)
			})
		}
	})
	for _, g := range games {
		require.NotNil(t, g.Outcome, "seed %d of %s did not end", g.seed, g.Kind)
		require.Zero(t, g.unlike, "probes whose light was not on the wire as the page has it, seed %d", g.seed)
		t.Log(g)
	}
	return games
}

func upTo(n int) (out []uint64) {
	for i := range n {
		out = append(out, uint64(i))
	}
	return out
}

// TestSixGames: the built program finds what is wrong with six props.
func TestSixGames(t *testing.T) {
	kinds := []string{"open joint", "dead colour", "reversed run", "grouped", "order of the prop", "good"}
	for _, g := range playAll(t, program.Path(t), kinds, upTo(len(kinds))) {
		require.Equal(t, "right", g.verdict(), "%s", g)
	}
}

// TestManyGames plays every kind of single fault ten times. What is found
// rests on how a prop of another maker than the program's own behaves, so a few
// may stay unknown; hardly any sure finding may be wrong.
func TestManyGames(t *testing.T) {
	if os.Getenv("RINGOUT_LONG") != "1" {
		t.Skip("takes minutes: set RINGOUT_LONG=1")
	}
	bin := program.Path(t)
	single, more := Kinds()
	games := playAll(t, bin, single, upTo(10*len(single)))
	verdicts, asked, answers := map[string]int{}, map[string]int{}, 0
	for _, g := range games {
		verdicts[g.verdict()]++
		answers += g.Answered
		for kind, n := range g.Asked {
			asked[kind] += n
		}
	}
	t.Logf("single faults: %v of %d, %d answers; asked: %v", verdicts, len(games), answers, asked)
	for _, kind := range kindsOfPage(t) {
		require.Positive(t, asked[kind], "questions of kind %s", kind)
	}
	require.GreaterOrEqual(t, verdicts["right"]*100, 90*len(games), "right, of a hundred")
	require.LessOrEqual(t, verdicts["wrong"]*100, 3*len(games), "sure and wrong, of a hundred")
	verdicts = map[string]int{}
	for _, g := range playAll(t, bin, more, upTo(10*len(more))) {
		verdicts[g.verdict()]++
	}
	t.Logf("beyond a single fault: %v", verdicts)
}
