package eyes

import "math"

// A sample is the light of one spot in every look, less that of the black look, in
// the same window of camera pixels.
type sample struct {
	light  []vec
	black  vec     // light in the black look
	peak   float32 // the most light of any look
	usable float64 // share of the window that is clipped in no look
}

// A sampler takes samples.
type sampler struct {
	looks []Picture
	black int
	moved []Point
	gain  []float32 // exposure of each look against the middle one
}

// take is the sample of a spot. Where its middle is clipped, a wider window reads
// the light around it.
func (s *sampler) take(at Point, spacing float64) sample {
	out := s.window(at, clamp(0.16*spacing, 0.7, 4))
	if out.usable < 0.5 {
		wide := s.window(at, clamp(0.3*spacing, 1, 8))
		if wide.usable > 0.1 {
			wide.usable = max(wide.usable, out.usable)
			return wide
		}
	}
	return out
}

// window is a sample weighted by a Gaussian, without the camera pixels that are
// clipped in any look.
func (s *sampler) window(at Point, sigma float64) sample {
	out := sample{light: make([]vec, len(s.looks))}
	reach := int(math.Ceil(1.8 * sigma))
	var all, used float64
	for dy := -reach; dy <= reach; dy++ {
		for dx := -reach; dx <= reach; dx++ {
			d := Point{float64(dx), float64(dy)}
			w := math.Exp(-(d.X*d.X + d.Y*d.Y) / (2 * sigma * sigma))
			all += w
			if !s.clipped(at.plus(d)) {
				used += w
				s.addTo(&out, at.plus(d), float32(w))
			}
		}
	}
	out.usable = used / all
	out.finish(s, float32(used))
	return out
}

func (s *sampler) clipped(at Point) bool {
	for k, p := range s.looks {
		q := at.plus(s.moved[k])
		if p.full(int(math.Round(q.X)), int(math.Round(q.Y))) {
			return true
		}
	}
	return false
}

func (s *sampler) addTo(out *sample, at Point, w float32) {
	for k, p := range s.looks {
		q := at.plus(s.moved[k])
		out.light[k] = out.light[k].plus(p.light(q.X, q.Y).times(w))
	}
}

// finish turns sums into means and subtracts the black look.
func (o *sample) finish(s *sampler, weight float32) {
	if weight == 0 {
		return
	}
	o.black = o.light[s.black].times(1 / weight)
	for k := range o.light {
		o.light[k] = o.light[k].times(1 / (weight * s.gain[k])).minus(o.black)
		o.peak = max(o.peak, o.light[k].most())
	}
}
