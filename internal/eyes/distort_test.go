package eyes

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// A shot is the picture of a look as a file has it, 8 bits a colour, and the
// changes that a worse camera would make to it.
type shot struct{ *image.RGBA }

func shotOf(img image.Image) shot {
	out := image.NewRGBA(image.Rect(0, 0, img.Bounds().Dx(), img.Bounds().Dy()))
	draw.Draw(out, out.Rect, img, img.Bounds().Min, draw.Src)
	return shot{out}
}

// each changes every value, given as 0 to 255.
func (s shot) each(change func(v float64) float64) shot {
	out := image.NewRGBA(s.Rect)
	for i, v := range s.Pix {
		if out.Pix[i] = v; i%4 < 3 {
			out.Pix[i] = uint8(min(max(change(float64(v))+0.5, 0), 255))
		}
	}
	return shot{out}
}

// at is the values between camera pixels; the edge goes on outside.
func (s shot) at(x, y float64) (out [3]float64) {
	w, h := s.Rect.Dx(), s.Rect.Dy()
	x0, y0 := math.Floor(x), math.Floor(y)
	for _, n := range [4][2]float64{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
		k := (1 - math.Abs(x-x0-n[0])) * (1 - math.Abs(y-y0-n[1]))
		px := s.Pix[4*(min(max(int(y0+n[1]), 0), h-1)*w+min(max(int(x0+n[0]), 0), w-1)):]
		for c := range out {
			out[c] += k * float64(px[c])
		}
	}
	return out
}

// from takes every camera pixel of a picture of a size from somewhere else.
func (s shot) from(w, h int, where func(x, y float64) (float64, float64)) shot {
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			v := s.at(where(float64(x), float64(y)))
			out.SetRGBA(x, y, color.RGBA{uint8(v[0] + 0.5), uint8(v[1] + 0.5), uint8(v[2] + 0.5), 255})
		}
	}
	return shot{out}
}

// blurred is the picture through a soft lens, a bell of a width in camera
// pixels, one way after the other.
func (s shot) blurred(sigma float64) shot {
	reach := int(3*sigma + 1)
	bell := make([]float64, 2*reach+1)
	all := 0.0
	for i := range bell {
		bell[i] = math.Exp(-float64((i-reach)*(i-reach)) / (2 * sigma * sigma))
		all += bell[i]
	}
	w, h := s.Rect.Dx(), s.Rect.Dy()
	for _, way := range [2][2]int{{1, 0}, {0, 1}} {
		out := image.NewRGBA(s.Rect)
		for i := range w * h {
			sum := [4]float64{3: 255}
			for d, k := range bell {
				x, y := i%w+(d-reach)*way[0], i/w+(d-reach)*way[1]
				px := s.Pix[4*(min(max(y, 0), h-1)*w+min(max(x, 0), w-1)):]
				for c := range 3 {
					sum[c] += k * float64(px[c]) / all
				}
			}
			for c, v := range sum {
				out.Pix[4*i+c] = uint8(v + 0.5)
			}
		}
		s = shot{out}
	}
	return s
}

// compressed is the picture after JPEG.
func (s shot) compressed(t testing.TB, quality int) shot {
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, s.RGBA, &jpeg.Options{Quality: quality}))
	img, err := jpeg.Decode(&b)
	require.NoError(t, err)
	return shotOf(img)
}

// A distortion changes the pictures of all looks, and says where a point of
// them then lies.
type distortion struct {
	name  string
	shots func(t testing.TB, r *rand.Rand, looks []shot) []shot
	moves func(p Point, w, h int) Point // nil for nothing
}

// one makes a distortion of a change of single pictures.
func one(name string, change func(t testing.TB, r *rand.Rand, s shot) shot) distortion {
	return distortion{name: name, shots: func(t testing.TB, r *rand.Rand, looks []shot) []shot {
		var out []shot
		for _, s := range looks {
			out = append(out, change(t, r, s))
		}
		return out
	}}
}

func blurBy(sigma float64) distortion {
	return one(fmt.Sprintf("blur, sigma %.1f px", sigma), func(_ testing.TB, _ *rand.Rand, s shot) shot { return s.blurred(sigma) })
}

func gainBy(k float64) distortion {
	return one(fmt.Sprintf("gain %.2f", k), func(_ testing.TB, _ *rand.Rand, s shot) shot {
		return s.each(func(v float64) float64 { return v * k })
	})
}

