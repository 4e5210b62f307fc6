package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/filmtest"
)

// filmDrawn makes a film from drawn pictures of the light shown.
func filmDrawn(t *testing.T, stage *filmtest.Stage, shown []filmtest.Exposure, film string) {
	dir := t.TempDir()
	var list strings.Builder
	pictures := map[string]string{}
	for _, one := range shown {
		key := fmt.Sprint(one.Light)
		if pictures[key] == "" {
			pictures[key] = filepath.Join(dir, fmt.Sprintf("%03d.jpg", len(pictures)))
			require.NoError(t, os.WriteFile(pictures[key], drawn(stage, one.Light), 0o644))
		}
		fmt.Fprintf(&list, "file '%s'\nduration %.3f\n", pictures[key], one.For.Seconds())
	}
	listed := filepath.Join(dir, "list.txt")
	require.NoError(t, os.WriteFile(listed, []byte(list.String()), 0o644))
	out, err := exec.Command("ffmpeg", "-y", "-loglevel", "error", "-f", "concat", "-safe", "0", "-i", listed,
		"-vf", "fps=30,noise=alls=3:allf=t", "-c:v", "libx264", "-preset", "veryfast", "-crf", "26", "-pix_fmt", "yuv420p", film).CombinedOutput()
	require.NoError(t, err, "%s", out)
}

// Corrupt data makes a prop flash in random colours, in black too. The result of its
// film names the fault in the table, and the prop is not signed off. The same holds if
// the light comes and goes from a place on.
func TestFilmsOfRestlessProps(t *testing.T) {
	if os.Getenv("RINGOUT_LONG") == "" {
		t.Skip("RINGOUT_LONG=1 films two sequences, a minute")
	}
	needFilmTools(t)
	for _, r := range []struct{ fault, title string }{
		{"sparkle", "The data is spoilt on its way: pixels flash in random colours."},
		{"flicker pixel 60", "The light flickers from pixel 24 of run \"middle ring\" (60 of the prop) on."},
	} {
		t.Run(r.fault, func(t *testing.T) {
			port := stripPort(t)
			file := propAt(t, "porthole", port)
			p, _, err := prop.Load(file)
			require.NoError(t, err)
			stage := filmtest.New(p, filmtest.Room{W: 640, H: 480, Tilt: 20, Around: 60, Fill: 0.85})
			stop, _ := watchStrip(t, p, file, r.fault, port)
			time.Sleep(300 * time.Millisecond)
			out, err := exec.Command(program(t), "check", file, "--sequence").CombinedOutput()
			require.NoError(t, err, "%s", out)
			film := filepath.Join(t.TempDir(), "film.mp4")
			filmDrawn(t, stage, stop(), film)
			if keep := os.Getenv("RINGOUT_KEEP_FILMS"); keep != "" {
				require.NoError(t, exec.Command("cp", film, filepath.Join(keep, strings.ReplaceAll(r.fault, " ", "-")+".mp4")).Run())
			}
			args := append([]string{"check", file, "--camera", film, "--json", "--no-record"}, marksOf(filmScene{seed: 5}, p, stage)...)
			var errs strings.Builder
			c := exec.Command(program(t), args...)
			c.Stderr = &errs
			out, _ = c.Output() // where it asks instead, no one answers
			var read filmRead
			line, _, _ := bytes.Cut(out, []byte("\n"))
			require.NoError(t, json.Unmarshal(line, &read), "%s%s", out, errs.String())
			require.Empty(t, read.Refusal)
			require.False(t, read.Good)
			t.Logf("%v %v", read.Findings, read.Built)
			require.Contains(t, read.Findings[0].Title, r.title)
			require.Contains(t, strings.Join(read.Built, "\n"), "its light comes and goes")
		})
	}
}

// The same live with a phone's stream, in which few pictures are without a flash.
func TestAPhonesStreamOfASparklingProp(t *testing.T) {
	if os.Getenv("RINGOUT_LONG") == "" {
		t.Skip("RINGOUT_LONG=1 runs a sequence, half a minute")
	}
	needFilmTools(t)
	port := stripPort(t)
	file := propAt(t, "porthole", port)
	p, _, err := prop.Load(file)
	require.NoError(t, err)
	stage := filmtest.New(p, filmtest.Room{W: 640, H: 480, Tilt: 20, Around: 60, Fill: 0.85})
	address := streamStrip(t, p, file, stage, "sparkle", port)
	args := append([]string{"check", file, "--camera", address, "--no-record"}, marksOf(filmScene{seed: 5}, p, stage)...)
	title := "The data is spoilt on its way: pixels flash in random colours."
	out := watched(t, args, title)
	require.Contains(t, out, title)
	require.Contains(t, out, "but its light comes and goes while it should stay as it is")
	require.NotContains(t, out, "Every place was read and is as planned")
}
