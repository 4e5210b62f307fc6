package cli

import (
	"bufio"
	"bytes"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"net"
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
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/filmtest"
	"example.org/ringout/patterns"
)

// A filmScene is one trial: a prop, its faults and the conditions of filming.
type filmScene struct {
	prop, fault string
	room        filmtest.Room
	codec       string
	seed        uint64
}

// filmFaults are used in turn; every second film has one.
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
		s.fault = filmFaults[int(seed/2+seed/23)%len(filmFaults)]
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

// longPorthole writes the Porthole's file with a free port. It skips the test, which
// needs two runs of the sequence, unless RINGOUT_LONG=1.
func longPorthole(t *testing.T) (port int, file string, p *prop.Prop) {
	if os.Getenv("RINGOUT_LONG") == "" {
		t.Skip("RINGOUT_LONG=1 takes two runs of the sequence")
	}
	port = stripPort(t)
	file = propAt(t, "porthole", port)
	p, _, err := prop.Load(file)
	require.NoError(t, err)
	return port, file, p
}

// watchStrip runs the simulated prop as a separate process. stop ends it and returns
// all light shown; now returns the present light.
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

// lightOf reads a line of the simulated prop by place of the plan. Pixels beyond the
// planned count of a run have no place and are left out.
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

// A filmRead is the program's JSON result for a film.
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

// filmScore compares the result with the light that was shown. A reading is right if
// the slot and order it names give exactly that light in every look.
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

// sequenceOf extracts the looks from the light shown: the dark look first, then the
// lights between the long dark times at both ends.
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

// runFilm shows the sequence on a simulated prop, films it, and has the program read
// the film.
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

// readFilm has the program read a film. The light that it shows is in a file beside it.
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
	out, _ := c.Output() // if it asks questions instead, its input is empty
	line, _, _ := bytes.Cut(out, []byte("\n"))
	require.NoError(t, json.Unmarshal(line, &r), "%s%s", out, errs.String())
	return r, p, looks, stage.Spacing()
}

// marksOf marks place 1 and a distant one, with RINGOUT_MARKS=4 two more, each with an
// error of up to a quarter of the spacing.
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
