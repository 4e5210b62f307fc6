package cli

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/strip/node"
	"example.org/ringout/internal/testkit/checkouttest"
	"example.org/ringout/internal/testkit/lateness"
	"example.org/ringout/internal/testkit/striptest"
)

// still waits until a node's light has been constant for a while in which the machine
// was not delayed much.
func still(n *node.Node, late *lateness.Meter) strip.Light {
	const calm = 150 * time.Millisecond
	for look, tries := n.Look(), 0; ; tries++ {
		before := late.Total()
		time.Sleep(calm)
		next := n.Look()
		if next.Serial == look.Serial && (late.Total()-before < calm/3 || tries > 10) {
			return next.Light
		}
		look = next
	}
}

// checkedJSON runs "ringout check FILE --json" with the built program, answers by the
// light of the node alone, and returns the last line.
func checkedJSON(t *testing.T, n *node.Node, file string, more ...string) map[string]any {
	t.Helper()
	c := exec.Command(program(t), append([]string{"check", file, "--json"}, more...)...)
	in, err := c.StdinPipe()
	require.NoError(t, err)
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	var errs strings.Builder
	c.Stderr = &errs
	require.NoError(t, c.Start())
	end := answerAll(t, n, in, out)
	require.NoError(t, c.Wait(), errs.String())
	striptest.WaitEnded(t, n)
	return end
}

func answerAll(t *testing.T, n *node.Node, in io.Writer, out io.Reader) map[string]any {
	t.Helper()
	late := lateness.Watch(t)
	return answerBy(t, func() strip.Light { return still(n, late) }, in, out)
}

// answerBy answers every probe by the light that look returns.
func answerBy(t *testing.T, look func() strip.Light, in io.Writer, out io.Reader) (end map[string]any) {
	t.Helper()
	var sizes []int
	var eyes checkouttest.Eyes
	lines := bufio.NewScanner(out)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		var m struct {
			Say   string                 `json:"say"`
			Runs  []struct{ Pixels int } `json:"runs"`
			Probe checkouttest.Question  `json:"probe"`
		}
		require.NoError(t, json.Unmarshal(lines.Bytes(), &m), lines.Text())
		switch m.Say {
		case "begin":
			for _, r := range m.Runs {
				sizes = append(sizes, r.Pixels)
			}
		case "probe":
			eyes.Look(look())
			fmt.Fprintf(in, "{\"sees\":%q}\n", eyes.See(m.Probe, sizes))
		case "lit", "wait":
		case "end":
			require.NoError(t, json.Unmarshal(lines.Bytes(), &end))
		default:
			t.Fatalf("unexpected line: %s", lines.Text())
		}
	}
	return end
}

// first returns the first finding of a last line.
func first(t *testing.T, end map[string]any) (title string, good bool, faults []string) {
	t.Helper()
	f := end["findings"].([]any)[0].(map[string]any)
	for _, c := range f["causes"].([]any) {
		for _, ft := range c.(map[string]any)["faults"].([]any) {
			faults = append(faults, ft.(string))
		}
	}
	return f["title"].(string), f["good"].(bool), faults
}

