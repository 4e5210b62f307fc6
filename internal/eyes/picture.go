package eyes

import (
	"image"
	"image/color"
	"math"
)

// A Picture is a camera picture in linear light: red, green and blue, 0 to 65535,
// interleaved, row by row from the top.
type Picture struct {
	W, H int
	Pix  []uint16
}

// NewPicture is a black picture.
func NewPicture(w, h int) Picture { return Picture{W: w, H: h, Pix: make([]uint16, 3*w*h)} }

// linear is the light of each value that an sRGB picture can have (IEC
// 61966-2-1), of 65535.
var linear = func() (t [256]uint16) {
	for i := range t {
		v := float64(i) / 255
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		t[i] = uint16(math.Round(v * 65535))
	}
	return t
}()

// clipped is the light from which a camera pixel counts as saturated: value 250 of
// 255.
var clipped = linear[250]

// FromImage turns a decoded picture into light.
func FromImage(img image.Image) Picture {
	b := img.Bounds()
	p := NewPicture(b.Dx(), b.Dy())
	if y, yes := img.(*image.YCbCr); yes {
		p.fromYCbCr(y)
		return p
	}
	o := 0
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			r, g, bl, _ := img.At(x, y).RGBA()
			p.Pix[o], p.Pix[o+1], p.Pix[o+2] = light16(r), light16(g), light16(bl)
			o += 3
		}
	}
	return p
}

// light16 is the light of a 16-bit sRGB value.
func light16(v uint32) uint16 {
	i, part := v/257, v%257
	if i >= 255 {
		return linear[255]
	}
	return linear[i] + uint16((uint32(linear[i+1]-linear[i])*part+128)/257)
}

// chromaShift is the binary logarithm of a picture's horizontal colour
// subsampling.
var chromaShift = map[image.YCbCrSubsampleRatio]uint{
	image.YCbCrSubsampleRatio422: 1, image.YCbCrSubsampleRatio420: 1,
	image.YCbCrSubsampleRatio411: 2, image.YCbCrSubsampleRatio410: 2,
}

func (p Picture) fromYCbCr(img *image.YCbCr) {
	left, by := img.Rect.Min.X, chromaShift[img.SubsampleRatio]
	for y := range p.H {
		at := img.COffset(left, img.Rect.Min.Y+y)
		cb, cr := img.Cb[at:], img.Cr[at:]
		lights := img.Y[img.YOffset(left, img.Rect.Min.Y+y):][:p.W]
		out := p.Pix[3*y*p.W:][:3*p.W]
		for x, light := range lights {
			c := (left+x)>>by - left>>by
			r, g, b := color.YCbCrToRGB(light, cb[c], cr[c])
			out[3*x], out[3*x+1], out[3*x+2] = linear[r], linear[g], linear[b]
		}
	}
}

// FromRGB turns rows of red, green and blue octets in sRGB into light.
func FromRGB(w, h int, rgb []byte) Picture {
	p := NewPicture(w, h)
	for i := range p.Pix {
		p.Pix[i] = linear[rgb[i]]
	}
	return p
}

// light is the light at a point, 0 to 1, interpolated between camera pixels;
// outside the picture it is that of the edge.
func (p Picture) light(x, y float64) vec {
	x, y = clamp(x, 0, float64(p.W-1)), clamp(y, 0, float64(p.H-1))
	x0, y0 := int(x), int(y)
	x1, y1 := min(x0+1, p.W-1), min(y0+1, p.H-1)
	fx, fy := float32(x-float64(x0)), float32(y-float64(y0))
	var out vec
	for c := range 3 {
		a := float32(p.Pix[3*(y0*p.W+x0)+c])*(1-fx) + float32(p.Pix[3*(y0*p.W+x1)+c])*fx
		b := float32(p.Pix[3*(y1*p.W+x0)+c])*(1-fx) + float32(p.Pix[3*(y1*p.W+x1)+c])*fx
		out[c] = (a*(1-fy) + b*fy) / 65535
	}
	return out
}

// full reports whether any of the three lights of a camera pixel is clipped.
func (p Picture) full(x, y int) bool {
	x, y = min(max(x, 0), p.W-1), min(max(y, 0), p.H-1)
	px := p.Pix[3*(y*p.W+x):]
	return max(px[0], px[1], px[2]) >= clipped
}

func clamp(v, lo, hi float64) float64 { return math.Max(lo, math.Min(hi, v)) }

// A vec is red, green and blue light.
type vec [3]float32

func (a vec) plus(b vec) vec      { return vec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a vec) minus(b vec) vec     { return vec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func (a vec) times(k float32) vec { return vec{a[0] * k, a[1] * k, a[2] * k} }
func (a vec) dot(b vec) float32   { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a vec) sum() float32        { return a[0] + a[1] + a[2] }
func (a vec) most() float32       { return max(a[0], a[1], a[2]) }

// Image is the picture in sRGB with 16 bits a light, so that a mean of many
// frames loses nothing when it is kept.
func (p Picture) Image() image.Image {
	out := image.NewNRGBA64(p.bounds())
	for i := range p.W * p.H {
		px := p.Pix[3*i:]
		out.SetNRGBA64(i%p.W, i/p.W, color.NRGBA64{encoded(px[0]), encoded(px[1]), encoded(px[2]), 0xffff})
	}
	return out
}

// encoded is sRGB's 16-bit value of light.
func encoded(v uint16) uint16 {
	l := float64(v) / 65535
	if l <= 0.0031308 {
		l *= 12.92
	} else {
		l = 1.055*math.Pow(l, 1/2.4) - 0.055
	}
	return uint16(math.Round(l * 65535))
}
