package eyes

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// A stage is a made-up prop before a made-up camera, for trials in number. It
// shares no code with the decoder but the list of looks. Its light: a disc a
// pixel, a glow along the tube, a wide haze, mirror images. Its camera: pinhole,
// vignette, colour crosstalk, wandering exposure and white balance, shake,
// clipping, shot and read noise, row bands, JPEG with halved colour.
type stage struct {
	r        *rand.Rand
	scene    *Scene
	w, h     int
	at       []Point
	pixels   []seen
	ghosts   []ghost
	exposure float64
	ambient  float64
	disc     float64 // radius, of the spacing
	glow     float64 // share of light in the glow
	haze     float64
	noise    float64
	jitter   float64 // of the exposure from look to look
	balance  float64
	shake    float64 // camera pixels
	quality  int
	spacing  float64
	mix      [4][3]float64
	faults   []string
}

// A seen is what one pixel does: where its data begins and how bright its
// lights are.
type seen struct {
	slot  int // -1 for dark
	chip  int
	order []int // light of each slot
	gain  [4]float64
	stuck []int   // lights that shine always
	odd   float64 // chance to flash in a look
}

type ghost struct {
	of    int
	at    Point
	share float64
}

func between(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

func newStage(seed uint64) *stage {
	r := rand.New(rand.NewPCG(seed, 16))
	s := &stage{r: r}
	s.w, s.h = 640, 480
	if r.IntN(3) == 0 {
		s.w, s.h = 1280, 720
	}
	s.scene = s.prop()
	s.camera()
	s.place()
	s.wire()
	return s
}

func (s *stage) camera() {
	r := s.r
	s.exposure = math.Exp(between(r, math.Log(0.08), math.Log(1.3)))
	s.ambient = between(r, 0, 0.25)
	if r.IntN(8) == 0 {
		s.ambient = between(r, 0.3, 0.7)
	}
	s.disc = between(r, 0.1, 0.25)
	s.glow = between(r, 0, 0.5)
	s.haze = between(r, 0, 0.06)
	s.noise = between(r, 0.2, 2.5)
	s.jitter = between(r, 0, 0.12)
	s.balance = between(r, 0, 0.04)
	s.shake = between(r, 0, 1)
	s.quality = 60 + r.IntN(36)
	for l := range 3 {
		for c := range 3 {
			s.mix[l][c] = between(r, 0, 0.22)
		}
		s.mix[l][l] = between(r, 0.6, 1)
		for c := range 3 {
			s.mix[3][c] += s.mix[l][c] * 0.6
		}
	}
}

// prop draws one of four kinds of prop.
func (s *stage) prop() *Scene {
	r := s.r
	out := &Scene{Order: "GRB", Slots: 3, Level: 0.2}
	switch r.IntN(4) {
	case 0:
		n := 12 + r.IntN(20)
		for i := range 1 + r.IntN(3) {
			out.Runs = append(out.Runs, circle(n+i*(4+r.IntN(8)), float64(n+i*12)/60/6.3))
		}
	case 1:
		for i := range 1 + r.IntN(5) {
			out.Runs = append(out.Runs, lineRun(10+r.IntN(30), 0, -0.06*float64(i)))
		}
	case 2:
		out.Runs = append(out.Runs, lineRun(30+r.IntN(90), 0, 0))
	case 3:
		out.Runs = append(out.Runs, zigzag(20+r.IntN(60), r), lineRun(10+r.IntN(10), 0.1, -0.25))
	}
	if r.IntN(4) == 0 {
		out.Slots, out.Order = 4, "GRBW"
	}
	n := len(out.Places())
	words, err := Table(n)
	if err != nil {
		panic(err)
	}
	out.Words, out.Looks = words, Looks(out.Slots, len(words[0]))
	return out
}

func circle(n int, radius float64) Run {
	out := Run{Name: "ring"}
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out.Places = append(out.Places, Point{radius * sin, radius * cos})
	}
	return out
}

func lineRun(n int, x, y float64) Run {
	out := Run{Name: "line"}
	for i := range n {
		out.Places = append(out.Places, Point{x + float64(i)/60, y})
	}
	return out
}

func zigzag(n int, r *rand.Rand) Run {
	out := Run{Name: "zigzag"}
	at, turn := Point{}, 0.4
	for i := range n {
		if i%(6+r.IntN(3)) == 0 {
			turn = -turn
		}
		at = at.plus(Point{math.Cos(turn*2) / 60, math.Sin(turn*2) / 60})
		out.Places = append(out.Places, at)
	}
	return out
}

