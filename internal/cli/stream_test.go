package cli

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"math"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/testkit/filmtest"
	"example.org/ringout/internal/testkit/lateness"
	"example.org/ringout/patterns"
)

// drawn returns a simple picture of a light as JPEG: a soft disc per pixel.
func drawn(stage *filmtest.Stage, light []patterns.Colour) []byte {
	r := stage.Room
	img := image.NewRGBA(image.Rect(0, 0, r.W, r.H))
	for i := range r.W * r.H {
		copy(img.Pix[4*i:], []byte{40, 42, 38, 255})
	}
	radius := 0.3 * stage.Spacing()
	for i, c := range light {
		x, y := stage.At(i)
		for py := int(y - 2*radius); py <= int(y+2*radius); py++ {
			for px := int(x - 2*radius); px <= int(x+2*radius); px++ {
				if !(image.Point{X: px, Y: py}.In(img.Rect)) {
					continue
				}
				k := 2.2 / (1 + math.Exp(math.Hypot(float64(px)-x, float64(py)-y)-radius))
				at := img.Pix[4*(py*r.W+px):]
				for ch, v := range []uint8{c.R, c.G, c.B} {
					at[ch] = uint8(min(240, float64(at[ch])+k*(float64(v)+float64(c.W)+0.1*float64(c.R/3+c.G/3+c.B/3))*1.8))
				}
			}
		}
	}
	var b bytes.Buffer
	if jpeg.Encode(&b, img, &jpeg.Options{Quality: 88}) != nil {
		return nil
	}
	return b.Bytes()
}

// serveStream sends pictures of a light as a phone does: parts of one HTTP
// answer that never ends (multipart/x-mixed-replace).
func serveStream(t testing.TB, picture func() []byte) string {
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	server := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
		w.Header().Set("Content-Type", "multipart/x-mixed-replace; boundary=shot")
		for ctx.Err() == nil && q.Context().Err() == nil {
			b := picture()
			if b == nil {
				return // the phone was switched off
			}
			fmt.Fprintf(w, "--shot\r\nContent-Type: image/jpeg\r\nContent-Length: %d\r\n\r\n", len(b))
			_, _ = w.Write(b)
			_, _ = w.Write([]byte("\r\n"))
			w.(http.Flusher).Flush()
			time.Sleep(50 * time.Millisecond)
		}
	})}
	go func() { _ = server.Serve(l) }()
	t.Cleanup(func() { stop(); _ = server.Close() })
	return "http://" + l.Addr().String() + "/"
}

// streamStrip sends drawn pictures of a faulty strip as a phone does, and returns the
// address.
func streamStrip(t *testing.T, p *prop.Prop, file string, stage *filmtest.Stage, fault string, port int) string {
	t.Helper()
	stop, now := watchStrip(t, p, file, fault, port)
	t.Cleanup(func() { stop() })
	shots := shotsOf(stage)
	return serveStream(t, func() []byte { return shots(now()) })
}

// shotsOf draws each light once.
func shotsOf(stage *filmtest.Stage) func(light []patterns.Colour) []byte {
	var mu sync.Mutex
	cache := map[string][]byte{}
	return func(light []patterns.Colour) []byte {
		mu.Lock()
		defer mu.Unlock()
		key := fmt.Sprint(light)
		if cache[key] == nil {
			cache[key] = drawn(stage, light)
		}
		return cache[key]
	}
}

// A live proof end to end: the built program opens a phone's stream, finds level and
// spacing, runs the sequence on a prop simulated by another process, reads it, and
// records the result.
func TestAPhonesStreamProvesAProp(t *testing.T) {
	t.Parallel() // it waits for other programs or works long, with files of its own
	if _, err := exec.LookPath("ffmpeg"); err != nil {
		if os.Getenv("RINGOUT_TOOLS") != "" {
			t.Fatal("ffmpeg must be installed")
		}
		t.Skip("ffmpeg is not installed")
	}
	port := stripPort(t)
	file := propAt(t, "porthole", port)
	p, _, err := prop.Load(file)
	require.NoError(t, err)
	stage := filmtest.New(p, filmtest.Room{W: 640, H: 480, Tilt: 20, Around: 60, Fill: 0.85})
	address := streamStrip(t, p, file, stage, "dead-pixel pixel 20", port)
	args := append([]string{"check", file, "--camera", address}, marksOf(filmScene{seed: 5}, p, stage)...)
	whole := "144 places: 143 as planned, 1 dark"
	out := watched(t, args, whole)
	require.Contains(t, out, whole)
	require.Contains(t, out, `Pixel 20 of run "inner ring" (20 of the prop) is dark`)
	kept, err := os.ReadFile(strings.TrimSuffix(file, ".toml") + ".bench.jsonl")
	require.NoError(t, err)
	require.Contains(t, string(kept), `"camera":{"source":"http://127.0.0.1`)
	require.Contains(t, string(kept), `"verdict":"fail"`)
}

