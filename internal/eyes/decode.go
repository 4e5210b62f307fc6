package eyes

import (
	"fmt"
	"math"

	"example.org/ringout/internal/parallel"
	"example.org/ringout/internal/words"
)

// A State is the state of a place.
type State string

// The states of a place.
const (
	Read   State = "read"   // its slot is known for sure
	Dark   State = "dark"   // no light
	Stuck  State = "stuck"  // lit in the black look
	Unread State = "unread" // light, but its slot is not sure
)

// A Spot is one light in the picture.
type Spot struct {
	At      Point // in the first of the looks in which all light
	Light   float64
	Reading Reading
}

// A Place is the result for one planned place.
type Place struct {
	At      Point // in the picture
	State   State
	Reading Reading // valid only when State is Read

	Unsteady int // number of looks during which its light changed; see Result.Watched
}

// A Result is the result of Decode.
type Result struct {
	Spots    []Spot
	Places   []Place // of every planned place; empty without a map
	Measures Measures
	Usual    string   // the colour order that most spots show, "" when few agree
	Refusal  *Refusal // why there is no map, nil when there is one

	Unlit   bool    // no place lit in any look and all count as dark; the prop may have been outside the picture
	Watched bool    // each look had several frames, so that flickering light shows
	Sparks  bool    // places flash in the black look
	Beside  int     // number of looks in which something changed away from the prop
	moved   []Point // shift of each look against the first of those in which all pixels light
}

// Decode reads the pictures of a scene, one a look. An error is one sentence about
// pictures that do not belong together; Result.Refusal says why pictures cannot be
// read.
func Decode(s *Scene, looks []Picture) (*Result, error) {
	if err := check(s, looks); err != nil {
		return nil, err
	}
	d := &decoder{scene: s, looks: looks, finder: newFinder(s, looks), reader: newReader(s)}
	d.peaks = d.finder.find()
	d.result.Measures.Spacing = d.finder.spacing
	if len(d.peaks) > 0 {
		d.readSpots()
	}
	if d.unlit() {
		return &d.result, nil
	}
	if d.result.Refusal = d.layPlan(); d.result.Refusal == nil {
		d.readPlaces()
		if d.result.Measures.Jump > doubtedJump && d.misfits() > mostMisfits {
			d.result.Places, d.result.Refusal = nil, movedRefusal()
		}
	}
	d.result.moved = d.finder.moved
	return &d.result, nil
}

func check(s *Scene, looks []Picture) error {
	if len(looks) != len(s.Looks) {
		return fmt.Errorf("%d pictures for %d looks: give one a look", len(looks), len(s.Looks))
	}
	for i, p := range looks {
		if p.W != looks[0].W || p.H != looks[0].H {
			return fmt.Errorf("the picture of look %q is %d by %d, the first is %d by %d: take all with one setting of the camera",
				s.Looks[i].Name(), p.W, p.H, looks[0].W, looks[0].H)
		}
		if p.W < 16 || p.H < 16 {
			return fmt.Errorf("the pictures are %d by %d: give pictures of a camera", p.W, p.H)
		}
	}
	return nil
}

// A decoder holds the state of one Decode.
type decoder struct {
	scene  *Scene
	looks  []Picture
	finder *finder
	reader *reader
	peaks  []peak
	taker  *sampler
	middle float32 // light of a pixel of strength 1
	layout layout
	result Result
}

// readSpots reads every spot by itself, after the camera's mix of colours was
// found from all of them, and once more after the usual order was.
func (d *decoder) readSpots() {
	samples := d.sample()
	d.reader.setMix(purest(samples))
	d.result.Spots = make([]Spot, len(samples))
	parallel.Each(len(samples), func(i int) {
		s := samples[i]
		d.reader.limitBright(s.light, 0)
		d.result.Spots[i] = Spot{At: d.peaks[i].at, Light: float64(s.peak), Reading: d.reader.read(s.light)}
	})
	d.findUsual()
	d.measure(samples)
	parallel.Each(len(samples), func(i int) {
		d.result.Spots[i].Reading = d.reader.read(samples[i].light)
		d.reader.judge(&d.result.Spots[i].Reading)
	})
}

