package cli

import (
	"bufio"
	"bytes"
	"context"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"math"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/eyes/steps"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/testkit/filmtest"
	"example.org/ringout/patterns"
)

// needFilmTools skips a test where POV-Ray or ffmpeg is missing, unless the
// tools are required.
func needFilmTools(t *testing.T) {
	if os.Getenv("RINGOUT_TOOLS") == "" && os.Getenv("RINGOUT_LONG") == "" && os.Getenv("RINGOUT_FILMS") == "" {
		t.Skip("RINGOUT_TOOLS=1 renders a film and reads it, half a minute")
	}
	if missing := filmtest.Missing(); len(missing) > 0 {
		if os.Getenv("RINGOUT_TOOLS") != "" {
			t.Fatalf("%v must be installed", missing)
		}
		t.Skipf("%v not installed", missing)
	}
}

// A filmScene is one trial: a prop with faults, filmed somehow.
type filmScene struct {
	prop, fault string
	room        filmtest.Room
	codec       string
	seed        uint64
}

// filmFaults are put in one after another; every second film has one.
var filmFaults = []string{
	"dead-pixel pixel 20", "open-joint pixel 60", "run-mirrored run 2", "runs-swapped run 1 run 2", "wrong-order pixel 1 order RGB",
	"dead-channel pixel 20 colour blue", "mirrored", "slot-shift by 1", "wrong-chip pixel 37 slots 4", "rail-lost pixel 100",
	"dead-pixel pixel 7, run-mirrored run 1", "wrong-order pixel 50 order BGR, dead-pixel pixel 90", "open-joint pixel 120, dead-channel pixel 3 colour red",
	"slot-shift by 3", "grouped by 3", "dead-stop pixel 80", "run-backwards run 2", "sag by 1500", "count run 2 by -1", "dead-pixel pixel 1, dead-pixel pixel 2",
}

func filmSceneOf(seed uint64) filmScene {
	r := rand.New(rand.NewPCG(seed, 7))
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	s := filmScene{prop: []string{"porthole", "pennant"}[seed%2], seed: seed}
	if seed/2%2 == 1 {
		s.fault = filmFaults[int(seed/2+seed/23)%len(filmFaults)] // the odd ones first, then the others
	}
	if s.prop == "pennant" { // whose pixels have a white light too
		s.fault = strings.NewReplacer("RGB", "RGBW", "BGR", "BGRW", "slots 4", "slots 3").Replace(s.fault)
	}
	var names []string
	for name := range filmtest.Codecs {
		names = append(names, name)
	}
	slices.Sort(names)
	s.codec = names[int(seed)%len(names)]
	s.room = filmtest.Room{W: 480, H: 270, Tilt: between(0, 38), Around: between(0, 360), Fill: between(0.7, 0.85),
		Exposure: math.Exp(between(math.Log(0.3), math.Log(1.1))), Ambient: between(0.02, 0.25), Tube: r.IntN(2) == 0,
		Shake: []float64{0, 0.3, 0.6, 1}[r.IntN(4)], Noise: r.IntN(7), Codec: filmtest.Codecs[s.codec], Rate: []int{24, 30, 30, 60}[r.IntN(4)]}
	if s.prop == "pennant" { // long and flat: more camera pixels, as a phone has
		s.room.W, s.room.H = 720, 300
	}
	return s
}

// propAt writes a demo prop that listens at a port.
func propAt(t testing.TB, name string, port int) string {
	text, err := os.ReadFile("../../testdata/props/" + name + ".toml")
	require.NoError(t, err)
	at := strings.Index(string(text), "universe = ")
	require.Positive(t, at)
	file := filepath.Join(t.TempDir(), name+".toml")
	require.NoError(t, os.WriteFile(file, []byte(string(text[:at])+fmt.Sprintf("port = %d\n", port)+string(text[at:])), 0o644))
	return file
}

func stripPort(t testing.TB) int {
	c, err := net.ListenPacket("udp4", "127.0.0.1:0")
	require.NoError(t, err)
	defer c.Close()
	return c.LocalAddr().(*net.UDPAddr).Port
}

