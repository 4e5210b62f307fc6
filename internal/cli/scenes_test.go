package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/steps"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/testkit/filmtest"
	"example.org/ringout/patterns"
)

// otherProps are of kinds that the films do not cover, by name: chip, and shape and
// pixels of each run.
var otherProps = map[string]struct{ chip, runs string }{
	"star": {"WS2812B", "name=\"star\"\nshape=\"star\"\npoints=5\npixels=100\ndiameter=\"60 cm\""},
	"letters": {"WS2811 5V", "name=\"L\"\npixels=31\nshape=\"outline\"\ncorners=[\"0 cm, 40 cm\", \"0 cm, 0 cm\", \"22 cm, 0 cm\"]\n" +
		"[[run]]\nname=\"bow\"\npixels=23\nshape=\"outline\"\ncorners=[\"30 cm, 2 cm\", \"37 cm, 30 cm\", \"52 cm, 38 cm\", \"60 cm, 5 cm\"]\n" +
		"[[run]]\nname=\"dash\"\npixels=9\nshape=\"line\"\ncorners=[\"70 cm, 21 cm\", \"88 cm, 26 cm\"]"},
	"rails": {"SK6812 RGBW", "name=\"upper\"\npixels=45\nshape=\"line\"\ncorners=[\"0 cm, 12 cm\", \"75 cm, 12 cm\"]\n" +
		"[[run]]\nname=\"lower\"\npixels=45\nshape=\"line\"\ncorners=[\"0 cm, 0 cm\", \"75 cm, 0 cm\"]"},
	"bulbs": {"bulb RGBW", "name=\"one\"\npixels=1\nshape=\"line\"\ncorners=[\"0 cm, 0 cm\", \"1 cm, 0 cm\"]\n" +
		"[[run]]\nname=\"two\"\npixels=1\nshape=\"line\"\ncorners=[\"40 cm, 12 cm\", \"41 cm, 12 cm\"]\n" +
		"[[run]]\nname=\"three\"\npixels=1\nshape=\"line\"\ncorners=[\"70 cm, -8 cm\", \"71 cm, -8 cm\"]\n" +
		"[[run]]\nname=\"four\"\npixels=1\nshape=\"line\"\ncorners=[\"95 cm, 30 cm\", \"96 cm, 30 cm\"]"},
}

// otherScenes are conditions of the pictures, and faults of the prop.
var otherScenes = []struct {
	prop, fault string
	room        filmtest.Room
}{
	{"star", "", filmtest.Room{Tilt: 25, Around: 70, Exposure: 0.6, Ambient: 0.08, Table: true}},
	{"star", "mirrored", filmtest.Room{Tilt: 15, Around: 80, Exposure: 0.8, Ambient: 0.05, Table: true, Lamp: true, Tube: true}},
	{"letters", "", filmtest.Room{Tilt: 20, Around: 30, Exposure: 0.5, Ambient: 0.1, Lamp: true}},
	{"letters", "run-mirrored run 2, dead-pixel pixel 5", filmtest.Room{Tilt: 10, Around: 300, Exposure: 0.5, Ambient: 0.2, Lamp: true, Noise: 4}},
	{"rails", "", filmtest.Room{Tilt: 20, Around: 120, Exposure: 0.1, Ambient: 0.02, Noise: 1}},
	{"rails", "runs-swapped run 1 run 2", filmtest.Room{Tilt: 12, Around: 150, Exposure: 0.12, Ambient: 0.02, Table: true}},
	{"rails", "slot-shift by 4", filmtest.Room{Tilt: 12, Around: 10, Exposure: 0.6, Ambient: 0.1}},
	{"bulbs", "", filmtest.Room{Tilt: 15, Around: 45, Exposure: 0.6, Ambient: 0.1}},
	{"bulbs", "runs-swapped run 2 run 3", filmtest.Room{Tilt: 15, Around: 45, Exposure: 0.6, Ambient: 0.1, Table: true}},
}

// otherProp writes the prop file of one of otherProps.
func otherProp(t *testing.T, name string) (string, *prop.Prop) {
	file := filepath.Join(t.TempDir(), name+".toml")
	order := ""
	if one := otherProps[name]; strings.HasPrefix(one.chip, "WS2812") {
		order = "density=\"60 per metre\"\n"
	}
	text := fmt.Sprintf("name=%q\n[strip]\nchip=%q\n%s[supply]\nvolts=\"5 V\"\namps=\"10 A\"\n[address]\nhost=\"127.0.0.1\"\nuniverse=1\n[[run]]\n%s\n", name, otherProps[name].chip, order, otherProps[name].runs)
	if name == "bulbs" {
		text = strings.ReplaceAll(text, "5 V", "12 V")
	}
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	p, _, err := prop.Load(file)
	require.NoError(t, err)
	return file, p
}