// sample takes the light of every spot.
func (d *decoder) sample() []sample {
	gain := make([]float32, len(d.looks))
	for i := range gain {
		gain[i] = 1
	}
	d.taker = &sampler{looks: d.looks, black: d.finder.black, moved: d.finder.moved, gain: gain}
	samples := make([]sample, len(d.peaks))
	parallel.Each(len(samples), func(i int) { samples[i] = d.taker.take(d.peaks[i].at, d.finder.spacing) })
	return samples
}

// findUsual sets, from the first reading of all spots, the usual order (the
// planned one if there is none) and whether nearly all pixels begin at the first
// slot of a planned pixel.
func (d *decoder) findUsual() {
	d.result.Usual = usualOrder(d.result.Spots)
	if d.result.Usual != "" {
		d.reader.setUsual(d.result.Usual)
	} else {
		d.reader.setUsual(d.scene.Order)
	}
	whole, all := 0, 0
	for _, s := range d.result.Spots {
		if x := s.Reading; x.Fits > 0.7 && x.lost < 0 {
			all++
			if x.Chip == d.scene.Slots && x.Slot%d.scene.Slots == 0 {
				whole++
			}
		}
	}
	d.reader.whole = all > 0 && float64(whole) > 0.9*float64(all)
}

// usualOrder is the order that most well read spots show.
func usualOrder(spots []Spot) string {
	count := map[string]int{}
	all := 0
	for _, s := range spots {
		if s.Reading.Fits > 0.7 && s.Reading.lost < 0 {
			count[s.Reading.Order]++
			all++
		}
	}
	for o, n := range count {
		if 2*n > all {
			return o
		}
	}
	return ""
}

// measure fills in the measures from the strongest spots. Weak ones beyond the
// number of places are mirror images, or light on a wall.
func (d *decoder) measure(samples []sample) {
	var light []float32
	blown, n := 0.0, 0.0
	for _, s := range samples[:min(len(samples), len(d.scene.Places()))] {
		light = append(light, s.peak)
		n++
		if s.usable < 0.35 {
			blown++
		}
	}
	d.middle = median(light)
	m := &d.result.Measures
	m.Blown = blown / n
	m.Signal = float64(d.middle) / noise(d.looks[d.finder.black], d.finder.crop)
	m.Still = 1
	for k, s := range d.finder.still {
		if k != d.finder.black {
			m.Still = min(m.Still, s)
		}
	}
	last := Point{}
	for _, k := range d.scene.coded() {
		m.Jump = max(m.Jump, distance(d.finder.moved[k], last)/d.finder.spacing)
		last = d.finder.moved[k]
	}
}

// misfits is the share of well read places of which a look or two do not fit.
func (d *decoder) misfits() float64 {
	n, left := 0.0, 0.0
	for _, p := range d.result.Places {
		if p.Reading.good() {
			n++
			left += float64(min(p.Reading.Left, 1))
		}
	}
	return left / max(n, 1)
}

// layPlan finds the layout of the plan over the spots. It refuses when the camera
// does not see well enough, or when another layout is about as good.
func (d *decoder) layPlan() *Refusal {
	m := &d.result.Measures
	if r := m.refusal(); r != nil {
		return r
	}
	if len(d.scene.Marks) < 2 {
		return refuse(NoMarks, "no places are marked: mark planned pixel 1 and one more in the picture, four on an irregular prop; a picture cannot tell a shift from a turn")
	}
	all := d.layer().lay()
	if len(all) == 0 {
		return refuse(NoMap, "the spots do not lie as planned: see that the marks are right and the whole prop is in the picture; or mark four places")
	}
	d.layout = all[0]
	m.Agree, m.OffMark, m.Spacing = all[0].agree, all[0].marked, all[0].spacing
	return d.mapRefusal(all)
}

// layer makes a layer of the spots, without dim doubles of another spot and with
// little weight for spots without a word.
func (d *decoder) layer() *layer {
	var spots []Point
	var weight []float64
	var slot []int
	brightest := map[int]float64{}
	for _, s := range d.result.Spots {
		if s.Reading.Sure {
			brightest[s.Reading.Slot] = math.Max(brightest[s.Reading.Slot], s.Light)
		}
	}
	for _, s := range d.result.Spots {
		w := math.Min(1, s.Light/float64(d.middle))
		if !s.Reading.Sure {
			w *= unsureWeight * w * w // glints in a tube and light on a wall are dim and have no word
		}
		if s.Reading.Sure && s.Light < echoLight*brightest[s.Reading.Slot] || w < 0.01 {
			continue
		}
		spots = append(spots, s.At)
		weight = append(weight, w)
		if slot = append(slot, -1); s.Reading.Sure {
			slot[len(slot)-1] = s.Reading.Slot
		}
	}
	l := newLayer(d.scene, spots, d.finder.spacing)
	l.weight, l.slot, l.chip = weight, slot, d.chip()
	return l
}

