package route

import (
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// record rewrites the recorded plates with the optimum that cbc finds.
var record = flag.Bool("record", false, "solve the recorded plates with cbc and write them")

// A solution is a plate with the optimum that a solver of integer programs found.
type solution struct {
	Plate  *Plate  `json:"plate"`
	Dark   int     `json:"dark"`   // pixels tucked away by the best route; -1 when there is no route
	Length float64 `json:"length"` // of the shortest route with so few
}

const solvedFile = "../../testdata/route/solved.json"

func solvedPlates(t *testing.T) []solution {
	t.Helper()
	raw, err := os.ReadFile(solvedFile)
	require.NoError(t, err)
	var all []solution
	require.NoError(t, json.Unmarshal(raw, &all))
	return all
}

// On every recorded plate Solve finds a route as good as the optimum of an integer
// program, which other programs solved.
func TestRecordedSolutions(t *testing.T) {
	all := solvedPlates(t)
	require.GreaterOrEqual(t, len(all), 60)
	none := 0
	for i, s := range all {
		r, err := Solve(s.Plate)
		if s.Dark < 0 {
			none++
			require.Error(t, err, "plate %d has no route", i)
			continue
		}
		require.NoError(t, err, "plate %d", i)
		sound(t, s.Plate, r)
		require.Equal(t, s.Dark, r.Dark, "plate %d", i)
		require.InDelta(t, s.Length, r.Length, 1e-6*s.Length, "plate %d", i)
		require.True(t, r.Shortest(), "plate %d is proven", i)
	}
	require.Positive(t, none, "some plates have no route")
}

// On the recorded plates the bounds, used alone as on plates too large for tables, are
// never above the solver's optimum.
func TestBoundsAgainstRecordedSolutions(t *testing.T) {
	proven := 0
	for i, s := range solvedPlates(t) {
		if s.Dark < 0 {
			continue
		}
		g := newGrid(s.Plate)
		search := newSearch(g)
		search.shake(rounds(g.n))
		r := g.prove(search.tour.order())
		require.LessOrEqual(t, r.LeastDark, s.Dark, "plate %d", i)
		require.GreaterOrEqual(t, r.Dark, s.Dark, "plate %d", i)
		if r.Fewest() {
			require.Equal(t, s.Dark, r.Dark, "plate %d", i)
			require.LessOrEqual(t, r.LeastLength, s.Length*(1+1e-6), "plate %d", i)
		}
		if r.Shortest() {
			proven++
			require.InDelta(t, s.Length, r.Length, 2e-6*s.Length, "plate %d", i)
		}
	}
	require.GreaterOrEqual(t, proven, 50)
}

// Each solver confirms the recorded solutions: every twelfth in the usual run, all of
// them with RINGOUT_LONG.
func TestOutsideSolvers(t *testing.T) {
	each := 12
	if os.Getenv("RINGOUT_LONG") != "" {
		each = 1
	}
	for name, solve := range map[string]func(*testing.T, string) (float64, bool){"cbc": cbc, "glpsol": glpsol} {
		if !haveTool(t, name) {
			continue
		}
		for i, s := range solvedPlates(t) {
			if i%each != 0 || name == "glpsol" && len(s.Plate.Holes) > 9 { // it takes minutes for more
				continue
			}
			dark, length := integerProgram(t, s.Plate, solve)
			require.Equal(t, s.Dark, dark, "%s, plate %d", name, i)
			require.InDelta(t, s.Length, length, 1e-6*(1+s.Length), "%s, plate %d", name, i)
		}
	}
}

func TestRecordSolutions(t *testing.T) {
	if !*record {
		t.Skip("-record writes the plates again")
	}
	var all []solution
	for seed := range 66 {
		dice := rand.New(rand.NewPCG(uint64(seed), 9))
		p := plateOf(dice, 4+seed%9)
		if seed%3 == 0 {
			p.Tucked = dice.IntN(3)
			p.Reach = 0.8 + dice.Float64()
		}
		s := solution{Plate: p}
		s.Dark, s.Length = integerProgram(t, p, cbc)
		all = append(all, s)
	}
	raw, err := json.MarshalIndent(all, "", " ")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(solvedFile, append(raw, '\n'), 0o644))
}