// watched returns the output of a run with a live picture. It repeats a failed run, at most
// twice, if the machine was delayed by mostLate or more, since the picture then was too.
func watched(t *testing.T, args []string, want string) string {
	for again := 2; ; again-- {
		late := lateness.Watch(t)
		out, err := exec.Command(program(t), args...).CombinedOutput()
		if again == 0 || late.Worst() < mostLate || err == nil && strings.Contains(string(out), want) {
			require.NoError(t, err, "%s", out)
			return string(out)
		}
		t.Logf("again, since the machine stood still for %s: %s", late.Worst(), out)
	}
}

// mostLate is a fifth of the time for which a look is held.
const mostLate = 140 * time.Millisecond

// A phone switched off during the sequence is reported in one sentence, and the check-out
// continues with questions.
func TestAPhonesStreamEnds(t *testing.T) {
	t.Parallel() // it waits for other programs, with files of its own
	if _, err := exec.LookPath("ffmpeg"); err != nil {
		t.Skip("ffmpeg is not installed")
	}
	port := stripPort(t)
	file := propAt(t, "porthole", port)
	p, _, err := prop.Load(file)
	require.NoError(t, err)
	stage := filmtest.New(p, filmtest.Room{W: 320, H: 240, Fill: 0.85})
	stop, now := watchStrip(t, p, file, "", port)
	defer stop()
	lights := map[string]bool{}
	address := serveStream(t, func() []byte {
		light := now()
		if lights[shining(light)] = true; len(lights) > 5 {
			return nil
		}
		return drawn(stage, light)
	})
	args := append([]string{"check", file, "--camera", address, "--no-record"}, marksOf(filmScene{seed: 5}, p, stage)...)
	out, err := exec.Command(program(t), args...).CombinedOutput()
	require.Error(t, err, "no one answers")
	require.Contains(t, string(out), "the pictures of "+address+" ended")
	require.Contains(t, string(out), "start it again, and check again. The check-out goes on by asking.")
	require.Contains(t, string(out), "Check-out of Porthole")
}

// The same with light that POV-Ray renders, a picture of each look beforehand.
// The pictures are told apart by which lights shine: the level search may dim
// all of them, which a camera that exposes by itself does not show.
func TestAPhonesStreamOfRenderedLight(t *testing.T) {
	t.Parallel() // it waits for other programs or works long, with files of its own
	needFilmTools(t)
	port := stripPort(t)
	file := propAt(t, "porthole", port)
	p, _, err := prop.Load(file)
	require.NoError(t, err)
	const fault = "run-mirrored run 2"
	ft, err := strip.ParseFault(fault, p)
	require.NoError(t, err)
	built, err := strip.New(p, ft)
	require.NoError(t, err)
	stage := filmtest.New(p, filmtest.Room{W: 480, H: 270, Tilt: 25, Around: 140, Fill: 0.85, Exposure: 0.7, Ambient: 0.1})
	pictures := renderedLooks(t, p, built, stage)
	stop, now := watchStrip(t, p, file, fault, port)
	defer stop()
	strange := 0
	address := serveStream(t, func() []byte {
		light := now()
		b := pictures[shining(light)]
		if b == nil {
			strange++
			b = pictures[shining(nil)]
		}
		return b
	})
	args := append([]string{"check", file, "--camera", address, "--no-record"}, marksOf(filmScene{seed: 5}, p, stage)...)
	out, err := exec.Command(program(t), args...).CombinedOutput()
	t.Logf("%s", out)
	require.NoError(t, err)
	require.Zero(t, strange, "pictures of lights that no look has")
	require.Contains(t, string(out), "144 places: 96 as planned, 48 with other data")
	require.Contains(t, string(out), "middle ring, places 1 to 48: shows the data of pixel 84 to pixel 37, against the plan's direction")
}

// shining is which lights shine, as a key.
func shining(light []patterns.Colour) string {
	var b strings.Builder
	for i, c := range light {
		for ch := range patterns.Channel(patterns.NumChannels) {
			if c.Get(ch) > 0 {
				fmt.Fprintf(&b, "%d.%d ", i, ch)
			}
		}
	}
	return b.String()
}

// renderedLooks is POV-Ray's picture of each look on a prop as it was built, as
// JPEG.
func renderedLooks(t *testing.T, p *prop.Prop, built *strip.Strip, stage *filmtest.Stage) map[string][]byte {
	scene, err := eyes.SceneOf(p)
	require.NoError(t, err)
	patch, err := prop.PatchFor(p)
	require.NoError(t, err)
	out, dir := map[string][]byte{}, t.TempDir()
	buffers := built.Buffers()
	for i, look := range scene.Looks {
		patch.Fill(buffers, scene.Frame(nil, look, p.Chip.Order.Channels()))
		var light []patterns.Colour
		for r, row := range built.Light(buffers) {
			light = append(light, row[:p.Runs[r].Pixels]...)
		}
		key := shining(light)
		path := filepath.Join(dir, fmt.Sprintf("%02d.png", i))
		stage.Render(t, path, light, 1)
		b, err := os.ReadFile(path)
		require.NoError(t, err)
		img, err := png.Decode(bytes.NewReader(b))
		require.NoError(t, err)
		var shot bytes.Buffer
		require.NoError(t, jpeg.Encode(&shot, img, &jpeg.Options{Quality: 82}))
		out[key] = shot.Bytes()
	}
	return out
}