// watchStrip runs the simulated prop as a process of its own and gives what it
// shows until stop is called.
func watchStrip(t *testing.T, p *prop.Prop, file, fault string, port int) (stop func() []filmtest.Exposure, now func() []patterns.Colour) {
	args := []string{"strip", file, "--json", "--listen", fmt.Sprintf("127.0.0.1:%d", port)}
	if fault != "" {
		args = append(args, "--fault", fault)
	}
	c := exec.Command(program(t), args...)
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	var mu sync.Mutex
	var shown []filmtest.Exposure
	var last time.Time
	ready, done := make(chan struct{}), make(chan struct{})
	c.Stderr = os.Stderr
	go func() {
		defer close(done)
		lines := bufio.NewScanner(out)
		lines.Buffer(nil, 1<<22)
		for first := true; lines.Scan(); first = false {
			light := lightOf(p, lines.Bytes())
			mu.Lock()
			if n := len(shown); n > 0 {
				shown[n-1].For = time.Since(last)
			}
			last = time.Now()
			shown = append(shown, filmtest.Exposure{Light: light})
			mu.Unlock()
			if first {
				close(ready)
			}
		}
	}()
	select {
	case <-ready:
	case <-done:
		t.Fatalf("the simulated prop ended at once: %v", args)
	}
	now = func() []patterns.Colour {
		mu.Lock()
		defer mu.Unlock()
		return shown[len(shown)-1].Light
	}
	return func() []filmtest.Exposure {
		_ = c.Process.Kill()
		<-done
		_ = c.Wait()
		if n := len(shown); n > 0 {
			shown[n-1].For = time.Since(last)
		}
		return shown
	}, now
}

// lightOf reads a line of the simulated prop, place by place of the plan. A run
// with more pixels than planned has some where no place is.
func lightOf(p *prop.Prop, line []byte) []patterns.Colour {
	var m struct {
		Light map[string][]string `json:"light"`
	}
	if json.Unmarshal(line, &m) != nil {
		return make([]patterns.Colour, p.Pixels())
	}
	var out []patterns.Colour
	for _, r := range p.Runs {
		row := m.Light[r.Name]
		for i := range r.Pixels {
			c := patterns.Colour{}
			if i < len(row) {
				b, _ := hex.DecodeString(row[i])
				c = patterns.Colour{R: b[0], G: b[1], B: b[2], W: b[3], C: b[4]}
			}
			out = append(out, c)
		}
	}
	return out
}

// A filmRead is what the program says of a film, as its JSON has it.
type filmRead struct {
	Refusal string `json:"refusal"`
	Good    bool   `json:"good"`
	Places  []struct {
		State string `json:"state"`
		Slot  *int   `json:"slot"`
		Order string `json:"order"`
	} `json:"places"`
	Findings []struct {
		Title string `json:"title"`
		Good  bool   `json:"good"`
	} `json:"findings"`
	Built    []string `json:"as_built"`
	Disagree []string `json:"disagree"`
}

// filmScore compares what was read with the light that was shown. A reading is
// right when the slot and order it names stand for just that light in every
// look.
type filmScore struct{ right, wrong, unread, lost int }

func scoreFilm(t *testing.T, p *prop.Prop, r filmRead, looks [][]patterns.Colour) (n filmScore) {
	s, err := eyes.SceneOf(p)
	require.NoError(t, err)
	require.Len(t, looks, len(s.Looks), "looks shown")
	for i, one := range r.Places {
		lit := false
		for _, l := range looks {
			lit = lit || !l[i].Dark()
		}
		switch {
		case one.State == "read" && standsFor(s, looks, i, *one.Slot, one.Order), one.State != "read" && !lit:
			n.right++
		case one.State == "read":
			n.wrong++
			t.Logf("place %d read as %d %s", i+1, *one.Slot, one.Order)
		case one.State == "dark":
			n.lost++
			t.Logf("place %d is lit and called dark", i+1)
		default:
			n.unread++
		}
	}
	return n
}

