package pictures

import (
	"bytes"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/testkit/filmtest"
	"example.org/ringout/patterns"
)

// seenAs is how a camera's three colours see each light of a pixel.
var seenAs = [patterns.NumChannels][3]float64{{1, 0.08, 0.03}, {0.1, 1, 0.12}, {0.04, 0.12, 1}, {0.7, 0.66, 0.6}, {0.6, 0.66, 0.7}}

// lots are drawn from a bell, once for all.
var lots = func() (all [99_991]float64) {
	r := rand.New(rand.NewPCG(7, 77))
	for i := range all {
		all[i] = r.NormFloat64()
	}
	return all
}()

// frames is how many frames of each look the camera takes.
const frames = 5

// picture is what the camera sees of a light, held by hand.
func picture(t *testing.T, stage *filmtest.Stage, r *rand.Rand, p *prop.Prop, light strip.Light) eyes.Picture {
	dx, dy := (r.Float64()-0.5)*0.8, (r.Float64()-0.5)*0.8
	pic := eyes.NewPicture(stage.Room.W, stage.Room.H)
	field := make([]float64, len(pic.Pix))
	for i := range field {
		field[i] = 0.012 * (1 + 0.4*math.Sin(float64(i/3%pic.W/31+i/3/pic.W/23)))
	}
	place := 0
	for run := range p.Runs {
		for i := range p.Runs[run].Pixels {
			if i < len(light[run]) {
				x, y := stage.At(place)
				glow(field, pic.W, pic.H, stage, x+dx, y+dy, light[run][i])
			}
			place++
		}
	}
	at := r.IntN(len(lots))
	for i, v := range field {
		at = (at + 1) % (len(lots) - 1)
		pic.Pix[i] = uint16(65535 * min(1, max(0, v*(1+0.01*lots[at])+0.001*lots[at+1])))
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, pic.Image(), &jpeg.Options{Quality: 85}))
	img, err := jpeg.Decode(&b)
	require.NoError(t, err)
	return eyes.FromImage(img)
}

// glow adds the light of a pixel.
func glow(field []float64, w, h int, stage *filmtest.Stage, x, y float64, c patterns.Colour) {
	var light [3]float64
	for ch := range patterns.Channel(patterns.NumChannels) {
		for k := range light {
			light[k] += 0.6 * float64(c.Get(ch)) / 255 * seenAs[ch][k]
		}
	}
	sigma := 0.22 * stage.Spacing()
	reach := int(8 * sigma)
	for py := max(0, int(y)-reach); py <= min(h-1, int(y)+reach); py++ {
		for px := max(0, int(x)-reach); px <= min(w-1, int(x)+reach); px++ {
			d := math.Hypot(float64(px)-x, float64(py)-y) / sigma
			k := math.Exp(-d*d/2) + 0.04*math.Exp(-d*d/18)
			for ch := range light {
				field[3*(py*w+px)+ch] += k * light[ch]
			}
		}
	}
}

// look takes the pictures of a trial and weighs what is read of them; a refusal
// comes alone.
func look(t *testing.T, seed uint64, one trial) (*Proof, *eyes.Refusal, []strip.Light) {
	r := rand.New(rand.NewPCG(seed, 77))
	room := filmtest.Room{W: 480, H: 270, Tilt: 10 + 20*r.Float64(), Around: 360 * r.Float64(), Fill: 0.85}
	switch {
	case one.prop.Pixels() > 170:
		room.W, room.H = 600, 400
	case one.prop.Name == "Pennant": // long and flat
		room.W, room.H = 720, 300
	}
	stage := filmtest.New(one.prop, room)
	s, err := eyes.SceneOf(one.prop)
	require.NoError(t, err)
	var pics []eyes.Picture
	var lights []strip.Light
	clips := make([]eyes.Clip, len(s.Looks))
	for k := range s.Looks {
		lights = append(lights, one.show(k))
		var mean eyes.Mean
		for f := range frames {
			light := lights[k]
			if one.at != nil {
				light = one.at(k, momentOf(k, f))
			}
			pic := picture(t, stage, r, one.prop, light)
			mean.Add(pic)
			clips[k].Add(pic)
		}
		pics = append(pics, mean.Picture())
	}
	slip := func() float64 { return (r.Float64() - 0.5) * stage.Spacing() / 2 }
	n := one.prop.Pixels()
	for _, place := range []int{0, n / 4, n / 2, n - 1 - n/8} {
		x, y := stage.At(place)
		s.Marks = append(s.Marks, eyes.Mark{Place: place, At: eyes.Point{X: x + slip(), Y: y + slip()}})
	}
	read, err := eyes.Decode(s, pics)
	require.NoError(t, err)
	if read.Refusal != nil {
		return nil, read.Refusal, lights
	}
	read.Watch(s, clips)
	proof, err := Weigh(one.prop, s, read)
	require.NoError(t, err)
	return proof, nil, lights
}

// momentOf is when a frame of a look is taken, after the sequence began.
func momentOf(look, frame int) time.Duration {
	from := time.Duration(0)
	if look > 0 {
		from = eyes.EdgeHold + time.Duration(look-1)*eyes.Hold
	}
	w := eyes.WindowOf(from, eyes.Hold)
	return w.From + time.Duration(frame)*(w.To-w.From)/(frames-1)
}
