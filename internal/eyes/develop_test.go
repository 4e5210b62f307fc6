package eyes

import (
	"bytes"
	"image"
	"image/jpeg"
	"math"
)

// light is what a pixel shows in a look, as the camera's red, green and blue.
func (s *stage) light(p seen, l Look) (out [3]float64) {
	on := make([]float64, 4)
	for i, light := range p.order {
		if p.slot >= 0 && s.scene.Lit(l, p.slot+i) {
			on[light] = 1
		}
	}
	for _, light := range p.stuck {
		on[light] = 1
	}
	if s.r.Float64() < p.odd && p.slot >= 0 {
		on = []float64{5 * s.r.Float64(), 5 * s.r.Float64(), 5 * s.r.Float64(), 0}
	}
	for light, v := range on {
		for c := range out {
			out[c] += v * p.gain[light] * s.mix[light][c]
		}
	}
	return out
}

// shoot is the camera's picture of a look, through JPEG.
func (s *stage) shoot(l Look) Picture {
	field := make([][3]float64, s.w*s.h)
	move := Point{s.r.NormFloat64() * s.shake, s.r.NormFloat64() * s.shake}
	expose := s.exposure * (1 + s.r.NormFloat64()*s.jitter)
	var balance [3]float64
	for c := range balance {
		balance[c] = 1 + s.r.NormFloat64()*s.balance
	}
	var all [3]float64
	lights := make([][3]float64, len(s.pixels))
	for i, p := range s.pixels {
		lights[i] = s.light(p, l)
		s.splat(field, s.at[i].plus(move), lights[i], 1)
		for c := range all {
			all[c] += lights[i][c] / float64(len(s.pixels))
		}
	}
	for _, g := range s.ghosts {
		s.splat(field, g.at.plus(move), lights[g.of], g.share)
	}
	return s.develop(field, all, expose, balance)
}

// splat adds one light: a disc with a soft edge and a glow around it.
func (s *stage) splat(field [][3]float64, at Point, light [3]float64, share float64) {
	radius := max(s.disc*s.spacing, 0.6)
	sigma := 0.55 * s.spacing
	reach := int(max(2.2*sigma, radius+3))
	for y := max(0, int(at.Y)-reach); y <= min(s.h-1, int(at.Y)+reach); y++ {
		for x := max(0, int(at.X)-reach); x <= min(s.w-1, int(at.X)+reach); x++ {
			d := math.Hypot(float64(x)-at.X, float64(y)-at.Y)
			v := share / (1 + math.Exp((d-radius)*2.5))
			v += share * s.glow * 0.35 * math.Exp(-d*d/(2*sigma*sigma))
			for c := range light {
				field[y*s.w+x][c] += light[c] * v
			}
		}
	}
}

// develop turns light into a picture: room light, haze, exposure, noise, sRGB,
// JPEG.
func (s *stage) develop(field [][3]float64, all [3]float64, expose float64, balance [3]float64) Picture {
	img := image.NewRGBA(image.Rect(0, 0, s.w, s.h))
	for y := range s.h {
		band := 1 + 0.01*math.Sin(float64(y)/7+expose*100)
		for x := range s.w {
			dx, dy := float64(x-s.w/2)/float64(s.w), float64(y-s.h/2)/float64(s.h)
			wall := s.ambient * (0.6 + 0.4*math.Sin(float64(x/37+y/29))) * 0.5
			for c := range 3 {
				v := (field[y*s.w+x][c] + wall + s.haze*all[c]) * expose * balance[c] * band * (1 - 0.4*(dx*dx+dy*dy))
				v = 255*gamma(v) + s.r.NormFloat64()*s.noise*(0.5+math.Sqrt(max(v, 0)))
				img.Pix[4*(y*s.w+x)+c] = uint8(min(max(v, 0), 255))
			}
			img.Pix[4*(y*s.w+x)+3] = 255
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: s.quality}); err != nil {
		panic(err)
	}
	back, err := jpeg.Decode(&b)
	if err != nil {
		panic(err)
	}
	return FromImage(back)
}

// gamma is sRGB's curve, clipped.
func gamma(v float64) float64 {
	v = min(max(v, 0), 1)
	if v <= 0.0031308 {
		return 12.92 * v
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}

// show takes all pictures and says what is true.
func (s *stage) show() ([]Picture, []truth) {
	var looks []Picture
	for _, l := range s.scene.Looks {
		looks = append(looks, s.shoot(l))
	}
	var is []truth
	for i, p := range s.pixels {
		t := truth{Place: i + 1, X: s.at[i].X, Y: s.at[i].Y, State: "fed"}
		switch {
		case p.slot >= 0:
			t.Slot = &s.pixels[i].slot
		case p.slot == -2:
			t.State = "stuck"
		default:
			t.State = "dark"
		}
		is = append(is, t)
	}
	return looks, is
}