func standsFor(s *eyes.Scene, looks [][]patterns.Colour, place, slot int, order string) bool {
	most := uint8(0)
	for _, l := range looks {
		for ch := range patterns.Channel(patterns.NumChannels) {
			most = max(most, l[place].Get(ch))
		}
	}
	for k, l := range looks {
		var want, got [patterns.NumChannels]bool
		for i := range order {
			if at := strings.IndexByte("RGBWC", order[i]); at >= 0 {
				want[at] = s.Lit(s.Looks[k], slot+i)
			}
		}
		for ch := range patterns.Channel(patterns.NumChannels) {
			got[ch] = l[place].Get(ch) > most/6
		}
		if want != got {
			return false
		}
	}
	return true
}

// sequenceOf takes the looks out of what was shown: the lights between the
// long darks at both ends, and the dark itself first.
func sequenceOf(shown []filmtest.Exposure) (looks [][]patterns.Colour) {
	dark := func(l []patterns.Colour) bool {
		return !slices.ContainsFunc(l, func(c patterns.Colour) bool { return !c.Dark() })
	}
	looks = append(looks, make([]patterns.Colour, len(shown[0].Light)))
	for _, s := range shown {
		if !dark(s.Light) && s.For > 300*time.Millisecond {
			looks = append(looks, s.Light)
		}
	}
	return looks
}

// runFilm shows the sequence on a simulated prop, films it, and lets the
// program read the film.
func runFilm(t *testing.T, s filmScene) (r filmRead, p *prop.Prop, looks [][]patterns.Colour, spacing float64) {
	dir := t.TempDir()
	if keep := os.Getenv("RINGOUT_KEEP_FILMS"); keep != "" {
		dir = filepath.Join(keep, strconv.FormatUint(s.seed, 10))
		require.NoError(t, os.MkdirAll(dir, 0o755))
	}
	film := filepath.Join(dir, "film.mp4")
	if strings.HasPrefix(s.codec, "MJPEG") {
		film = filepath.Join(dir, "film.mov")
	}
	if _, err := os.Stat(film + ".json"); err == nil {
		return readFilm(t, s, film)
	}
	port := stripPort(t)
	file := propAt(t, s.prop, port)
	p, _, err := prop.Load(file)
	require.NoError(t, err)
	stop, _ := watchStrip(t, p, file, s.fault, port)
	time.Sleep(300 * time.Millisecond)
	out, err := exec.Command(program(t), "check", file, "--sequence").CombinedOutput()
	require.NoError(t, err, "%s", out)
	shown := stop()
	filmtest.New(p, s.room).Film(t, film, shown, 0.2)
	text, err := json.Marshal(sequenceOf(shown))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(film+".json", text, 0o644))
	return readFilm(t, s, film)
}

