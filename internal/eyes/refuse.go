package eyes

import (
	"fmt"
	"image"
	"math"
	"slices"

	"example.org/ringout/internal/words"
)

// Limits below which pictures are refused. The figures come from a prototype's
// trials on ray-traced scenes, none from a real camera.
const (
	LeastSpacing = 4.6  // camera pixels between neighbours
	MostBlown    = 0.15 // share of spots that are clipped beyond reading
	LeastSignal  = 12   // times the camera's noise
	LeastAgree   = 0.95 // share of the spots, by weight, that lie on a planned place
	noLight      = 5    // times the noise: noise alone may reach this
	leastStill   = 0.6  // share of a look's light that lies where the other looks have it
	mostJump     = 0.4  // spacings from look to look: at 0.5 a line of pixels is off by one
	doubtedJump  = 0.3  // the same, when the words of many places do not fit
	mostMisfits  = 0.33 // share of such places
	mostOffMark  = 0.6  // spacings from a mark to its place
	mostOffPlan  = 0.12 // spacings, root mean square, from the spots to the plan
	mostOffHeld  = 0.25 // the same with four marks
	leastLead    = 0.03 // lead in score of the best layout over another
	leastFollows = 12   // neighbours with continuing data, for layout.clearer
	unsureWeight = 0.15 // weight of a bright spot without a word
	closeFit     = 0.1  // spacings from the spots to a plan that fits closely
	looseFit     = 1.7  // times closeFit or more for a layout that is wrong
	mostRival    = 0.8  // share of the neighbours with continuing data that a wrong layout may have
)

// A RefusalKind is the reason why pictures are not read.
type RefusalKind string

// The kinds of refusal.
const (
	TooFar     RefusalKind = "too far"
	TooBright  RefusalKind = "too bright"
	TooDim     RefusalKind = "too dim"
	Moved      RefusalKind = "moved"
	NoSpots    RefusalKind = "no light"
	NoScene    RefusalKind = "nothing to see"
	NoMarks    RefusalKind = "not marked"
	NoMap      RefusalKind = "no map"
	Smeared    RefusalKind = "compressed"
	OutOfFrame RefusalKind = "out of the picture"
	NoPictures RefusalKind = "no pictures" // the camera or film gave none; not from Decode
)

// A Refusal is the reason why pictures cannot be read, and what to do.
type Refusal struct {
	Kind RefusalKind
	Text string // one sentence with the remedy
}

// Error returns the sentence.
func (r *Refusal) Error() string { return r.Text }

func refuse(kind RefusalKind, format string, a ...any) *Refusal {
	return &Refusal{kind, fmt.Sprintf(format, a...)}
}

// Measures is the quality of the pictures.
type Measures struct {
	Spacing float64 // camera pixels between neighbours
	Blown   float64 // share of spots that are clipped
	Signal  float64 // light of the median spot over the noise
	Jump    float64 // largest shift of the picture from one code look to the next, in spacings
	Still   float64 // smallest share of a look's light that stays in its place
	Agree   float64 // share of spots, by weight, on planned places
	OffMark float64 // largest distance of a mark from its place, in spacings
}

// refusal is the first limit that the measures break, nil for none. The limits of
// the layout are checked in mapRefusal.
func (m Measures) refusal() *Refusal {
	switch {
	case m.Spacing < LeastSpacing:
		return refuse(TooFar, "neighbours are %.1f camera pixels apart, at least %.1f are needed: come nearer, or choose a larger picture size", m.Spacing, LeastSpacing)
	case m.Blown > MostBlown:
		return refuse(TooBright, "%s of the spots are too bright for the camera, at most %s may be: lower the level, or the camera's exposure", words.WholePercent(m.Blown), words.WholePercent(MostBlown))
	case m.Signal < noLight:
		return refuse(TooDim, "no light of the prop is seen, only %.0f times the camera's noise: see that the prop has power and data; if it is lit, raise the level, darken the room, or raise the exposure", m.Signal)
	case m.Signal < LeastSignal:
		return refuse(TooDim, "the light is %.0f times the camera's noise, at least %d times is needed: raise the level, darken the room, or raise the exposure", m.Signal, LeastSignal)
	case m.Still < leastStill || m.Jump > mostJump:
		return movedRefusal()
	}
	return nil
}

func movedRefusal() *Refusal {
	return refuse(Moved, "the picture moved during the sequence, or someone walked through it: put the camera on something firm and run it again")
}

// noise is the camera's noise in the black look, 0 to 1, as a standard deviation:
// from second differences along rows, at least half a step of an 8-bit picture.
func noise(black Picture, part image.Rectangle) float64 {
	var all []float64
	for y := part.Min.Y; y < part.Max.Y; y += 3 {
		for x := part.Min.X; x+2 < part.Max.X; x += 3 {
			i := 3*(y*black.W+x) + 1
			a, b, c := float64(black.Pix[i]), float64(black.Pix[i+3]), float64(black.Pix[i+6])
			all = append(all, math.Abs(a-2*b+c)/math.Sqrt(6))
		}
	}
	least := step8(black, part) / 2
	return max(1.4826*median(all), least) / 65535
}

// step8 is one step of an 8-bit picture at the median light of the black look, of
// 65535.
func step8(black Picture, part image.Rectangle) float64 {
	var all []float64
	for y := part.Min.Y; y < part.Max.Y; y += 8 {
		for x := part.Min.X; x < part.Max.X; x += 8 {
			all = append(all, float64(black.Pix[3*(y*black.W+x)+1]))
		}
	}
	v := uint16(median(all))
	i, _ := slices.BinarySearch(linear[:], v)
	i = min(i, 254)
	return float64(linear[i+1]) - float64(linear[i])
}
