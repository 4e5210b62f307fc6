package power

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// deck writes the network as an ngspice deck with one source a pixel: a plain
// current source, or with a law a behavioural one. Nodes p1, m1, ... are the
// rails at the first pixel, and so on; VF and VG measure each feed's wires.
func deck(title string, n *Network, draws []Draw, law *Law) string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("%s", title)
	line("* volts, amps, ohms; p and m are the rails, VF and VG the feed wires' currents")
	line("VSUP vs 0 DC %.17g", n.Volts)
	resistor := func(name, from, to string, ohms float64) {
		if !math.IsInf(ohms, 1) {
			line("%s %s %s %.17g", name, from, to, math.Max(ohms, 1e-6))
		}
	}
	for k, t := range n.Taps {
		line("VF%d vs f%d 0", k+1, k+1)
		line("VG%d g%d 0 0", k+1, k+1)
		resistor(fmt.Sprintf("RF%d", k+1), fmt.Sprintf("f%d", k+1), fmt.Sprintf("p%d", t.Pixel+1), t.Plus)
		resistor(fmt.Sprintf("RG%d", k+1), fmt.Sprintf("m%d", t.Pixel+1), fmt.Sprintf("g%d", k+1), t.Minus)
	}
	for i, l := range n.Links {
		resistor(fmt.Sprintf("RP%d", i+1), fmt.Sprintf("p%d", i+1), fmt.Sprintf("p%d", i+2), l.Plus)
		resistor(fmt.Sprintf("RM%d", i+1), fmt.Sprintf("m%d", i+1), fmt.Sprintf("m%d", i+2), l.Minus)
	}
	for k, l := range n.Loops {
		resistor(fmt.Sprintf("RLP%d", k+1), fmt.Sprintf("p%d", l.Last+1), fmt.Sprintf("p%d", l.First+1), l.Plus)
		resistor(fmt.Sprintf("RLM%d", k+1), fmt.Sprintf("m%d", l.Last+1), fmt.Sprintf("m%d", l.First+1), l.Minus)
	}
	if law != nil {
		line(".func cut(x) {max(0,min(1,x))}")
		line(".func rise(v,off,full) {cut((v-off)/(full-off))*cut((v-off)/(full-off))*(3-2*cut((v-off)/(full-off)))}")
	}
	for i, d := range draws {
		if law == nil {
			line("I%d p%d m%d DC %.17g", i+1, i+1, i+1, d.Amps())
			continue
		}
		v := fmt.Sprintf("v(p%d,m%d)", i+1, i+1)
		line("B%d p%d m%d I=%.17g*rise(%s,%g,%g)+%.17g*rise(%s,%g,%g)+%.17g*rise(%s,%g,%g)", i+1, i+1, i+1,
			d.Idle, v, law.IdleOff, law.IdleFull, d.Red, v, law.RedOff, law.RedFull, d.Rest, v, law.RestOff, law.RestFull)
	}
	line(".options reltol=1e-10 vntol=1e-12 abstol=1e-14 itl1=2000 rshunt=1e13")
	line(".control")
	line("set filetype=ascii")
	line("op")
	line("write out.raw all")
	line("quit")
	line(".endc")
	line(".end")
	return b.String()
}

// ngspice is the analyser's path. Without it the test is skipped, unless
// RINGOUT_TOOLS=1 says that it must be there.
func ngspice(t testing.TB) string {
	t.Helper()
	path, err := exec.LookPath("ngspice")
	if err == nil {
		return path
	}
	if os.Getenv("RINGOUT_TOOLS") == "1" {
		t.Fatal("ngspice is not installed, and RINGOUT_TOOLS=1 asks for it")
	}
	t.Skip("ngspice is not installed; the recorded results are checked all the same")
	return ""
}

// simulate runs a deck and gives every node and source current by its name.
func simulate(t testing.TB, deck string) map[string]float64 {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "deck.cir"), []byte(deck), 0o644))
	cmd := exec.Command(ngspice(t), "-b", "deck.cir")
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	f, openErr := os.Open(filepath.Join(dir, "out.raw"))
	require.NoError(t, openErr, "ngspice wrote no result (%v): %s", err, out)
	defer f.Close()
	return parseRaw(t, f)
}

// parseRaw reads ngspice's ASCII raw file of one operating point.
func parseRaw(t testing.TB, f *os.File) map[string]float64 {
	t.Helper()
	var names []string
	var values []float64
	part := ""
	sc := bufio.NewScanner(f)
	for sc.Scan() {
		text := sc.Text()
		switch {
		case strings.HasPrefix(text, "Variables:"), strings.HasPrefix(text, "Values:"):
			part = text[:6]
			continue
		}
		fields := strings.Fields(text)
		switch {
		case part == "Variab" && len(fields) >= 3:
			names = append(names, strings.ToLower(fields[1]))
		case part == "Values" && len(fields) > 0:
			v, err := strconv.ParseFloat(fields[len(fields)-1], 64)
			require.NoError(t, err, text)
			values = append(values, v)
		}
	}
	require.NoError(t, sc.Err())
	require.Equal(t, len(names), len(values))
	got := map[string]float64{}
	for i, n := range names {
		got[n] = values[i]
	}
	return got
}
