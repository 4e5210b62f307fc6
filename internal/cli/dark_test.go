package cli

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// benchShots returns pictures of boards and tools at a brightness, with noise.
func benchShots(t *testing.T, light float64) (out [][]byte) {
	r := rand.New(rand.NewPCG(3, 29))
	for range 16 {
		img := image.NewRGBA(image.Rect(0, 0, 640, 480))
		for y := range 480 {
			for x := range 640 {
				v := light * float64(40+30*((x/60+y/45)%3))
				g := uint8(min(255, max(0, v+2*r.NormFloat64())))
				img.SetRGBA(x, y, color.RGBA{g, g, g, 255})
			}
		}
		var b bytes.Buffer
		require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: 88}))
		out = append(out, b.Bytes())
	}
	return out
}

// checkInTheDark returns a function that checks a prop without supply by a camera and
// returns the output. Its standard input is one empty line.
func checkInTheDark(t *testing.T) (file string, check func(source string) string) {
	t.Helper()
	needFfmpeg(t)
	port := stripPort(t)
	file = propAt(t, "porthole", port)
	p, _, err := prop.Load(file)
	require.NoError(t, err)
	stop, _ := watchStrip(t, p, file, "no-supply", port)
	t.Cleanup(func() { stop() })
	return file, func(source string) string {
		c := exec.Command(program(t), "check", file, "--camera", source, "--again")
		c.Stdin = strings.NewReader("\n")
		out, _ := c.CombinedOutput() // it fails if it asks a question after the input has ended
		return string(out)
	}
}

// streamOf returns the address of a stream of the bench at a brightness.
func streamOf(t *testing.T, light float64) string {
	shots := benchShots(t, light)
	var n atomic.Int64
	return serveStream(t, func() []byte { return shots[int(n.Add(1))%len(shots)] })
}

// If the prop stays dark and the camera sees the bench, all places are dark, and the
// check finds the possible causes as it does by questions.
func TestAPropThatStaysDarkBeforeACamera(t *testing.T) {
	t.Parallel() // it waits for other programs, with files of its own
	file, check := checkInTheDark(t)
	out := check(streamOf(t, 1))
	require.Contains(t, out, "no light is seen. The sequence runs, to make sure")
	require.Contains(t, out, "No pixel lights in any look. A camera that looks elsewhere")
	require.Contains(t, out, "outer ring, places 1 to 60: dark")
	require.Contains(t, out, "- The prop has no supply.")
	require.Contains(t, out, "the lead from the controller is open")
	require.NotContains(t, out, "goes on by asking")
	kept, err := os.ReadFile(strings.TrimSuffix(file, ".toml") + ".bench.jsonl")
	require.NoError(t, err)
	require.Contains(t, string(kept), `"verdict":"fail"`)
	require.Contains(t, string(kept), `"right":0,"wrong":144,"unread":0`)
	require.Contains(t, string(kept), "A camera that looks elsewhere")
}

// A camera that sees nothing is reported in one sentence; questions follow.
func TestACameraWithItsCapOn(t *testing.T) {
	t.Parallel() // it waits for other programs, with files of its own
	_, check := checkInTheDark(t)
	out := check(streamOf(t, 0))
	require.Contains(t, out, "no light of the prop is seen, nor anything else: take the cap off the lens")
	require.Contains(t, out, "The check-out goes on by asking.")
}

// The same holds for a film in which nothing is lit.
func TestAFilmOfADarkProp(t *testing.T) {
	t.Parallel() // it waits for other programs, with files of its own
	_, check := checkInTheDark(t)
	dir := t.TempDir()
	for i, b := range benchShots(t, 1) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, string(rune('a'+i))+".jpg"), b, 0o644))
	}
	film := filepath.Join(dir, "dark.mp4")
	made, err := exec.Command("ffmpeg", "-loglevel", "error", "-framerate", "20", "-stream_loop", "24", "-f", "image2", "-pattern_type", "glob", "-i", filepath.Join(dir, "*.jpg"), "-pix_fmt", "yuv420p", film).CombinedOutput()
	require.NoError(t, err, "%s", made)
	out := check(film)
	require.Contains(t, out, "no pixel lights in the film, so that the sequence cannot be found in it")
	require.Contains(t, out, "The check-out goes on by asking.")
}

// needFfmpeg skips a test where ffmpeg is not there.
func needFfmpeg(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("ffmpeg"); err != nil {
		if os.Getenv("RINGOUT_TOOLS") != "" {
			t.Fatal("ffmpeg must be installed")
		}
		t.Skip("ffmpeg is not installed")
	}
}
