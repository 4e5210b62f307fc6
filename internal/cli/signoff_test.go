package cli

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/testkit/filmtest"
	"example.org/ringout/patterns"
)

// readingsOf returns the input lines of a load test of a simulated prop: the voltmeter
// readings in hundredths of a volt.
func readingsOf(t *testing.T, p *prop.Prop, faults ...strip.Fault) (out string) {
	model, err := strip.New(p, faults...)
	require.NoError(t, err)
	load, err := joints.NewLoad(p, 1)
	require.NoError(t, err)
	for m, more := load.Next(); more; m, more = load.Next() {
		sent := m.Show(nil, p.Pixels(), 0)
		for i := range sent {
			sent[i] = sent[i].Dim(m.Level)
		}
		volts, err := model.Volts(sent)
		require.NoError(t, err)
		out += fmt.Sprintf("%.2f\n", volts[m.Pixel])
		load.Skip()
	}
	return out
}

// keptRun draws a run of a simulated prop into a folder, a picture a look, with
// four marks.
func keptRun(t *testing.T, p *prop.Prop, faults ...strip.Fault) string {
	s, err := eyes.SceneOf(p)
	require.NoError(t, err)
	model, err := strip.New(p, faults...)
	require.NoError(t, err)
	patch, err := prop.PatchFor(p)
	require.NoError(t, err)
	stage := filmtest.New(p, filmtest.Room{W: 640, H: 480, Tilt: 20, Around: 60, Fill: 0.85})
	dir := t.TempDir()
	for i, look := range s.Looks {
		s.Looks[i].File = fmt.Sprintf("%02d.jpg", i)
		buffers := model.Buffers()
		patch.Fill(buffers, s.Frame(nil, look, p.Chip.Order.Channels()))
		var light []patterns.Colour
		for _, run := range model.LightInto(nil, buffers) {
			for _, c := range run {
				light = append(light, c.Dim(0.2))
			}
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, s.Looks[i].File), drawn(stage, light), 0o644))
	}
	for _, place := range []int{0, 36, 84, 143} {
		x, y := stage.At(place)
		s.Marks = append(s.Marks, eyes.Mark{Place: place, At: eyes.Point{X: x, Y: y}})
	}
	text, err := eyes.MarshalScene(s)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "scene.json"), text, 0o644))
	return dir
}

// A prop in which a camera finds no fault is signed off only after the tests for what
// pictures cannot show. Folders with one picture per look require the flex test too.
func TestACameraSignsOffAfterTheLoadTest(t *testing.T) {
	t.Parallel()
	port := stripPort(t)
	file := propAt(t, "porthole", port)
	p, _, err := prop.Load(file)
	require.NoError(t, err)
	stop, _ := watchStrip(t, p, file, "", port)
	defer stop()
	record := strings.TrimSuffix(file, ".toml") + ".bench.jsonl"
	check := func(folder, answers string) string {
		_ = os.Remove(record)
		c := exec.Command(program(t), "check", file, "--camera", folder, "--again")
		c.Stdin = strings.NewReader(answers)
		out, err := c.CombinedOutput()
		require.NoError(t, err, "%s", out)
		require.Contains(t, string(out), "144 places: 144 as planned")
		require.Contains(t, string(out), "Every place was read and is as planned. It is not signed off yet: the flex test and the load test with a voltmeter are left.")
		return string(out)
	}
	verdicts := func() (out []string) {
		text, err := os.ReadFile(record)
		require.NoError(t, err)
		for line := range strings.Lines(string(text)) {
			_, after, _ := strings.Cut(line, `"verdict":"`)
			verdict, _, _ := strings.Cut(after, `"`)
			out = append(out, verdict)
		}
		return out
	}
	sound := keptRun(t, p)
	steady := strings.Repeat("1\n", len(prop.Joints(p)))

	out := check(sound, steady+readingsOf(t, p))
	require.Contains(t, out, "Signed off: every place was read by camera and is as planned. Every joint was bent")
	require.Equal(t, []string{"stopped", "pass", "pass", "pass"}, verdicts(), "the camera's, flex test, load test, and the sign-off")

	out = check(sound, "")
	require.Contains(t, out, "ringout: not signed off: ")
	require.NotContains(t, out, "Signed off")
	require.Equal(t, []string{"stopped"}, verdicts())

	ft, err := strip.ParseFault("resistance run 2 by 1000", p)
	require.NoError(t, err)
	out = check(keptRun(t, p, ft), steady+readingsOf(t, p, ft))
	require.Contains(t, out, `too much in the joint between "inner ring" and "middle ring"`)
	require.Contains(t, out, "Not signed off, though every place was read and is as planned: mend this")
	require.NotContains(t, out, "Signed off:")
	require.Equal(t, []string{"stopped", "pass", "fail"}, verdicts())
}

// The same live, for every joint and feed of two props and 0.5, 1 and 2 Ω, on the
// built program with a stream, and for the sound props. RINGOUT_LONG=1 takes all;
// the usual run none, as the test above goes the same way.
func TestNoResistanceIsSignedOffLive(t *testing.T) {
	if os.Getenv("RINGOUT_LONG") == "" {
		t.Skip("RINGOUT_LONG=1 takes 17 runs of the sequence, half a minute each")
	}
	for _, name := range []string{"porthole", "pennant"} {
		port := stripPort(t)
		file := propAt(t, name, port)
		p, _, err := prop.Load(file)
		require.NoError(t, err)
		faults := []string{""}
		for run := range p.Runs {
			for _, mohm := range []int{500, 1000, 2000} {
				faults = append(faults, fmt.Sprintf("resistance run %d by %d", run+1, mohm))
			}
		}
		for _, text := range faults {
			t.Run(name+"/"+text, func(t *testing.T) { livesUpTo(t, p, file, port, text) })
		}
	}
}

// livesUpTo is one such run.
func livesUpTo(t *testing.T, p *prop.Prop, file string, port int, text string) {
	room := filmtest.Room{W: 640, H: 480, Tilt: 20, Around: 60, Fill: 0.85}
	if p.Name == "Pennant" { // long and flat
		room.W, room.H = 960, 400
	}
	stage := filmtest.New(p, room)
	var faults []strip.Fault
	if text != "" {
		ft, err := strip.ParseFault(text, p)
		require.NoError(t, err)
		faults = append(faults, ft)
	}
	address := streamStrip(t, p, file, stage, text, port)
	args := []string{"check", file, "--camera", address, "--no-record", "--again"}
	for _, place := range []int{0, p.Pixels() / 4, p.Pixels() / 2, p.Pixels() - 1} {
		x, y := stage.At(place)
		args = append(args, "--mark", fmt.Sprintf("%d=%.1f,%.1f", place+1, x, y))
	}
	said := ""
	for tries := 3; ; tries-- { // a busy machine skips looks
		c := exec.Command(program(t), args...)
		c.Stdin = strings.NewReader(readingsOf(t, p, faults...))
		out, err := c.CombinedOutput()
		if said = string(out); err == nil || tries == 0 {
			require.NoError(t, err, "%s", out)
			break
		}
		t.Logf("again: %s", out)
	}
	if i := strings.Index(said, "places: "); i >= 0 {
		said = said[i:]
	}
	t.Logf("%s", said)
	require.Equal(t, text == "", strings.Contains(said, "Signed off: every place was read"), "%s", said)
}