// readFilm lets the program read a film; beside it lie the lights that it
// shows.
func readFilm(t *testing.T, s filmScene, film string) (r filmRead, p *prop.Prop, looks [][]patterns.Colour, spacing float64) {
	text, err := os.ReadFile(film + ".json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &looks))
	file := propAt(t, s.prop, 5568)
	p, _, err = prop.Load(file)
	require.NoError(t, err)
	stage := filmtest.New(p, s.room)
	args := append([]string{"check", file, "--camera", film, "--json", "--no-record"}, marksOf(s, p, stage)...)
	c := exec.Command(program(t), args...)
	var errs strings.Builder
	c.Stderr = &errs
	out, _ := c.Output() // where it asks instead, nobody answers
	line, _, _ := bytes.Cut(out, []byte("\n"))
	require.NoError(t, json.Unmarshal(line, &r), "%s%s", out, errs.String())
	return r, p, looks, stage.Spacing()
}

// marksOf marks place 1 and one far from it, with RINGOUT_MARKS=4 two more, each
// up to a quarter of a spacing beside the truth.
func marksOf(s filmScene, p *prop.Prop, stage *filmtest.Stage) (args []string) {
	r := rand.New(rand.NewPCG(s.seed, 3))
	slip := func() float64 { return (r.Float64() - 0.5) * stage.Spacing() / 2 }
	n := p.Pixels()
	places := []int{0, n - 1 - n/8}
	if os.Getenv("RINGOUT_MARKS") == "4" {
		places = append(places, n/4, n/2)
	}
	for _, place := range places {
		x, y := stage.At(place)
		args = append(args, "--mark", fmt.Sprintf("%d=%.1f,%.1f", place+1, x-stage.Margin()+slip(), y-stage.Margin()+slip()))
	}
	return args
}

// TestFilms is the whole way with a film: the built program shows the sequence
// on a prop simulated by another process, POV-Ray renders its light, ffmpeg
// compresses it, and the built program reads it. One film is taken; RINGOUT_LONG=1 takes 44,
// RINGOUT_FILMS=FIRST-LAST the given ones; results stand in
// testdata/eyes-proofs.md.
func TestFilms(t *testing.T) {
	needFilmTools(t)
	first, last := 4, 4
	if os.Getenv("RINGOUT_LONG") != "" {
		first, last = 1, 44
	}
	if v := os.Getenv("RINGOUT_FILMS"); v != "" {
		_, err := fmt.Sscanf(v, "%d-%d", &first, &last)
		require.NoError(t, err)
	}
	for seed := first; seed <= last; seed++ {
		t.Run(strconv.Itoa(seed), func(t *testing.T) {
			s := filmSceneOf(uint64(seed))
			r, p, looks, spacing := runFilm(t, s)
			row := fmt.Sprintf("| %d | %s | %s | %.0f | %.1f | %.2f | %.2f | %.1f | %d | %s |", seed, s.prop, s.fault, s.room.Tilt, spacing, s.room.Exposure, s.room.Ambient, s.room.Shake, s.room.Noise, s.codec)
			if r.Refusal != "" {
				t.Logf("%s – | – | – | %s |", row, r.Refusal)
				return
			}
			n := scoreFilm(t, p, r, looks)
			found := ""
			if len(r.Findings) > 0 {
				found = r.Findings[0].Title
			}
			t.Logf("%s %d | %d | %d | %s %s |", row, n.right, n.wrong+n.lost, n.unread, found, strings.Join(r.Disagree, " "))
			require.Zero(t, n.wrong)
			require.Zero(t, n.lost)
			if s.fault != "" {
				require.False(t, r.Good, "signed off in spite of %s", s.fault)
			}
		})
	}
}

// drawn is a plain picture of a light: a soft disc a pixel, as JPEG.
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

// The whole way live: the built program opens a stream as a phone sends it,
// finds level and distance, runs the sequence on a prop simulated by another
// process, reads it, and records what it read.
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
	stop, now := watchStrip(t, p, file, "dead-pixel pixel 20", port)
	defer stop()
	var mu sync.Mutex
	cache := map[string][]byte{}
	address := serveStream(t, func() []byte {
		light := now()
		mu.Lock()
		defer mu.Unlock()
		key := fmt.Sprint(light)
		if cache[key] == nil {
			cache[key] = drawn(stage, light)
		}
		return cache[key]
	})
	args := append([]string{"check", file, "--camera", address}, marksOf(filmScene{seed: 5}, p, stage)...)
	out, err := exec.Command(program(t), args...).CombinedOutput()
	require.NoError(t, err, "%s", out)
	t.Logf("%s", out)
	require.Contains(t, string(out), "144 places: 143 as planned, 1 dark")
	require.Contains(t, string(out), `Pixel 20 of run "inner ring" (20 of the prop) is dark`)
	kept, err := os.ReadFile(strings.TrimSuffix(file, ".toml") + ".bench.jsonl")
	require.NoError(t, err)
	require.Contains(t, string(kept), `"camera":{"source":"http://127.0.0.1`)
	require.Contains(t, string(kept), `"verdict":"fail"`)
}

// A phone that is switched off while the sequence runs is one sentence, and the
// check-out goes on by asking.
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
	require.Error(t, err, "nobody answers")
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

