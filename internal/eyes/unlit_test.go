package eyes

import (
	"bytes"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// A darkRoom is a made-up bench with a line of pixels on it, before a camera that
// writes JPEG.
type darkRoom struct {
	light float64                   // of the bench, 0 to 1 of full
	noise float64                   // of a camera pixel
	lit   float64                   // light in the middle of a pixel that is lit
	shot  float64                   // noise more, of the light itself
	drift float64                   // by which the room gets brighter over the sequence, as a share
	other func(k, x, y int) float64 // light of something else in a look
}

const roomWide, roomTall = 320, 200

func (d darkRoom) pictures(t *testing.T, s *Scene, seed uint64) (out []Picture) {
	r := rand.New(rand.NewPCG(seed, 29))
	for k, look := range s.Looks {
		p := NewPicture(roomWide, roomTall)
		for y := range roomTall {
			for x := range roomWide {
				v := d.light * (1 + 0.5*float64((x/37+y/29)%3)) * (1 + d.drift*float64(k)/float64(len(s.Looks)))
				if d.other != nil {
					v += d.other(k, x, y)
				}
				for c := range 3 {
					p.Pix[3*(y*roomWide+x)+c] = uint16(65535 * clamp(v+d.lightOf(s, look, c, x, y)+(d.noise+d.shot*v)*r.NormFloat64(), 0, 1))
				}
			}
		}
		var b bytes.Buffer
		require.NoError(t, jpeg.Encode(&b, p.Image(), &jpeg.Options{Quality: 90}))
		img, err := jpeg.Decode(&b)
		require.NoError(t, err)
		out = append(out, FromImage(img))
	}
	return out
}

// lightOf is a prop's light at a camera pixel: a line whose pixels are 8 apart.
func (d darkRoom) lightOf(s *Scene, look Look, c, x, y int) float64 {
	i := (x - 20 + 4) / 8
	if d.lit == 0 || i < 0 || i >= len(s.Places()) || !s.Lit(look, s.Slots*i+[]int{1, 0, 2}[c]) {
		return 0
	}
	far := math.Hypot(float64(x-20-8*i), float64(y-100))
	return d.lit * math.Exp(-far*far/4)
}

func lineScene(t *testing.T) *Scene {
	words, err := Table(34)
	require.NoError(t, err)
	return &Scene{Order: "GRB", Slots: 3, Runs: []Run{lineRun(34, 0, 0)}, Words: words, Looks: Looks(3, len(words[0])),
		Marks: []Mark{{0, Point{20, 100}}, {33, Point{284, 100}}}}
}

// A prop of which no pixel lights is dark where the pictures show the bench, and
// nothing is said of it where they show nothing or something else changes.
func TestDarkPropsAreToldFromBlindCameras(t *testing.T) {
	s := lineScene(t)
	rooms := uint64(1)
	if os.Getenv("RINGOUT_LONG") != "" {
		rooms = 20
	}
	for name, one := range map[string]struct {
		room darkRoom
		want RefusalKind // empty for a dark prop
	}{
		"a bench in the evening": {darkRoom{light: 0.02, noise: 0.003}, ""},
		"a bright bench":         {darkRoom{light: 0.2, noise: 0.01}, ""},
		"a noisy camera":         {darkRoom{light: 0.03, noise: 0.01}, ""},
		"a lamp on half of it": {darkRoom{light: 0.002, noise: 0.0005, shot: 0.05, other: func(_, x, y int) float64 {
			return map[bool]float64{true: 0.2 + 0.1*float64(x/20%2)}[y < 90]
		}}, ""},
		"no noise at all":             {darkRoom{light: 0.03}, ""},
		"a cap on the lens":           {darkRoom{noise: 0.002}, NoScene},
		"nothing but white":           {darkRoom{light: 1}, NoScene},
		"a wall, or all out of focus": {darkRoom{noise: 0.003, other: func(int, int, int) float64 { return 0.1 }}, NoScene},
		"the room gets brighter":      {darkRoom{light: 0.05, noise: 0.003, drift: 0.1}, NoSpots},
		"a hand in one look": {darkRoom{light: 0.05, noise: 0.003, other: func(k, x, y int) float64 {
			return map[bool]float64{true: -0.04}[k == 6 && x > 200 && y > 150]
		}}, NoSpots},
		"a lit wall": {darkRoom{light: 0.05, noise: 0.003, other: func(k, x, y int) float64 {
			return map[bool]float64{true: 0.008}[k > 0 && x > 160]
		}}, NoSpots},
	} {
		told := 0
		for seed := range rooms {
			r, err := Decode(s, one.room.pictures(t, s, seed))
			require.NoError(t, err)
			require.Equal(t, r.Refusal == nil, r.Unlit, name)
			if one.want != "" {
				require.NotNil(t, r.Refusal, name)
				require.Contains(t, []RefusalKind{one.want, TooDim}, r.Refusal.Kind, name)
				require.Empty(t, r.Places)
				continue
			}
			if !r.Unlit {
				t.Logf("%s, drawing %d: %s", name, seed, r.Refusal.Text)
				continue
			}
			told++
			require.Empty(t, r.Spots)
			require.Len(t, r.Places, len(s.Places()))
			for _, p := range r.Places {
				require.Equal(t, Dark, p.State)
			}
		}
		if one.want == "" {
			require.GreaterOrEqual(t, 10*told, 9*int(rooms), "%s: noise is taken for light in too many", name)
		}
	}
}

// Light that is there is not called none, though it is too faint to be read: from
// eight times the noise on.
func TestFaintLightIsNotCalledDark(t *testing.T) {
	s := lineScene(t)
	for seed, one := range []struct{ noise, times float64 }{{0.001, 8}, {0.003, 8}, {0.01, 8}, {0.01, 11}} {
		r, err := Decode(s, darkRoom{light: 0.03, noise: one.noise, lit: one.times * one.noise}.pictures(t, s, uint64(seed)))
		require.NoError(t, err)
		require.False(t, r.Unlit, "light %g times a noise of %g", one.times, one.noise)
	}
}

// Faint light in a dark room is too faint, and the cap is not on the lens.
func TestFaintLightInTheDarkIsTooDim(t *testing.T) {
	s := lineScene(t)
	r, err := Decode(s, darkRoom{noise: 0.002, lit: 0.01}.pictures(t, s, 1))
	require.NoError(t, err)
	require.NotNil(t, r.Refusal)
	require.Contains(t, []RefusalKind{TooDim, TooFar}, r.Refusal.Kind, r.Refusal.Text)
	require.GreaterOrEqual(t, r.Measures.Signal, float64(noLight))
	require.Less(t, r.Measures.Signal, float64(LeastSignal))
}

// A second run from nearer has only part of the prop in its pictures, so that it
// does not say that all is dark.
func TestPartOfAPropIsNotCalledDark(t *testing.T) {
	s := lineScene(t)
	s.Partial = true
	r, err := Decode(s, darkRoom{light: 0.05, noise: 0.003}.pictures(t, s, 1))
	require.NoError(t, err)
	require.False(t, r.Unlit)
	require.NotNil(t, r.Refusal)
}