// chip is the number of slots that most sure spots take, 3 or 4.
func (d *decoder) chip() int {
	count := map[int]int{}
	for _, s := range d.result.Spots {
		if s.Reading.Sure {
			count[s.Reading.Chip]++
		}
	}
	if count[4] > count[3] {
		return 4
	}
	return 3
}

func (d *decoder) mapRefusal(all []layout) *Refusal {
	m := &d.result.Measures
	best := all[0]
	switch {
	case m.Spacing < LeastSpacing:
		return m.refusal()
	case best.agree < LeastAgree && d.smeared():
		return refuse(Smeared, "%s of the spots lie where the plan has pixels, at least %s must; most show more than the light of their look: it is too bright, or the film is compressed hard; lower the level, film with the best quality the phone has, and from nearer",
			words.WholePercent(best.agree), words.WholePercent(LeastAgree))
	case best.agree < LeastAgree:
		return refuse(NoMap, "%s of the spots lie where the plan has pixels, at least %s must: mark the places again; see that the whole prop is in the picture and no mirror; or mark four places",
			words.WholePercent(best.agree), words.WholePercent(LeastAgree))
	case best.off > d.mostOff():
		return refuse(NoMap, "the spots lie %.2f spacings beside the plan: a side could have slipped by a pixel unseen; mark four places, the corners best; or put the prop as it is into its file", best.off)
	case best.marked > mostOffMark:
		return refuse(NoMap, "the plan fits the picture only %.1f spacings beside a mark: mark the middle of the pixels again, nearer if you can", best.marked)
	}
	for _, other := range all[1:] {
		if other.score() > best.score()-leastLead && best.far(other) > 0.5 && !best.clearer(other) {
			return refuse(NoMap, "the plan fits the picture in two ways that are as good: mark two more places far from the others")
		}
	}
	for _, p := range best.at {
		if d.outside(p) && !d.scene.Partial {
			return refuse(OutOfFrame, "part of the prop lies outside the picture: go back a little, or turn the camera, and run it again")
		}
	}
	return nil
}

// smeared reports whether some looks do not fit the word at most of the spots that
// may be pixels. With a steady prop that happens when film compression carries
// light from one look into the next, or when too much light mixes the colours.
func (d *decoder) smeared() bool {
	n := min(len(d.result.Spots), len(d.scene.Places()))
	left := 0
	for _, s := range d.result.Spots[:n] {
		if s.Reading.Left > 0 {
			left++
		}
	}
	return 2*left > n
}

// mostOff is the largest root-mean-square distance of the spots from the plan, in
// spacings. It is larger with four marks, which fix a prop that is not bent as
// drawn.
func (d *decoder) mostOff() float64 {
	if len(d.scene.Marks) >= 4 {
		return mostOffHeld
	}
	return mostOffPlan
}

// outside reports whether a place lies outside the picture.
func (d *decoder) outside(p Point) bool {
	return p.X < -1 || p.Y < -1 || p.X > float64(d.looks[0].W) || p.Y > float64(d.looks[0].H)
}

// far is the largest distance of a place between two layouts, in spacings. Places
// without a spot in both are left out.
func (l layout) far(other layout) float64 {
	far := 0.0
	for i := range l.at {
		if l.spot[i] >= 0 || other.spot[i] >= 0 {
			far = math.Max(far, distance(l.at[i], other.at[i]))
		}
	}
	return far / math.Max(l.spacing, 1)
}

// clearer reports whether the spots decide for a layout against another: they lie
// much closer to it, or many more neighbours in its runs have continuing data. A
// layout that is shifted or turned keeps neighbours and distances, so this never
// decides against it.
func (l layout) clearer(other layout) bool {
	if l.off < closeFit && other.off > looseFit*l.off {
		return true
	}
	return l.follows >= leastFollows && float64(other.follows) < mostRival*float64(l.follows)
}