// The whole job with the built program: a new prop file, its plan, a prop that differs
// from it, the check-out, the corrected plan, a second check-out, record, comparison and
// sheet.
func TestTheWholeJob(t *testing.T) {
	program(t) // built before the folder is left
	t.Chdir(t.TempDir())
	code, _, errs := command(t, "\n\n3\ninner\nring\n12\nmiddle\nring\n16\nouter\nring\n24\n5 A\n127.0.0.1\n\n\n", "new", "lantern")
	require.Zero(t, code, errs)
	code, out, errs := command(t, "", "plan", "lantern.toml")
	require.Zero(t, code, errs)
	assert.Contains(t, out, "52 pixels of WS2812B in 3 runs")

	p, doc, err := prop.Load("lantern.toml")
	require.NoError(t, err)
	// The middle ring has two pixels fewer than planned.
	n := striptest.Start(t, p, strip.Fault{Kind: strip.Count, Run: 1, N: -2})
	text := strings.Replace(doc.Text(), `host     = "127.0.0.1"`, fmt.Sprintf("host     = \"127.0.0.1\"\nport     = %d", n.Port()), 1)
	require.NotEqual(t, doc.Text(), text)
	require.NoError(t, os.WriteFile("lantern.toml", []byte(text), 0o644))

	end := checkedJSON(t, n, "lantern.toml", "--take-over")
	title, good, faults := first(t, end)
	assert.False(t, good)
	assert.Equal(t, []string{"count run 2 by -2"}, faults, title)

	p, doc, err = prop.Load("lantern.toml")
	require.NoError(t, err)
	assert.Equal(t, 14, p.Runs[1].Pixels, "the plan now says what was built")
	assert.Contains(t, doc.Text(), "# A prop file of ringout.", "comments stay")

	// As the plan now has it, the prop is good.
	n.Close()
	n = striptest.Start(t, p)
	text = strings.Replace(doc.Text(), fmt.Sprintf("port     = %d", p.Address.Port), fmt.Sprintf("port     = %d", n.Port()), 1)
	require.NoError(t, os.WriteFile("lantern.toml", []byte(text), 0o644))
	end = checkedJSON(t, n, "lantern.toml")
	_, good, _ = first(t, end)
	assert.True(t, good)
	assert.LessOrEqual(t, end["answered"].(float64), 8.0, "a good prop takes at most eight answers")

	code, out, errs = command(t, "", "record", "lantern.toml", "--compare")
	require.Zero(t, code, errs)
	assert.Contains(t, out, "verdict: fail to pass")
	assert.Contains(t, out, "no longer found: ")

	code, _, errs = command(t, "", "sheet", "lantern.toml")
	require.Zero(t, code, errs)
	html, err := os.ReadFile("lantern.sheet.html")
	require.NoError(t, err)
	assert.Contains(t, string(html), "Passed its check-out")
	// 12 + 14 pixels of 3 slots come before the outer ring: slot 79.
	assert.Contains(t, string(html), "outer · 24 px · U1 S79-150")
}

// A season's check continues where it stopped and ends with one page.
func TestSeason(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"a", "b"} {
		p, _, err := prop.Parse([]byte(prop.DemoFile("buoylamp")), "b.toml")
		require.NoError(t, err)
		n := striptest.Start(t, p)
		text := strings.Replace(prop.DemoFile("buoylamp"), `host     = "127.0.0.1"`, fmt.Sprintf("host     = \"127.0.0.1\"\nport     = %d", n.Port()), 1)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".toml"), []byte(text), 0o644))
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "c.toml"), []byte("nonsense"), 0o644))

	code, out, errs := command(t, "0\nx\n", "check", dir, "--again")
	assert.Equal(t, 1, code, "the answers ended at the second prop")
	assert.Contains(t, out, "Slot 1 of 4 is lit, all others are dark.", "a bulb is asked slot by slot")
	assert.Contains(t, errs, "1 of 3")
	assert.Contains(t, out, "# Season's check")
	assert.Contains(t, out, "1 stopped half-way, 1 not checked, 1 can't be read.")
	code, _, errs = command(t, "x\n", "check", filepath.Join(dir, "c.toml"), "--plain")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "c.toml line 1")
}

// A prop that was checked lately is passed over, and checked again once its file has changed.
func TestSeasonChecksWhatHasChanged(t *testing.T) {
	_, p := startNode(t, prop.BuoyLamp())
	dir := t.TempDir()
	text := strings.Replace(prop.DemoFile("buoylamp"), `host     = "127.0.0.1"`, fmt.Sprintf("host     = \"127.0.0.1\"\nport     = %d", p.Address.Port), 1)
	for _, name := range []string{"a", "b"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".toml"), []byte(text), 0o644))
	}
	answers := "r\ng\nb\nw\n1\n1\n1\n1\n" // each slot drives what is planned, and what follows is right
	code, out, errs := command(t, answers+answers, "check", dir)
	require.Zero(t, code, errs)
	assert.Contains(t, out, "2 passed.")
	code, out, errs = command(t, "", "check", dir)
	require.Zero(t, code, errs)
	assert.NotContains(t, out, "Slot 1 of 4")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "b.toml"), []byte(strings.Replace(text, "note", "# a line\nnote", 1)+"\n"), 0o644))
	code, out, errs = command(t, answers, "check", dir)
	require.Zero(t, code, errs)
	assert.Equal(t, 1, strings.Count(out, "Slot 1 of 4"), out)
	assert.Contains(t, out, "2 passed.")
}

