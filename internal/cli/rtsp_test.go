package cli

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/testkit/filmtest"
)

// A phone's RTSP stream, directly and through HTTP, gives the picture sent: red at the
// left, blue at the right. A missing server is reported in one sentence.
func TestAPhonesStreamByRTSPIsSeen(t *testing.T) {
	t.Parallel() // it waits for other programs
	if _, err := exec.LookPath("ffmpeg"); err != nil {
		if os.Getenv("RINGOUT_TOOLS") != "" {
			t.Fatal("ffmpeg must be installed")
		}
		t.Skip("ffmpeg is not installed")
	}
	img := image.NewRGBA(image.Rect(0, 0, 320, 240))
	for i := range 320 * 240 {
		img.Set(i%320, i/320, map[bool]color.RGBA{true: {R: 200, A: 255}, false: {B: 200, A: 255}}[i%320 < 160])
	}
	var shot bytes.Buffer
	require.NoError(t, jpeg.Encode(&shot, img, nil))
	address := serveRTSP(t, shot.Bytes)
	for _, scheme := range []string{"rtsp://", "rtsp+http://"} {
		source, err := camera.Find(scheme + address)
		require.NoError(t, err)
		require.Equal(t, camera.Stream, source.Kind)
		live, err := camera.Open(context.Background(), source)
		require.NoError(t, err, scheme)
		pic, _, err := live.Glance(context.Background(), 0)
		live.Close()
		require.NoError(t, err)
		require.Equal(t, []int{320, 240}, []int{pic.W, pic.H})
		left, right := pic.Pix[3*(120*320+60):][:3], pic.Pix[3*(120*320+260):][:3]
		require.Greater(t, left[0], 20*left[2]+1000, "red")
		require.Greater(t, right[2], 20*right[0]+1000, "blue")
	}
	noCamera := "rtsp://127.0.0.1:9/shots" // the discard port, where nothing listens
	source, err := camera.Find(noCamera)
	require.NoError(t, err)
	_, err = camera.Open(context.Background(), source)
	require.EqualError(t, err, "nothing answers at "+noCamera+": start the stream on the phone, and see that its address is this one")
}

// A proof by RTSP end to end: level, sequence, map. It runs only with RINGOUT_LONG=1;
// the usual run tests the same with MJPEG over HTTP.
func TestAPhonesStreamByRTSPProvesAProp(t *testing.T) {
	port, file, p := longPorthole(t)
	stage := filmtest.New(p, filmtest.Room{W: 640, H: 480, Tilt: 20, Around: 60, Fill: 0.85})
	stop, now := watchStrip(t, p, file, "dead-pixel pixel 20", port)
	defer stop()
	shots := shotsOf(stage)
	for _, scheme := range []string{"rtsp://", "rtsp+http://"} {
		address := serveRTSP(t, func() []byte { return shots(now()) })
		args := append([]string{"check", file, "--camera", scheme + address, "--no-record"}, marksOf(filmScene{seed: 5}, p, stage)...)
		out := watched(t, args, "144 places: 143 as planned, 1 dark")
		require.Contains(t, out, "144 places: 143 as planned, 1 dark")
		require.Contains(t, out, `Pixel 20 of run "inner ring" (20 of the prop) is dark`)
	}
}
