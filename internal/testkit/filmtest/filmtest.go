// Package filmtest makes films of a lit prop for tests: POV-Ray renders each look,
// and ffmpeg compresses the pictures to a film. Neither shares code or
// assumptions with the decoder. Both must be installed; see Missing.
package filmtest

import (
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/parallel"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A Room describes the surroundings of the prop and the camera.
type Room struct {
	W, H     int     // camera pixels
	Tilt     float64 // degrees between the camera's axis and the normal of the prop
	Around   float64 // degrees, direction of the tilt
	Fill     float64 // size of the prop as a share of the picture's smaller side
	Exposure float64 // brightness of a pixel's centre; 1 just clips
	Ambient  float64 // brightness of a white wall, on the same scale
	Tube     bool    // the pixels are in a frosted tube
	Table    bool    // a polished table below the prop reflects it
	Lamp     bool    // a lit lamp is in the picture beside the prop
	Shake    float64 // amplitude in camera pixels, slow
	Noise    int     // strength 0 to 100 of ffmpeg's filter noise
	Codec    []string
	Rate     int // frames a second
}

// Codecs are ffmpeg's arguments for each compression tested.
var Codecs = map[string][]string{
	"H.264, crf 23": {"-c:v", "libx264", "-preset", "veryfast", "-crf", "23", "-pix_fmt", "yuv420p"},
	"H.264, crf 28": {"-c:v", "libx264", "-preset", "veryfast", "-crf", "28", "-pix_fmt", "yuv420p"},
	"MJPEG, q 4":    {"-c:v", "mjpeg", "-q:v", "4", "-pix_fmt", "yuvj420p"},
	"MJPEG, q 9":    {"-c:v", "mjpeg", "-q:v", "9", "-pix_fmt", "yuvj420p"},
}

// Missing names the programs that are not installed.
func Missing() []string {
	var out []string
	for _, tool := range []string{"povray", "ffmpeg"} {
		if _, err := exec.LookPath(tool); err != nil {
			out = append(out, tool)
		}
	}
	return out
}

const view = 40 // degrees across the picture

type vector struct{ x, y, z float64 }

func (a vector) minus(b vector) vector { return vector{a.x - b.x, a.y - b.y, a.z - b.z} }
func (a vector) dot(b vector) float64  { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a vector) cross(b vector) vector {
	return vector{a.y*b.z - a.z*b.y, a.z*b.x - a.x*b.z, a.x*b.y - a.y*b.x}
}
func (a vector) unit() vector {
	n := math.Sqrt(a.dot(a))
	return vector{a.x / n, a.y / n, a.z / n}
}

// A Stage is a prop in a room with the geometry of the camera.
type Stage struct {
	Room   Room
	places []vector // POV-Ray's axes: x right, y up, z away
	at     vector   // the camera
	aim    vector
	pitch  float64
	lo, hi prop.Point
}

// New returns the stage of a prop in a room.
func New(p *prop.Prop, r Room) *Stage {
	s := &Stage{Room: r}
	lo, hi := prop.Bounds(prop.Layout(p)...)
	s.aim = vector{(lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2, 0}
	for _, run := range prop.Layout(p) {
		for i, pt := range run {
			s.places = append(s.places, vector{pt.X, pt.Y, 0})
			if i > 0 && s.pitch == 0 {
				s.pitch = math.Hypot(pt.X-run[i-1].X, pt.Y-run[i-1].Y)
			}
		}
	}
	if s.lo, s.hi = lo, hi; s.pitch == 0 { // runs of one pixel have no pitch
		s.pitch = math.Hypot(hi.X-lo.X, hi.Y-lo.Y) / 12
	}
	wide, tall := hi.X-lo.X, hi.Y-lo.Y
	half := math.Tan(view / 2 * math.Pi / 180)
	far := max(wide/2/(half*r.Fill), tall/2/(half*r.Fill*float64(r.H)/float64(r.W))) + 0.01
	sin, cos := math.Sincos(r.Tilt * math.Pi / 180)
	as, ac := math.Sincos(r.Around * math.Pi / 180)
	s.at = vector{s.aim.x + far*sin*ac, s.aim.y + far*sin*as, -far * cos}
	return s
}

// At is the position of a place in the picture, in camera pixels.
func (s *Stage) At(place int) (x, y float64) {
	ahead := s.aim.minus(s.at).unit()
	right := vector{0, 1, 0}.cross(ahead).unit()
	up := ahead.cross(right)
	d := s.places[place].minus(s.at)
	k := float64(s.Room.W) / 2 / math.Tan(view/2*math.Pi/180) / d.dot(ahead)
	return float64(s.Room.W)/2 - 0.5 + d.dot(right)*k, float64(s.Room.H)/2 - 0.5 - d.dot(up)*k
}

// Spacing is the distance of the first two places, in camera pixels.
func (s *Stage) Spacing() float64 {
	ax, ay := s.At(0)
	bx, by := s.At(1)
	return math.Hypot(ax-bx, ay-by)
}

// colours are the red, green and blue of each channel's light in POV-Ray.
var colours = [patterns.NumChannels]vector{{1, 0.06, 0.02}, {0.08, 1, 0.12}, {0.03, 0.12, 1}, {1, 0.9, 0.75}, {0.9, 1, 1}}

// mixed is the colour of a pixel in POV-Ray; a channel full at the level gives 1.
func mixed(c patterns.Colour, level float64) vector {
	var out vector
	for ch := range patterns.Channel(patterns.NumChannels) {
		v := float64(c.Get(ch)) / 255 / level
		out.x, out.y, out.z = out.x+v*colours[ch].x, out.y+v*colours[ch].y, out.z+v*colours[ch].z
	}
	return out
}

// Scene is the scene description for POV-Ray. level, above 0 to 1, is the factor
// already applied to the values of the pixels.
func (s *Stage) Scene(light []patterns.Colour, level float64) string {
	var b strings.Builder
	r := s.Room
	fmt.Fprintf(&b, "#version 3.7;\nglobal_settings { assumed_gamma 1.0 ambient_light 1 max_trace_level 6 }\n")
	fmt.Fprintf(&b, "camera { perspective location %s look_at %s right x*%d/%d up y angle %d }\n", pov(s.at), pov(s.aim), r.W, r.H, view)
	room := vector{r.Ambient, r.Ambient * 0.95, r.Ambient * 0.85}
	fmt.Fprintf(&b, "light_source { <-1,2,-3> rgb %s }\n", pov(room))
	fmt.Fprintf(&b, "plane { -z, -%g pigment { bozo color_map { [0 rgb 0.35] [1 rgb 0.6] } scale 0.07 } finish { diffuse 0.7 } }\n", 1.2*s.pitch)
	b.WriteString(s.around())
	radius := 0.22 * s.pitch
	for i, p := range s.places {
		fmt.Fprintf(&b, "cylinder { %s, %s, %g pigment { rgb 0.85 } finish { diffuse 0.8 } }\n", pov(vector{p.x, p.y, 0.1 * s.pitch}), pov(vector{p.x, p.y, 0.4 * s.pitch}), 0.34*s.pitch)
		c := mixed(light[i], level)
		c = vector{c.x * r.Exposure, c.y * r.Exposure, c.z * r.Exposure}
		fmt.Fprintf(&b, "sphere { %s, %g pigment { rgb %s } finish { emission 1 diffuse 0.1 } no_shadow }\n", pov(p), radius, pov(c))
		if r.Tube && i > 0 && math.Hypot(p.x-s.places[i-1].x, p.y-s.places[i-1].y) < 1.5*s.pitch {
			fmt.Fprintf(&b, "cylinder { %s, %s, %g open pigment { rgbt <0.9,0.9,0.9,0.75> } finish { diffuse 0.6 } no_shadow }\n", pov(p), pov(s.places[i-1]), 0.45*s.pitch)
		}
	}
	s.shine(&b, light, level)
	return b.String()
}

// around describes the other objects in the room.
func (s *Stage) around() (out string) {
	if s.Room.Table {
		out += fmt.Sprintf("plane { y, %g pigment { rgb 0.25 } finish { diffuse 0.5 reflection 0.35 } }\n", s.lo.Y-2*s.pitch)
	}
	if s.Room.Lamp {
		at := vector{s.hi.X + 3*s.pitch, s.hi.Y + 2*s.pitch, 0.5 * s.pitch}
		out += fmt.Sprintf("sphere { %s, %g pigment { rgb <3,2.7,2> } finish { emission 1 } no_shadow }\n", pov(at), 1.5*s.pitch)
		out += fmt.Sprintf("light_source { %s rgb <0.2,0.18,0.14> fade_distance %g fade_power 2 shadowless }\n", pov(vector{at.x, at.y, -s.pitch}), 4*s.pitch)
	}
	return out
}

// together is the number of neighbours that share one light source for wall and
// tube, which saves rendering time.
const together = 8

// shine adds light sources for the light of the pixels on their surroundings.
func (s *Stage) shine(b *strings.Builder, light []patterns.Colour, level float64) {
	for i := 0; i < len(s.places); i += together {
		var c vector
		n := min(together, len(s.places)-i)
		for j := i; j < i+n; j++ {
			m := mixed(light[j], level)
			c = vector{c.x + m.x, c.y + m.y, c.z + m.z}
		}
		at := s.places[i+n/2]
		at.z = -0.5 * s.pitch
		if k := 0.1 * s.Room.Exposure; c != (vector{}) {
			fmt.Fprintf(b, "light_source { %s rgb %s*%g fade_distance %g fade_power 2 shadowless }\n", pov(at), pov(c), k, 2*s.pitch)
		}
	}
}

func pov(v vector) string { return fmt.Sprintf("<%.5f,%.5f,%.5f>", v.x, v.y, v.z) }

// Render writes the picture of one light to path.
func (s *Stage) Render(t testing.TB, path string, light []patterns.Colour, level float64) {
	t.Helper()
	require.NoError(t, s.render(t, path, light, level))
}

// POV-Ray fails if its threads do not start within a fixed time, as happens on a busy machine.
const (
	startedLate = "Timed out waiting for worker thread startup"
	mostTries   = 5
)

func (s *Stage) render(t testing.TB, path string, light []patterns.Colour, level float64) error {
	scene := strings.TrimSuffix(path, ".png") + ".pov"
	if err := os.WriteFile(scene, []byte(s.Scene(light, level)), 0o644); err != nil {
		return err
	}
	for tries := 1; ; tries++ {
		c := command(t, "povray", "+I"+scene, "+O"+path, fmt.Sprintf("+W%d", s.Room.W), fmt.Sprintf("+H%d", s.Room.H), "+A0.3", "+R2", "-D", "+WT1", "-GA")
		out, err := c.CombinedOutput()
		switch {
		case err == nil:
			return nil
		case tries == mostTries || !strings.Contains(string(out), startedLate):
			return fmt.Errorf("povray: %w: %s", err, out)
		}
	}
}

func command(t testing.TB, name string, args ...string) *exec.Cmd {
	ctx, stop := context.WithTimeout(context.Background(), 5*time.Minute)
	t.Cleanup(stop)
	if _, err := exec.LookPath("nice"); err == nil {
		return exec.CommandContext(ctx, "nice", append([]string{"-n", "15", name}, args...)...)
	}
	return exec.CommandContext(ctx, name, args...)
}

// An Exposure is one light and the time for which it was shown.
type Exposure struct {
	Light []patterns.Colour
	For   time.Duration
}

// Film renders each different light once and writes the film to path.
func (s *Stage) Film(t testing.TB, path string, shown []Exposure, level float64) {
	t.Helper()
	dir := t.TempDir()
	pictures := map[string]string{}
	var list strings.Builder
	var lights [][]patterns.Colour
	var paths []string
	last := ""
	for _, one := range shown {
		key := fmt.Sprint(one.Light)
		if pictures[key] == "" {
			path := filepath.Join(dir, fmt.Sprintf("look%02d.png", len(pictures)))
			pictures[key] = path
			lights, paths = append(lights, one.Light), append(paths, path)
		}
		last = pictures[key]
		fmt.Fprintf(&list, "file '%s'\nduration %.3f\n", last, one.For.Seconds())
	}
	parallel.Each(len(paths), func(i int) { assert.NoError(t, s.render(t, paths[i], lights[i], level)) })
	require.False(t, t.Failed(), "pictures")
	fmt.Fprintf(&list, "file '%s'\n", last) // without a repeat the concat demuxer ignores the last duration
	listed := filepath.Join(dir, "list.txt")
	require.NoError(t, os.WriteFile(listed, []byte(list.String()), 0o644))
	args := append([]string{"-y", "-loglevel", "error", "-f", "concat", "-safe", "0", "-i", listed, "-vf", s.filter()}, s.Room.Codec...)
	out, err := command(t, "ffmpeg", append(args, path)...).CombinedOutput()
	require.NoError(t, err, "%s", out)
}

// filter is the ffmpeg filter for the effects of lens, hand and sensor: blur,
// vignette, slow shake, noise.
func (s *Stage) filter() string {
	r := s.Room
	f := fmt.Sprintf("fps=%d,format=gbrp,split[a][b];[b]gblur=sigma=5[glow];[a][glow]blend=all_mode=addition:all_opacity=0.15,gblur=sigma=0.6,vignette=PI/7", r.Rate)
	if r.Shake > 0 {
		f += fmt.Sprintf(",scale=iw*2:ih*2,crop=iw-32:ih-32:16+%g*sin(t*2.1):16+%g*sin(t*1.3+1),scale=%d:%d", 2*r.Shake, 2*r.Shake, r.W-16, r.H-16)
	}
	if r.Noise > 0 {
		f += fmt.Sprintf(",noise=alls=%d:allf=t", r.Noise)
	}
	return f
}

// Shot renders one light with the film's filter and writes a single picture.
func (s *Stage) Shot(t testing.TB, path string, light []patterns.Colour, level float64) {
	t.Helper()
	rendered := path + ".render.png"
	s.Render(t, rendered, light, level)
	out, err := command(t, "ffmpeg", "-y", "-loglevel", "error", "-i", rendered, "-vf", s.filter(), "-frames:v", "1", "-q:v", "4", "-pix_fmt", "yuvj420p", path).CombinedOutput()
	require.NoError(t, err, "%s", out)
}

// Margin is the number of camera pixels that the film cuts off at the left and
// top of the rendered picture.
func (s *Stage) Margin() float64 {
	if s.Room.Shake > 0 {
		return 8
	}
	return 0
}