// A season asks bulbs slot by slot and strips by a check-out, and records both as check-outs. What a bulb's
// slots drive can be taken over into its file, and one that is left at once keeps no other from its turn.
func TestSeasonOfBulbsAndStrips(t *testing.T) {
	dir := t.TempDir()
	for name, demo := range map[string]string{"a": "buoylamp", "b": "buoylamp", "c": "pennant"} {
		p, _, err := prop.Parse([]byte(prop.DemoFile(demo)), name)
		require.NoError(t, err)
		p.Name = name
		n := striptest.Start(t, p)
		text := regexp.MustCompile(`(?m)^(host +=).*$`).ReplaceAllString(prop.DemoFile(demo), fmt.Sprintf("$1 \"127.0.0.1\"\nport = %d", n.Port()))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".toml"), []byte(text), 0o644))
	}
	left := "x\n"
	swapped := "g\nr\nb\nw\n1\n1\n1\n1\n"
	code, out, errs := command(t, left+swapped+left, "check", dir, "--take-over")
	require.Zero(t, code, errs)
	assert.Equal(t, 2, strings.Count(out, "Check of the bulb of Buoy lamp."), out)
	assert.Equal(t, 1, strings.Count(out, "Check-out of Pennant"), out)
	assert.Contains(t, out, "1 failed, 2 not checked.")
	assert.Equal(t, 2, strings.Count(errs, "nothing was answered, so nothing is recorded"), errs)
	text, err := os.ReadFile(filepath.Join(dir, "b.toml"))
	require.NoError(t, err)
	assert.Contains(t, string(text), `"GRBW"`)
	code, out, errs = command(t, "", "record", filepath.Join(dir, "b.toml"), "--json")
	require.Zero(t, code, errs)
	assert.Contains(t, out, `"notes": "bulb: `)
	assert.NotContains(t, out, `"test"`, "it is the whole check-out of a bulb")
}

// A signal also ends a check-out that waits for an answer: the prop is dark, the stream
// terminated and the answers kept.
func TestSignalWhileAQuestionWaits(t *testing.T) {
	bin := program(t)
	n, p := startNode(t, prop.Porthole())
	file := filepath.Join(t.TempDir(), "p.toml")
	text := strings.Replace(prop.DemoFile("porthole"), `host     = "127.0.0.1"`, fmt.Sprintf("host     = \"127.0.0.1\"\nport     = %d", p.Address.Port), 1)
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	c := exec.Command(bin, "check", file, "--plain")
	in, err := c.StdinPipe()
	require.NoError(t, err)
	defer in.Close()
	fmt.Fprintln(in, "1")
	var out strings.Builder
	c.Stderr = &out
	require.NoError(t, c.Start())
	striptest.Wait(t, n, "a probe", func(l strip.Look) bool { return l.Light.Lit() > 0 })
	require.Eventually(t, func() bool {
		_, err := os.Stat(strings.TrimSuffix(file, ".toml") + ".check.json")
		return err == nil
	}, 10*time.Second, 10*time.Millisecond)
	require.NoError(t, c.Process.Signal(os.Interrupt))
	require.Error(t, c.Wait())
	assert.Contains(t, out.String(), "stopped before the end; what was answered is kept in")
	striptest.WaitEnded(t, n)
}