func haveTool(t *testing.T, name string) bool {
	t.Helper()
	_, err := exec.LookPath(name)
	if err != nil && os.Getenv("RINGOUT_TOOLS") != "" {
		t.Fatalf("%s is not installed, and RINGOUT_TOOLS is set", name)
	}
	return err == nil
}

// integerProgram solves a plate in two stages: fewest pixels tucked away, then
// the shortest way with so few. Dark is -1 when there is no route.
func integerProgram(t *testing.T, p *Plate, solve func(*testing.T, string) (float64, bool)) (dark int, length float64) {
	t.Helper()
	v, ok := solve(t, program(p, -1))
	if !ok {
		return -1, 0
	}
	dark = int(math.Round(v))
	length, ok = solve(t, program(p, dark))
	require.True(t, ok)
	return dark, length
}

// An arc is a step of the program from one node to another, with its costs
// worked out from the definition: node 0 is where the data comes in, holes are
// 1 to n, node n+1 is the end.
type arc struct {
	from, to, tuck int
	length         float64
}

func arcs(p *Plate) (out []arc) {
	n := len(p.Holes)
	lengths := func(d, reach float64) int { // of cord that a distance takes
		k := 1
		for reach*float64(k)*(1+1e-9) < d {
			k++
		}
		return k
	}
	for i, h := range p.Holes {
		a := arc{from: 0, to: i + 1}
		if p.Start != nil {
			a.length = math.Hypot(p.Start.X-h.X, p.Start.Y-h.Y)
			if p.Lead > 0 && a.length > p.Lead*(1+1e-9) {
				a.tuck = lengths(a.length-p.Lead, p.Reach)
			}
		}
		if a.tuck <= p.Tucked {
			out = append(out, a)
		}
		out = append(out, arc{from: i + 1, to: n + 1})
		for j, q := range p.Holes {
			b := arc{from: i + 1, to: j + 1, length: math.Hypot(h.X-q.X, h.Y-q.Y)}
			b.tuck = lengths(b.length, p.Reach) - 1
			if i != j && b.tuck <= p.Tucked {
				out = append(out, b)
			}
		}
	}
	return out
}

// program writes the integer program in the LP format that both solvers read:
// a path through all nodes, held together by a flow of which every hole takes
// one unit (B. Gavish and S. C. Graves, "The travelling salesman problem and
// related problems", 1978). A piece with k holes has k-1 steps inside it. With
// dark below 0 it minimises the pixels tucked away; else the length of routes
// that tuck away no more than dark.
func program(p *Plate, dark int) string {
	n, all := len(p.Holes), arcs(p)
	var b strings.Builder
	sum := func(coefficient func(a arc) float64, name string) string {
		var s strings.Builder
		for _, a := range all {
			if c := coefficient(a); c != 0 {
				fmt.Fprintf(&s, "\n %+.12g %s_%d_%d", c, name, a.from, a.to)
			}
		}
		if s.Len() == 0 {
			return " 0 x_0_1"
		}
		return s.String()
	}
	one := func(is func(a arc) bool) func(a arc) float64 {
		return func(a arc) float64 {
			if is(a) {
				return 1
			}
			return 0
		}
	}
	tuck := func(a arc) float64 { return float64(a.tuck) }
	objective := tuck
	if dark >= 0 {
		objective = func(a arc) float64 { return a.length }
	}
	fmt.Fprintf(&b, "Minimize\n cost: %s\nSubject To\n", sum(objective, "x"))
	if dark >= 0 {
		fmt.Fprintf(&b, " fewest: %s <= %d\n", sum(tuck, "x"), dark)
	}
	fmt.Fprintf(&b, " begin: %s = 1\n", sum(one(func(a arc) bool { return a.from == 0 }), "x"))
	fmt.Fprintf(&b, " finish: %s = 1\n", sum(one(func(a arc) bool { return a.to == n+1 }), "x"))
	fmt.Fprintf(&b, " source: %s = %d\n", sum(one(func(a arc) bool { return a.from == 0 }), "f"), n)
	for i := 1; i <= n; i++ {
		fmt.Fprintf(&b, " in%d: %s = 1\n", i, sum(one(func(a arc) bool { return a.to == i }), "x"))
		fmt.Fprintf(&b, " out%d: %s = 1\n", i, sum(one(func(a arc) bool { return a.from == i }), "x"))
		fmt.Fprintf(&b, " takes%d: %s = 1\n", i, sum(func(a arc) float64 {
			switch {
			case a.to == i:
				return 1
			case a.from == i && a.to <= n:
				return -1
			}
			return 0
		}, "f"))
	}
	for k, holes := range piecesOf(p) {
		fmt.Fprintf(&b, " piece%d: %s = %d\n", k, sum(one(func(a arc) bool { return holes[a.from-1] && holes[a.to-1] }), "x"), len(holes)-1)
	}
	for _, a := range all {
		if a.to <= n {
			fmt.Fprintf(&b, " cap_%d_%d: f_%d_%d - %d x_%d_%d <= 0\n", a.from, a.to, a.from, a.to, n, a.from, a.to)
		}
	}
	b.WriteString("Binary\n")
	for _, a := range all {
		fmt.Fprintf(&b, " x_%d_%d\n", a.from, a.to)
	}
	return b.String() + "End\n"
}