// lightsOf returns the light of a prop with faults in every look, by place.
func lightsOf(t *testing.T, p *prop.Prop, s *eyes.Scene, faults string) (out [][]patterns.Colour) {
	var all []strip.Fault
	for text := range strings.SplitSeq(faults, ", ") {
		if text != "" {
			ft, err := strip.ParseFault(text, p)
			require.NoError(t, err)
			all = append(all, ft)
		}
	}
	model, err := strip.New(p, all...)
	require.NoError(t, err)
	patch, err := prop.PatchFor(p)
	require.NoError(t, err)
	for _, look := range s.Looks {
		buffers := model.Buffers()
		patch.Fill(buffers, s.Frame(nil, look, p.Chip.Order.Channels()))
		var light []patterns.Colour
		for r, row := range model.Light(buffers) {
			light = append(light, row[:p.Runs[r].Pixels]...)
		}
		out = append(out, light)
	}
	return out
}

// TestOtherProps has the built program read kept folders of other props, with a
// reflecting table, a lamp in the picture or little light. No reading is both sure and
// wrong, no good prop is refused, and no faulty one is signed off. Each place that the
// program asks for is marked with an error of up to a quarter of the spacing.
func TestOtherProps(t *testing.T) {
	if os.Getenv("RINGOUT_LONG") == "" {
		t.Skip("RINGOUT_LONG=1 renders nine scenes, minutes")
	}
	needFilmTools(t)
	for i, one := range otherScenes {
		t.Run(fmt.Sprintf("%d %s %s", i+1, one.prop, one.fault), func(t *testing.T) {
			file, p := otherProp(t, one.prop)
			one.room.W, one.room.H, one.room.Fill, one.room.Rate = 640, 360, 0.7, 25
			stage := filmtest.New(p, one.room)
			s, err := eyes.SceneOf(p)
			require.NoError(t, err)
			lights := lightsOf(t, p, s, one.fault)
			folder := filepath.Join(t.TempDir(), "shots")
			if keep := os.Getenv("RINGOUT_KEEP_FILMS"); keep != "" {
				folder = filepath.Join(keep, fmt.Sprintf("scene%d", i+1))
			}
			takeScene(t, stage, s, lights, folder, uint64(i))
			out, err := exec.Command(program(t), "check", file, "--camera", folder, "--json", "--no-record").Output()
			var r filmRead
			line, _, _ := bytes.Cut(out, []byte("\n"))
			require.NoError(t, json.Unmarshal(line, &r), "%s %v", out, err)
			require.Empty(t, r.Refusal)
			n := scoreFilm(t, p, r, lights)
			t.Logf("%+v good %v %v", n, r.Good, r.Findings)
			require.Zero(t, n.wrong+n.lost)
			require.GreaterOrEqual(t, n.right, p.Pixels()*95/100)
			if one.fault != "" {
				require.False(t, r.Good)
			}
		})
	}
}

// takeScene renders the looks into a folder with its marks, unless it exists.
func takeScene(t *testing.T, stage *filmtest.Stage, s *eyes.Scene, lights [][]patterns.Colour, folder string, seed uint64) {
	if _, err := os.Stat(filepath.Join(folder, "scene.json")); err == nil {
		return
	}
	require.NoError(t, os.MkdirAll(folder, 0o755))
	r := rand.New(rand.NewPCG(seed, 5))
	slip := func() float64 { return (r.Float64() - 0.5) * min(stage.Spacing(), 20) / 2 }
	for _, place := range steps.Places(s) {
		x, y := stage.At(place)
		s.Marks = append(s.Marks, eyes.Mark{Place: place, At: eyes.Point{X: x + slip(), Y: y + slip()}})
	}
	s.Level = 0.2
	for k := range s.Looks {
		s.Looks[k].File = fmt.Sprintf("%02d.jpg", k)
		stage.Shot(t, filepath.Join(folder, s.Looks[k].File), lights[k], 1)
	}
	text, err := eyes.MarshalScene(s)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "scene.json"), text, 0o644))
}
