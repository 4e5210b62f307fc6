package eyes

import "slices"

// Lights of a pixel, in the order of the columns of a mix.
const (
	red = iota
	green
	blue
	white
	lights
)

// letters names the lights as wire orders do.
const letters = "RGBW"

// A mix is the camera light (red, green, blue) of each light of a pixel at
// strength 1.
type mix [lights]vec

// startMix is the mix before any spot is read: each light mostly in its own
// colour.
var startMix = mix{{1, 0.1, 0.05}, {0.1, 1, 0.1}, {0.05, 0.1, 1}, {1, 1, 1}}

// purest is the mix of the purest third of the samples of each colour. A colour
// with too few samples keeps startMix.
func purest(samples []sample) mix {
	m := startMix
	var size [3][]float32
	var hues [3][]vec
	for _, s := range samples {
		for _, v := range s.light {
			if v.most() < s.peak/3 || v.sum() <= 0 {
				continue
			}
			c := brightest(v)
			hues[c] = append(hues[c], v.times(1/v.sum()))
			size[c] = append(size[c], v.sum()/s.peak)
		}
	}
	for c := range 3 {
		if len(hues[c]) < len(samples)/10+1 {
			continue
		}
		slices.SortFunc(hues[c], func(a, b vec) int { return compare(b[c], a[c]) })
		m[c] = middle(hues[c][:len(hues[c])/3+1]).times(median(size[c]))
	}
	m[white] = m[red].plus(m[green]).plus(m[blue])
	return m
}

func compare(a, b float32) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

func brightest(v vec) int {
	c := 0
	for i := range v {
		if v[i] > v[c] {
			c = i
		}
	}
	return c
}

// middle is the median of each component.
func middle(v []vec) vec {
	var out vec
	part := make([]float32, len(v))
	for c := range out {
		for i := range v {
			part[i] = v[i][c]
		}
		out[c] = median(part)
	}
	return out
}

// inverse is the matrix, row by row, that turns camera light into red, green and
// blue light of a pixel. A mix without an inverse gives that of startMix.
func (m mix) inverse() [3]vec {
	a, b, c := m[0], m[1], m[2]
	det := a[0]*(b[1]*c[2]-b[2]*c[1]) - b[0]*(a[1]*c[2]-a[2]*c[1]) + c[0]*(a[1]*b[2]-a[2]*b[1])
	if det < 0.02*a.most()*b.most()*c.most() {
		if m != startMix {
			return startMix.inverse()
		}
		return [3]vec{{1}, {0, 1}, {0, 0, 1}}
	}
	row := func(p, q vec) vec {
		return vec{p[1]*q[2] - p[2]*q[1], p[2]*q[0] - p[0]*q[2], p[0]*q[1] - p[1]*q[0]}.times(1 / det)
	}
	return [3]vec{row(b, c), row(c, a), row(a, b)}
}