// piecesOf are the holes of every piece of two or more, by index.
func piecesOf(p *Plate) map[int]map[int]bool {
	out := map[int]map[int]bool{}
	for k := range p.Pieces {
		holes := map[int]bool{}
		for i, h := range p.Holes {
			for q := h.Piece; q >= 0; q = p.Pieces[q].In {
				if q == k {
					holes[i] = true
				}
			}
		}
		if len(holes) > 1 {
			out[k] = holes
		}
	}
	return out
}

// cbc solves a program and gives its optimum; false when there is no solution.
func cbc(t *testing.T, text string) (float64, bool) {
	t.Helper()
	dir := t.TempDir()
	in, out := filepath.Join(dir, "p.lp"), filepath.Join(dir, "p.sol")
	require.NoError(t, os.WriteFile(in, []byte(text), 0o644))
	log, err := exec.Command("cbc", in, "-ratioGap", "0", "-allowableGap", "0", "solve", "solu", out).CombinedOutput()
	require.NoError(t, err, string(log))
	raw, err := os.ReadFile(out)
	require.NoError(t, err, string(log))
	head, _, _ := strings.Cut(string(raw), "\n")
	if strings.Contains(strings.ToLower(head), "infeasible") {
		return 0, false
	}
	require.True(t, strings.HasPrefix(head, "Optimal"), head)
	f := strings.Fields(head)
	v, err := strconv.ParseFloat(f[len(f)-1], 64)
	require.NoError(t, err, head)
	return v, true
}

// glpsol solves a program and gives its optimum; false when there is none.
func glpsol(t *testing.T, text string) (float64, bool) {
	t.Helper()
	dir := t.TempDir()
	in, out := filepath.Join(dir, "p.lp"), filepath.Join(dir, "p.sol")
	require.NoError(t, os.WriteFile(in, []byte(text), 0o644))
	log, err := exec.Command("glpsol", "--lp", in, "--write", out).CombinedOutput()
	require.NoError(t, err, string(log))
	raw, err := os.ReadFile(out)
	require.NoError(t, err, string(log))
	for l := range strings.Lines(string(raw)) {
		f := strings.Fields(l) // "s mip ROWS COLUMNS STATUS OPTIMUM"
		if len(f) == 6 && f[0] == "s" && f[1] == "mip" {
			if f[4] != "o" {
				return 0, false
			}
			v, err := strconv.ParseFloat(f[5], 64)
			require.NoError(t, err)
			return v, true
		}
	}
	t.Fatalf("glpsol wrote no status:\n%s", log)
	return 0, false
}