// place puts the prop before the camera: turned, tilted, a little bent.
func (s *stage) place() {
	r := s.r
	plan := s.scene.Places()
	f := frameOf(plan)
	angle, axis, turn, far := between(r, 0, 0.85), between(r, 0, 3.1), between(r, -0.5, 0.5), between(r, 3, 6)
	if r.IntN(6) == 0 {
		turn = between(r, -3.1, 3.1)
	}
	bend := between(r, 0, 0.12) / 60 / f.size
	px, py := between(r, 0, 6), between(r, 0, 6)
	lo, hi := Point{1e9, 1e9}, Point{-1e9, -1e9}
	for _, p := range plan {
		q := f.in(p)
		q = q.plus(Point{bend * math.Sin(3*q.Y+px), bend * math.Sin(3*q.X+py)})
		q = pinhole(q, axis, angle, turn, far)
		s.at = append(s.at, q)
		lo = Point{min(lo.X, q.X), min(lo.Y, q.Y)}
		hi = Point{max(hi.X, q.X), max(hi.Y, q.Y)}
	}
	fill := between(r, 0.5, 0.9)
	k := fill * min(float64(s.w)/(hi.X-lo.X+1), float64(s.h)/(hi.Y-lo.Y+1))
	var all []float64
	for i := range s.at {
		s.at[i] = Point{(s.at[i].X-(lo.X+hi.X)/2)*k + float64(s.w)/2, (s.at[i].Y-(lo.Y+hi.Y)/2)*k + float64(s.h)/2}
		if i > 0 {
			all = append(all, distance(s.at[i], s.at[i-1]))
		}
	}
	s.spacing = median(all)
}

// wire lays the data through the pixels, with faults.
func (s *stage) wire() {
	r := s.r
	n := len(s.at)
	path := make([]int, n) // places in the order that data reaches them
	for i := range path {
		path[i] = i
	}
	s.misroute(path)
	hidden, open := -1, n
	if r.IntN(5) == 0 {
		hidden = r.IntN(n)
		s.faults = append(s.faults, fmt.Sprintf("hidden before %d", hidden))
	}
	if r.IntN(5) == 0 {
		open = r.IntN(n)
		s.faults = append(s.faults, fmt.Sprintf("open at %d", open))
	}
	s.pixels = make([]seen, n)
	slot, chip := 0, s.scene.Slots
	if r.IntN(7) == 0 {
		chip = 7 - chip
		s.faults = append(s.faults, "other chip")
	}
	for i, place := range path {
		if i == hidden {
			slot += chip
		}
		s.pixels[place] = s.pixel(slot, chip)
		if i >= open || slot >= s.scene.Slots*len(s.scene.Words) {
			s.pixels[place].slot = -1
		}
		slot += chip
	}
	s.single()
	s.ghost()
}

func (s *stage) misroute(path []int) {
	if len(s.scene.Runs) < 2 {
		return
	}
	a := len(s.scene.Runs[0].Places)
	switch s.r.IntN(5) {
	case 0:
		for i, j := 0, a-1; i < j; i, j = i+1, j-1 {
			path[i], path[j] = path[j], path[i]
		}
		s.faults = append(s.faults, "mirrored")
	case 1:
		b := len(s.scene.Runs[1].Places)
		both := append(append([]int(nil), path[a:a+b]...), path[:a]...)
		copy(path, both)
		s.faults = append(s.faults, "swapped")
	}
}

func (s *stage) pixel(slot, chip int) seen {
	out := seen{slot: slot, chip: chip, order: []int{1, 0, 2}}
	if chip == 4 {
		out.order = []int{1, 0, 2, 3}
	}
	k := between(s.r, 0.8, 1.1)
	for l := range out.gain {
		out.gain[l] = k * between(s.r, 0.92, 1.08)
	}
	return out
}

// single adds faults of single pixels.
func (s *stage) single() {
	r := s.r
	some := func(chance int, what string, do func(p *seen)) {
		if r.IntN(chance) != 0 {
			return
		}
		for range 1 + r.IntN(3) {
			i := r.IntN(len(s.pixels))
			do(&s.pixels[i])
			s.faults = append(s.faults, fmt.Sprintf("%s %d", what, i+1))
		}
	}
	some(3, "dead", func(p *seen) { p.slot = -1 })
	some(4, "lost", func(p *seen) { p.gain[r.IntN(3)] = 0 })
	some(6, "stuck", func(p *seen) { p.slot, p.stuck = -2, []int{r.IntN(3)} })
	some(5, "flicker", func(p *seen) { p.odd = 0.1 })
	some(5, "weak", func(p *seen) {
		k := between(r, 0.25, 0.7)
		for l := range p.gain {
			p.gain[l] *= k
		}
	})
}

func (s *stage) ghost() {
	if s.r.IntN(4) != 0 {
		return
	}
	by := Point{between(s.r, -80, 80), between(s.r, 20, 80)}
	for i, p := range s.at {
		s.ghosts = append(s.ghosts, ghost{i, p.plus(by), between(s.r, 0.02, 0.15)})
	}
	s.faults = append(s.faults, "mirror")
}
