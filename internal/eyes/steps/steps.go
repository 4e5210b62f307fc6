// Package steps is a proof by camera as steps: aim, mark, level, run, map. A Proof is a
// value, and each event makes the next one. It opens nothing and waits for nothing:
// internal/proving drives it, for the command line and for the Check screen, so that both
// have the same texts.
//
// Units are those of package eyes; places and looks count from 0 in values and
// from 1 in text.
package steps

import (
	"errors"
	"fmt"

	"example.org/ringout/internal/eyes"
)

// A Step is the step that a proof is at.
type Step uint8

// The steps, in their order.
const (
	Aim     Step = iota // the camera is moved until the whole prop is seen
	Mark                // planned places are marked in the picture
	Level               // the level is searched
	Run                 // the sequence runs
	Read                // the pictures are being read
	Map                 // the result of each place is known
	Stopped             // the camera cannot prove the prop; see Proof.Trouble
)

// Limits of the search and of the run.
const (
	mostLevels  = 3 // looks in which the level is found
	levelFactor = 4 // from one to the next: the window is two decades wide
	mostRuns    = 3
	mostRetakes = 2 // of one look
)

// A Proof is the state of a proof.
type Proof struct {
	Scene   *eyes.Scene // the plan; its marks are not used
	Step    Step
	Level   float64 // 0 to 1
	Sight   Sight
	Wanted  []int // places to be marked
	Marks   []eyes.Mark
	Partial bool // a second run of which part of the prop may be outside the picture
	Past    bool // the pictures were taken before: no search for the level, and no look taken again
	Unlit   bool // no light at any level; the sequence runs to prove that

	saw      bool          // one of these looks had enough light
	Levels   int           // number of looks of the search for the level
	Measures eyes.Measures // of the last of them
	Runs     int           // sequences that were begun
	Look     int           // the look shown
	Again    []int         // looks to be taken again
	Doubt    error         // something moved, or the prop's own light flickers: the pictures decide
	retaken  map[int]int

	Result  *eyes.Result // of all runs together
	Refused *eyes.Result // of the last pictures, if they were refused; else nil
	Text    string       // the state and what to do, in a sentence or two
	Trouble error        // why it stopped, or why more marks are needed
}

// New begins a proof at a level, 0 to 1, with marks that are known already.
func New(s *eyes.Scene, level float64, marks []eyes.Mark) Proof {
	return Proof{Scene: s, Level: level, Wanted: wanted(Places(s), marks), Marks: marks, Text: "Point the camera so that the whole prop is in the picture. Put it on something firm."}
}

// A Sight is the result of one picture while the camera is aimed.
type Sight struct {
	W, H    int // of the camera's picture
	Spots   []eyes.Point
	Spacing float64 // camera pixels between neighbours; 0 while too little is seen
	Blown   float64 // share of the spots that are too bright
}

// Good reports whether neighbours are far enough apart in the picture.
func (s Sight) Good() bool { return len(s.Spots) > 0 && s.Spacing >= eyes.LeastSpacing }

// Ready reports whether the camera may stay where it is.
func (s Sight) Ready() bool { return s.Good() && !s.atEdge() }

// edge is the least distance of a spot from the picture's edge, as a share of its smaller
// side.
const edge = 0.015

// atEdge reports whether a spot is at the edge: then part of the prop may be outside.
func (s Sight) atEdge() bool {
	d := edge * float64(min(s.W, s.H))
	for _, p := range s.Spots {
		if p.X < d || p.Y < d || p.X > float64(s.W)-d || p.Y > float64(s.H)-d {
			return true
		}
	}
	return false
}

// Words describe whether the sequence can be read from this sight.
func (s Sight) Words() string {
	switch {
	case len(s.Spots) == 0:
		return "The camera sees no light of the prop: turn it to the prop, and see that the prop is lit."
	case s.atEdge():
		return fmt.Sprintf("%.0f camera pixels between neighbours, but light touches the edge of the picture: go back a little, or turn the camera.", s.Spacing)
	case s.Spacing < eyes.LeastSpacing:
		return fmt.Sprintf("%.1f camera pixels between neighbours, at least %.1f are needed: come nearer.", s.Spacing, eyes.LeastSpacing)
	}
	return fmt.Sprintf("%.0f camera pixels between neighbours: good.", s.Spacing)
}