func TestSingleTests(t *testing.T) {
	t.Parallel() // it works long, with files of its own
	n, p := startNode(t, prop.Porthole())
	dir := t.TempDir()
	file := filepath.Join(dir, "p.toml")
	text := strings.Replace(prop.DemoFile("porthole"), `host     = "127.0.0.1"`, fmt.Sprintf("host     = \"127.0.0.1\"\nport     = %d", p.Address.Port), 1)
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	code, out, errs := commandLit(t, n, "1\n1\n2\n", "check", file, "--flex")
	require.Zero(t, code, errs)
	assert.Contains(t, out, `Data or supply comes and goes at joint 3 "middle ring to outer ring".`)
	striptest.WaitEnded(t, n)
	code, out, errs = command(t, strings.Repeat("5\n", 18), "check", file, "--load")
	require.Zero(t, code, errs)
	assert.Contains(t, out, "reading 18 of 18.")
	code, out, errs = command(t, "", "record", file)
	require.Zero(t, code, errs)
	assert.Contains(t, out, "flex test: fail, 1 left to mend")
	assert.Contains(t, out, "at pixel 1, level 9 %: 5.00 V")
	code, _, errs = command(t, "", "check", file, "--bulb")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "has 144 pixels: this check is for a bulb")

	lamp := striptest.Start(t, prop.BuoyLamp())
	bulb := filepath.Join(dir, "b.toml")
	text = strings.Replace(prop.DemoFile("buoylamp"), `host     = "127.0.0.1"`, fmt.Sprintf("host     = \"127.0.0.1\"\nport     = %d", lamp.Port()), 1)
	require.NoError(t, os.WriteFile(bulb, []byte(text), 0o644))
	code, out, errs = commandLit(t, lamp, "r\ng\nb\nw\n1\n1\n1\n1\n", "check", bulb, "--bulb")
	require.Zero(t, code, errs)
	assert.Contains(t, out, "The slots are RGBW, ")
	striptest.WaitEnded(t, lamp)
}

// commandLit is command with input that starts when the prop is lit.
func commandLit(t *testing.T, n *node.Node, in string, args ...string) (code int, out, errs string) {
	t.Helper()
	r, w := io.Pipe()
	defer r.Close()
	go func() {
		for n.Look().Light.Lit() == 0 && t.Context().Err() == nil {
			time.Sleep(5 * time.Millisecond)
		}
		io.WriteString(w, in)
		w.Close()
	}()
	return commandFrom(r, args...)
}

// A named part of the finished prop is lit and checked alone. Pixels outside it
// stay dark, and the fault is found and recorded by its number in the whole prop.
func TestAPartAlone(t *testing.T) {
	// Pixel 110 of the prop is pixel 26 of the outer ring and lies in its lower rim.
	n, p := startNode(t, prop.Porthole(), strip.Fault{Kind: strip.DeadPixel, Pixel: 109})
	file := filepath.Join(t.TempDir(), "p.toml")
	text := strings.Replace(prop.DemoFile("porthole"), `host     = "127.0.0.1"`, fmt.Sprintf("host     = \"127.0.0.1\"\nport     = %d", p.Address.Port), 1)
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))

	lit := make(chan strip.Light, 1)
	go func() {
		lit <- striptest.Wait(t, n, "the part", func(l strip.Look) bool { return l.Light.Lit() > 0 }).Light
	}()
	code, _, errs := command(t, "", "send", "even", "--file", file, "--part", "lower rim", "--for", "1s")
	require.Zero(t, code, errs)
	l := <-lit
	assert.Equal(t, 29, l.Lit(), "30 pixels, and one is dead")
	assert.Zero(t, strip.Light(l[:2]).Lit())

	c := exec.Command(program(t), "check", file, "--part", "Lower Rim", "--json")
	in, err := c.StdinPipe()
	require.NoError(t, err)
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	end := answerPart(t, n, in, out)
	require.NoError(t, c.Wait())
	_, good, faults := first(t, end)
	assert.False(t, good)
	assert.Equal(t, []string{"dead-pixel pixel 11"}, faults, "the eleventh of the part")

	code, text, errs = command(t, "", "record", file, "--json")
	require.Zero(t, code, errs)
	assert.Contains(t, text, `"pixel": 110`)
	assert.Contains(t, text, `"only": "lower rim"`)

	for _, row := range [][]string{
		{"send", "even", "--file", file, "--part", "moon"},
		{"send", "even", "--file", file, "--pixels", "3"},
		{"send", "even", "--part", "x", "--to", "127.0.0.1", "--pixels", "3"},
		{"check", file, "--part", "moon"},
	} {
		code, _, errs := command(t, "", row...)
		assert.Equal(t, 2, code, row)
		assert.Regexp(t, `(?m)^ringout: --`, errs, row)
	}
}

// answerPart answers by the light of the lower rim alone.
func answerPart(t *testing.T, n *node.Node, in io.Writer, out io.Reader) map[string]any {
	t.Helper()
	late := lateness.Watch(t)
	return answerBy(t, func() strip.Light {
		l := still(n, late)
		assert.Zero(t, strip.Light(l[:2]).Lit(), "outside the part all is dark")
		return strip.Light{l[2][15:45]}
	}, in, out)
}