func gammaBy(k float64) distortion {
	return one(fmt.Sprintf("gamma %.2f", k), func(_ testing.TB, _ *rand.Rand, s shot) shot {
		return s.each(func(v float64) float64 { return 255 * math.Pow(v/255, k) })
	})
}

func noiseBy(sigma float64) distortion {
	return one(fmt.Sprintf("noise, sigma %.0f of 255", sigma), func(_ testing.TB, r *rand.Rand, s shot) shot {
		return s.each(func(v float64) float64 { return v + sigma*r.NormFloat64() })
	})
}

func jpegAt(quality int) distortion {
	return one(fmt.Sprintf("JPEG %d", quality), func(t testing.TB, _ *rand.Rand, s shot) shot { return s.compressed(t, quality) })
}

// shakeBy moves every look by itself.
func shakeBy(px float64) distortion {
	return one(fmt.Sprintf("shift to %.0f px from look to look", px), func(_ testing.TB, r *rand.Rand, s shot) shot {
		dx, dy := (2*r.Float64()-1)*px, (2*r.Float64()-1)*px
		return s.from(s.Rect.Dx(), s.Rect.Dy(), func(x, y float64) (float64, float64) { return x + dx, y + dy })
	})
}

// turnBy turns all looks round the middle.
func turnBy(degrees float64) distortion {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	turn := func(p Point, sin float64, w, h int) Point {
		x, y := p.X-float64(w)/2, p.Y-float64(h)/2
		return Point{float64(w)/2 + cos*x - sin*y, float64(h)/2 + sin*x + cos*y}
	}
	out := one(fmt.Sprintf("turned by %.0f degrees", degrees), func(_ testing.TB, _ *rand.Rand, s shot) shot {
		w, h := s.Rect.Dx(), s.Rect.Dy()
		return s.from(w, h, func(x, y float64) (float64, float64) { p := turn(Point{x, y}, -sin, w, h); return p.X, p.Y })
	})
	out.moves = func(p Point, w, h int) Point { return turn(p, sin, w, h) }
	return out
}

// lensBy bends the picture as a lens does: a point moves out by a share of its
// distance from the middle, in the corners by k, elsewhere by the square of the
// distance less (the first term of the usual radial model, D. C. Brown 1966).
func lensBy(k float64) distortion {
	bent := func(p Point, k float64, w, h int) Point {
		x, y := p.X-float64(w)/2, p.Y-float64(h)/2
		far := (x*x + y*y) / (float64(w*w+h*h) / 4)
		return Point{float64(w)/2 + x*(1+k*far), float64(h)/2 + y*(1+k*far)}
	}
	straight := func(p Point, w, h int) Point { // the other way, by trying
		at := p
		for range 20 {
			off := bent(at, k, w, h).minus(p)
			at = at.minus(off)
		}
		return at
	}
	out := one(fmt.Sprintf("lens, %+.0f %% in the corners", 100*k), func(_ testing.TB, _ *rand.Rand, s shot) shot {
		w, h := s.Rect.Dx(), s.Rect.Dy()
		return s.from(w, h, func(x, y float64) (float64, float64) { p := straight(Point{x, y}, w, h); return p.X, p.Y })
	})
	out.moves = func(p Point, w, h int) Point { return bent(p, k, w, h) }
	return out
}

// cropBy takes a share off the left and the top, so that part of the prop may be
// outside.
func cropBy(share float64) distortion {
	out := one(fmt.Sprintf("cropped by %.0f %%", 100*share), func(_ testing.TB, _ *rand.Rand, s shot) shot {
		w, h := s.Rect.Dx(), s.Rect.Dy()
		dx, dy := math.Floor(share*float64(w)), math.Floor(share*float64(h))
		return s.from(w-int(dx), h-int(dy), func(x, y float64) (float64, float64) { return x + dx, y + dy })
	})
	out.moves = func(p Point, w, h int) Point {
		return Point{p.X - math.Floor(share*float64(w)), p.Y - math.Floor(share*float64(h))}
	}
	return out
}