// Short is what to do, in short forms to be drawn large.
func (s Sight) Short() []string {
	switch {
	case s.W == 0:
		return []string{"Looking"}
	case len(s.Spots) == 0:
		return []string{"No light seen", "No light"}
	case s.atEdge():
		return []string{"Go back a little", "Go back"}
	case s.Spacing < eyes.LeastSpacing:
		return []string{"Come nearer"}
	}
	return []string{"Good: hold it there", "Good"}
}

// Aimed sets the newest sight.
func (p Proof) Aimed(s Sight) Proof {
	if p.Sight = s; p.Step == Aim {
		p.Text = s.Words()
	}
	return p
}

// Onward continues from the aim to the marks, or to the level when all marks are set.
func (p Proof) Onward() Proof {
	switch {
	case p.Step == Aim && !p.Sight.Good():
		return p
	case p.Step == Aim || p.Step == Mark:
		return p.toMarks()
	}
	return p
}

// Unaimed continues from the aim without a sight, as on the command line.
func (p Proof) Unaimed() Proof { return p.toMarks() }

// Enough ends the marking early. If more marks were needed because the map was not clear, the
// proof stops; otherwise the decoder decides.
func (p Proof) Enough() Proof {
	if p.Trouble != nil {
		return p.Stop(p.Trouble)
	}
	p.Wanted = nil
	return p.toMarks()
}

// Still is the sentence that asks to hold the camera still.
const Still = "Hold still."

// Back removes the last mark, or leads back to the aim when there is none.
func (p Proof) Back() Proof {
	switch {
	case p.Step == Mark && len(p.Marks) > 0:
		p.Marks = p.Marks[: len(p.Marks)-1 : len(p.Marks)-1]
		return p.toMarks()
	case p.Step == Mark:
		p.Step, p.Text = Aim, p.Sight.Words()
	}
	return p
}

func (p Proof) toMarks() Proof {
	switch {
	case len(p.Marks) >= len(p.Wanted) && p.Past:
		p.Text = ""
		return p.toRun()
	case len(p.Marks) >= len(p.Wanted):
		p.Step, p.Levels, p.saw, p.Trouble, p.Text = Level, 0, false, nil, "Finding the level. Hold still."
		return p
	}
	p.Step = Mark
	p.Text = p.askMark()
	return p
}

// Next is the place to be marked now, -1 when all are.
func (p Proof) Next() int {
	if len(p.Marks) >= len(p.Wanted) {
		return -1
	}
	return p.Wanted[len(p.Marks)]
}

func (p Proof) askMark() string {
	place := p.Next()
	run, at := p.Scene.RunOf(place)
	name := p.Scene.Runs[run].Name
	where := fmt.Sprintf("pixel %d of run %q", at+1, name)
	switch at {
	case 0:
		where = fmt.Sprintf("the first pixel of run %q", name)
	case len(p.Scene.Runs[run].Places) - 1:
		where = fmt.Sprintf("the last pixel of run %q", name)
	}
	out := fmt.Sprintf("Where is planned pixel %d, %s?", place+1, where)
	if len(p.Marks) == 0 {
		out += " The pixels that you mark tell which way round the prop lies."
	}
	return out
}

// reach is the largest distance, in spacings, at which a mark is moved to a spot.
const reach = 0.5

// Marked sets the mark of the place that Next names; near a spot, on the spot.
func (p Proof) Marked(at eyes.Point) Proof {
	if p.Step != Mark || p.Next() < 0 {
		return p
	}
	if s, d := p.Sight.nearest(at); d < reach*p.Sight.Spacing {
		at = s
	}
	p.Marks = append(p.Marks[:len(p.Marks):len(p.Marks)], eyes.Mark{Place: p.Next(), At: at})
	return p.toMarks()
}

func (p Proof) toRun() Proof {
	p.Step, p.Unlit, p.Look, p.Again, p.retaken, p.Trouble, p.Doubt = Run, false, 0, nil, map[int]int{}, nil, nil
	p.Runs++
	return p
}

// Showing sets the look that is shown in the run.
func (p Proof) Showing(look int) Proof {
	p.Look = look
	p.Text = fmt.Sprintf("Look %d of %d. Hold still.", look+1, len(p.Scene.Looks))
	if len(p.Again) > 0 {
		p.Text = fmt.Sprintf("Something moved in look %d: once more. Hold still.", look+1)
	}
	return p
}