// Lines ask for the marks that are missing, say again what a wrong answer must
// be, and read with what they were given; an empty line leaves it at that.
func TestLinesAskForMarks(t *testing.T) {
	folder := "../eyes/testdata/scenes/02-star"
	text, err := os.ReadFile(filepath.Join(folder, "truth.json"))
	require.NoError(t, err)
	var is struct{ Pixels []struct{ X, Y float64 } }
	require.NoError(t, json.Unmarshal(text, &is))
	at := func(place int) string { return fmt.Sprintf("%.0f,%.0f\n", is.Pixels[place].X, is.Pixels[place].Y) }
	scene, err := camera.ReadScene(folder)
	require.NoError(t, err)
	places := steps.Places(scene)
	answers := "here\n"
	for _, i := range places {
		answers += at(i)
	}
	code, out, errs := command(t, answers, "check", "--camera", folder)
	require.Zero(t, code, "%s%s", out, errs)
	require.Contains(t, out, "Read the places off a lit picture in "+folder)
	require.Equal(t, len(places)+1, strings.Count(out, "Type X,Y in camera pixels from the upper left, of"))
	require.Contains(t, out, "\"here\": write X,Y, such as 320,134.")
	require.Contains(t, out, "mid, places 1 to 40: shows the data of pixel 90 to pixel 51, against the plan's direction", "as truth.json has it")

	_, out, _ = command(t, "", "check", "--camera", folder, "--json")
	var refused struct {
		Mark []int `json:"mark_places"`
	}
	require.NoError(t, json.Unmarshal([]byte(out), &refused))
	require.Len(t, refused.Mark, len(places), "programs are told which places want to be marked")
	require.Equal(t, 1, refused.Mark[0])

	code, out, errs = command(t, at(0)+"\n", "check", "--camera", folder)
	require.NotZero(t, code, out)
	require.Contains(t, errs, "no places are marked")
	code, _, errs = command(t, "", "check", "--camera", folder, "--mark", "1="+strings.TrimSpace(at(0)), "--mark", "900=1,1")
	require.NotZero(t, code)
	require.Contains(t, errs, "places 1 to 120")
}

// What can go wrong with a camera is one sentence that says what to do.
func TestTroubleWithACameraIsOneSentence(t *testing.T) {
	if _, err := exec.LookPath("ffmpeg"); err != nil {
		t.Skip("ffmpeg is not installed")
	}
	file := propAt(t, "porthole", 5568)
	dir := t.TempDir()
	text := filepath.Join(dir, "text.mp4")
	require.NoError(t, os.WriteFile(text, []byte("no film"), 0o644))
	plain := filepath.Join(dir, "plain.mp4")
	out, err := exec.Command("ffmpeg", "-loglevel", "error", "-f", "lavfi", "-i", "testsrc=size=160x120:rate=10:duration=3", plain).CombinedOutput()
	require.NoError(t, err, "%s", out)
	for _, r := range []struct {
		args []string
		says string
	}{
		{[]string{file, "--camera", text}, "is no film or stream that ffmpeg can read"},
		{[]string{file, "--camera", plain}, "does not show the sequence"},
		{[]string{file, "--camera", filepath.Join(dir, "none.mp4")}, "there is no film, folder or camera"},
		{[]string{file, "--camera", dir}, "has no scene.json"},
		{[]string{file, "--camera", "/dev/video77"}, "there is no camera /dev/video77"},
		{[]string{file, "--camera", "http://127.0.0.1:9/"}, "start the stream on the phone"},
		{[]string{file, "--camera", plain, "--mark", "1"}, "write PLACE=X,Y"},
		{[]string{file, "--camera", plain, "--mark", "900=1,1"}, "places 1 to 144"},
		{[]string{file, "--camera", plain, "--camera-level", "0"}, "more than 0"},
		{[]string{file, "--camera", plain, "--flex"}, "proves a whole prop"},
		{[]string{file, "--camera", plain, "--keep", "../eyes/testdata/scenes/02-star"}, "already has pictures: name another one"},
		{[]string{"--sequence"}, "no prop file given"},
	} {
		code, _, errs := command(t, "", append([]string{"check"}, r.args...)...)
		require.NotZero(t, code, "%v", r.args)
		require.Contains(t, errs, r.says, "%v", r.args)
	}
}
