//go:build linux

package cli

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/filmtest"
	"example.org/ringout/patterns"
)

// lineOf300 is a prop of 300 pixels in five rows, and its scene.
func lineOf300(b *testing.B) (*prop.Prop, *eyes.Scene) {
	p := prop.Porthole()
	p.Name, p.Runs = "Rows", nil
	for i := range 5 {
		run := prop.Porthole().Runs[0]
		run.Name, run.Shape, run.Pixels, run.Closed = fmt.Sprintf("row %d", i+1), prop.Shape{Kind: prop.Line}, 60, false
		p.Runs = append(p.Runs, run)
	}
	s, err := eyes.SceneOf(p)
	require.NoError(b, err)
	return p, s
}

// BenchmarkCameraRun measures the built program reading a kept run of 300 pixels at
// 1920x1080, including its pictures: elapsed time, processor time and peak memory.
// The goals are 2 s on two cores and 300 MB.
func BenchmarkCameraRun(b *testing.B) {
	p, s := lineOf300(b)
	stage := filmtest.New(p, filmtest.Room{W: 1920, H: 1080, Tilt: 20, Around: 60, Fill: 0.85})
	dir := b.TempDir()
	for i, look := range s.Looks {
		s.Looks[i].File = fmt.Sprintf("%02d.jpg", i)
		light := []patterns.Colour(s.Frame(nil, look, p.Chip.Order.Channels()))
		for k := range light {
			light[k] = light[k].Dim(0.2)
		}
		require.NoError(b, os.WriteFile(filepath.Join(dir, s.Looks[i].File), drawn(stage, light), 0o644))
	}
	for _, place := range []int{0, 59, 240, 299} {
		x, y := stage.At(place)
		s.Marks = append(s.Marks, eyes.Mark{Place: place, At: eyes.Point{X: x, Y: y}})
	}
	text, err := eyes.MarshalScene(s)
	require.NoError(b, err)
	require.NoError(b, os.WriteFile(filepath.Join(dir, "scene.json"), text, 0o644))
	bin := program(b)
	worked, most := time.Duration(0), int64(0)
	for b.Loop() {
		c := exec.Command(bin, "check", "--camera", dir)
		out, err := c.CombinedOutput()
		require.NoError(b, err, "%s", out)
		require.Contains(b, string(out), "300 places: 300 as planned")
		worked += c.ProcessState.UserTime() + c.ProcessState.SystemTime()
		most = max(most, int64(c.ProcessState.SysUsage().(*syscall.Rusage).Maxrss))
	}
	b.ReportMetric(worked.Seconds()/float64(b.N), "processor-s/op")
	b.ReportMetric(float64(most)/1e3, "peak-MB")
}

// BenchmarkPreview measures the aim page of the Check screen for ten seconds with a
// stream of 1920x1080 at 20 pictures per second: the use of a core by the program and
// by ffmpeg. The goal is under 30 % of a core.
func BenchmarkPreview(b *testing.B) {
	port := stripPort(b)
	file := propAt(b, "porthole", port)
	p, _, err := prop.Load(file)
	require.NoError(b, err)
	stage := filmtest.New(p, filmtest.Room{W: 1920, H: 1080, Tilt: 20, Around: 60, Fill: 0.85})
	light := make([]patterns.Colour, p.Pixels())
	for i := range light {
		light[i] = patterns.Colour{G: 51}
	}
	shot := drawn(stage, light)
	address := serveStream(b, func() []byte { return shot })
	for b.Loop() {
		term := start(b, "check", file)
		term.see("licensed people") // the cautions, which any key leaves
		term.press(" ")
		term.see("Check-out")
		term.press("\x1b[A\r") // the last line proves by a camera
		term.see("type its address")
		term.press("1")
		term.see("http://")
		term.press(strings.TrimPrefix(address, "http://") + "\r")
		term.see("camera pixels between neighbours")
		ours, theirs := usedBy(b, term.cmd.Process.Pid)
		const watched = 10 * time.Second
		time.Sleep(watched)
		ours2, theirs2 := usedBy(b, term.cmd.Process.Pid)
		term.press("q")
		require.NoError(b, term.left())
		b.ReportMetric(100*(ours2-ours)/watched.Seconds(), "%-of-a-core")
		b.ReportMetric(100*(theirs2-theirs)/watched.Seconds(), "%-ffmpeg")
	}
}

// usedBy is the processor time in seconds of a process, and of its children that
// still run (Linux proc(5): fields 14 and 15 of stat, in hundredths).
func usedBy(b *testing.B, pid int) (own, children float64) {
	of := func(pid string) float64 {
		text, err := os.ReadFile("/proc/" + pid + "/stat")
		require.NoError(b, err)
		fields := strings.Fields(string(text[strings.LastIndexByte(string(text), ')')+1:]))
		var user, system float64
		_, err = fmt.Sscan(fields[11]+" "+fields[12], &user, &system)
		require.NoError(b, err)
		return (user + system) / 100
	}
	tasks, err := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/children", pid))
	require.NoError(b, err)
	for _, t := range tasks {
		text, _ := os.ReadFile(t) // a thread that has ended has none
		for _, child := range strings.Fields(string(text)) {
			children += of(child)
		}
	}
	return of(fmt.Sprint(pid)), children
}