// Ran handles the end of a sequence: disturbed looks are taken again, or the whole sequence
// when they are many.
func (p Proof) Ran(disturbed []eyes.Disturbance) Proof {
	var again []int
	whole := 3*len(disturbed) > len(p.Scene.Looks)
	for _, d := range disturbed {
		again = append(again, d.Look)
	}
	switch {
	case len(disturbed) == 0:
		p.Step, p.Again, p.Text = Read, nil, "Reading the pictures."
	case disturbed[0].Same:
		return p.RunAgain(disturbed[0].Refusal())
	case !whole && !p.Past:
		p.Again = again
		p.Text = fmt.Sprintf("Something moved in look %d: once more. Hold still.", again[0]+1)
	default:
		return p.doubted(disturbed[0].Refusal())
	}
	return p
}

// doubted reads pictures in which something changed: if that is the prop's own light, another
// run would not help.
func (p Proof) doubted(why error) Proof {
	p.Step, p.Again, p.Doubt, p.Text = Read, nil, why, "Reading the pictures."
	return p
}

// RunAgain begins the sequence once more, or stops after mostRuns.
func (p Proof) RunAgain(why error) Proof {
	if p.Past || p.Runs >= mostRuns {
		return p.Stop(why)
	}
	p = p.toRun()
	p.Text = "It was not seen whole: the sequence runs once more. Hold still."
	if moved := (*eyes.Refusal)(nil); errors.As(why, &moved) {
		p.Text = "Something moved: the sequence runs once more. Hold still."
	}
	return p
}

// Retaken handles the result of a look that was taken again.
func (p Proof) Retaken(look int, disturbed bool) Proof {
	tries := map[int]int{}
	for k, n := range p.retaken {
		tries[k] = n
	}
	tries[look]++
	p.retaken = tries
	if disturbed && tries[look] < mostRetakes {
		return p
	}
	var left []int
	for _, k := range p.Again {
		if k != look {
			left = append(left, k)
		}
	}
	p.Again = left
	switch {
	case disturbed:
		return p.doubted(eyes.Disturbance{Look: look}.Refusal())
	case len(left) == 0:
		p.Step, p.Text = Read, "Reading the pictures."
	}
	return p
}

// Scened is the scene with the current marks.
func (p Proof) Scened() *eyes.Scene {
	s := *p.Scene
	s.Marks, s.Level, s.Partial = p.Marks, p.Level, p.Partial
	return &s
}

// Decoded handles the result of the pictures. A refusal stops the proof, unless an earlier
// run has given a map.
func (p Proof) Decoded(r *eyes.Result) Proof {
	if p.Refused = nil; r.Refusal != nil {
		p.Refused = r
	}
	if p.Doubt != nil && (r.Refusal != nil || !r.Flickers()) {
		return p.RunAgain(p.Doubt)
	}
	if r.Refusal != nil {
		return p.refused(r.Refusal)
	}
	if p.Result != nil {
		r = eyes.Merge(p.Result, r)
	}
	p.Result, p.Step = r, Map
	p.Text = ""
	if n := p.Unread(); n > 0 {
		p.Text = fmt.Sprintf("%d of %d places were not read: come nearer to them, or run it again from another side.", n, len(r.Places))
	}
	return p
}

// refused is the proof after pictures that were refused.
func (p Proof) refused(why *eyes.Refusal) Proof {
	switch {
	case why.Kind == eyes.Moved && p.Runs < mostRuns:
		return p.RunAgain(why)
	case p.Result != nil:
		p.Step = Map
		p.Text = "The second run says nothing: " + why.Text + "."
		return p
	case why.Kind == eyes.NoMap && len(p.Marks) < 4 && len(p.Scene.Places()) >= 4:
		return p.moreMarks(why)
	}
	return p.Stop(why)
}

// moreMarks asks for more marks when the first ones leave the map open.
func (p Proof) moreMarks(why *eyes.Refusal) Proof {
	if p.Wanted = wanted(fourOf(p.Scene), p.Marks); len(p.Wanted) <= len(p.Marks) {
		return p.Stop(why)
	}
	p.Step, p.Trouble = Mark, why
	p.Text = fmt.Sprintf("%d marks leave open how the plan lies in the picture: %d more. ", len(p.Marks), len(p.Wanted)-len(p.Marks)) + p.askMark()
	return p
}

// Stop ends the proof without a result; the questions of the check-out continue.
func (p Proof) Stop(why error) Proof {
	p.Step, p.Trouble, p.Text = Stopped, why, why.Error()
	return p
}
