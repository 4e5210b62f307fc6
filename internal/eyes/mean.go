package eyes

import "math"

// A Mean is the mean of pictures, in linear light.
type Mean struct {
	w, h int
	sum  []uint32
	n    uint32
}

// Add adds a picture. It ignores one of another size than the first, and those
// after 65,535, which the sums could not hold.
func (m *Mean) Add(p Picture) {
	if m.n == 0 {
		m.w, m.h, m.sum = p.W, p.H, make([]uint32, len(p.Pix))
	}
	if p.W != m.w || p.H != m.h || m.n == math.MaxUint16 {
		return
	}
	for i, v := range p.Pix {
		m.sum[i] += uint32(v)
	}
	m.n++
}

// Picture is the mean of the pictures added; an empty picture when there is none.
func (m *Mean) Picture() Picture {
	p := NewPicture(m.w, m.h)
	if m.n == 0 {
		return p
	}
	for i, s := range m.sum {
		p.Pix[i] = uint16((s + m.n/2) / m.n)
	}
	return p
}