// filmedAt is the looks as a film that ffmpeg compresses, one frame each.
func filmedAt(crf int) distortion {
	return distortion{name: fmt.Sprintf("H.264, crf %d", crf), shots: func(t testing.TB, _ *rand.Rand, looks []shot) []shot {
		w, h := looks[0].Rect.Dx()&^1, looks[0].Rect.Dy()&^1
		size := fmt.Sprintf("%dx%d", w, h)
		var in bytes.Buffer
		for _, s := range looks {
			for y := range h {
				in.Write(s.Pix[4*y*s.Rect.Dx() : 4*(y*s.Rect.Dx()+w)])
			}
		}
		film := filepath.Join(t.TempDir(), "film.mp4")
		to := exec.Command("ffmpeg", "-loglevel", "error", "-f", "rawvideo", "-pix_fmt", "rgba", "-s", size, "-r", "2", "-i", "pipe:0",
			"-c:v", "libx264", "-preset", "veryfast", "-crf", fmt.Sprint(crf), "-pix_fmt", "yuv420p", film)
		to.Stdin = &in
		said, err := to.CombinedOutput()
		require.NoError(t, err, "%s", said)
		back, err := exec.Command("ffmpeg", "-loglevel", "error", "-i", film, "-f", "rawvideo", "-pix_fmt", "rgba", "pipe:1").Output()
		require.NoError(t, err)
		var out []shot
		for rest := bytes.NewReader(back); rest.Len() > 0; {
			img := image.NewRGBA(image.Rect(0, 0, w, h))
			_, err := io.ReadFull(rest, img.Pix)
			require.NoError(t, err)
			out = append(out, shot{img})
		}
		return out
	}}
}

func distortions() []distortion {
	out := []distortion{blurBy(1), blurBy(2), gainBy(0.4), gainBy(1.5), gammaBy(0.75), gammaBy(1.3), noiseBy(4), noiseBy(10),
		shakeBy(1), shakeBy(3), turnBy(2), turnBy(-7), cropBy(0.05), cropBy(0.2), jpegAt(50), jpegAt(20)}
	if _, err := exec.LookPath("ffmpeg"); err == nil {
		out = append(out, filmedAt(23), filmedAt(32))
	}
	return append(out, lensBy(-0.05), lensBy(-0.1), lensBy(0.05))
}

// TestDistortedScenes reads the ray-traced scenes as worse cameras would have
// them: what must not happen is a wrong answer called sure. By lot each scene is
// changed in one way; RINGOUT_LONG=1 changes each in every way, and
// RINGOUT_SCENES names a folder of other scenes. testdata/eyes-proofs.md has the
// figures.
func TestDistortedScenes(t *testing.T) {
	t.Parallel()
	dirs := sceneDirs(t)
	all := distortions()
	sums := make([]tally, len(all))
	refused := make([]int, len(all))
	for i, d := range dirs {
		r := rand.New(rand.NewPCG(uint64(i), 16))
		if os.Getenv("RINGOUT_LONG") == "" && i > 1 {
			break
		}
		for k, how := range all {
			if os.Getenv("RINGOUT_LONG") == "" && k != (5*i+3)%16 {
				continue
			}
			t.Run(filepath.Base(d)+"/"+how.name, func(t *testing.T) {
				n, refusal := readDistorted(t, r, d, how)
				if refusal != nil {
					refused[k]++
					t.Logf("refused: %s", refusal.Text)
					return
				}
				t.Logf("%+v", n)
				sums[k] = tally{sums[k].right + n.right, sums[k].wrong + n.wrong, sums[k].unread + n.unread, sums[k].lost + n.lost}
				require.Zero(t, n.wrong)
				require.Zero(t, n.lost)
			})
		}
	}
	for k, how := range all {
		t.Logf("| %s | %d | %d | %d | %d |", how.name, sums[k].right, sums[k].wrong+sums[k].lost, sums[k].unread, refused[k])
	}
}

// readDistorted reads one scene changed in one way.
func readDistorted(t *testing.T, r *rand.Rand, dir string, how distortion) (tally, *Refusal) {
	s, _, is := loadScene(t, dir)
	var looks []shot
	for _, l := range s.Looks {
		b, err := os.ReadFile(filepath.Join(dir, l.File))
		require.NoError(t, err)
		img, _, err := image.Decode(bytes.NewReader(b))
		require.NoError(t, err)
		looks = append(looks, shotOf(img))
	}
	if w, h := looks[0].Rect.Dx(), looks[0].Rect.Dy(); how.moves != nil {
		for i, p := range is {
			at := how.moves(Point{p.X, p.Y}, w, h)
			is[i].X, is[i].Y = at.X, at.Y
		}
	}
	var pics []Picture
	for _, one := range how.shots(t, r, looks) {
		pics = append(pics, FromImage(one.RGBA))
	}
	markTwo(s, is, 1)
	got, err := Decode(s, pics)
	require.NoError(t, err)
	if got.Refusal != nil {
		return tally{}, got.Refusal
	}
	return count(t, got, is), nil
}
