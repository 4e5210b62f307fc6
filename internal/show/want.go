// Package show is the frame clock: it makes the frames of a Want when they are due,
// dims and limits them, puts them into slots and gives these to a sender. All of this
// runs in one goroutine; see Run.
//
// The stages of a frame are in draw.go: pattern or probe, mask, level and limiter
// (limiter.go), flash guard (guard.go), patch, Output. A new Want is drawn at once, a
// pattern in Auto at each step (walk.go); an unchanged frame is neither computed nor
// sent to the Output again. Levels are shares from 0 to 1, currents are amps, speeds
// are steps per second.
package show

import (
	"context"
	"time"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol/link"
)

// A Want is the whole wanted state; its zero value is black. A skipped Want
// does no harm, since the next one is complete. Its slices must not be written
// after Set.
//
// Step counts when it, Pattern or Serial differs from the Want before;
// otherwise the show stays at the step it has reached, so that a new level or
// colour does not jump and the end of Auto is a pause. To go back to a Step
// that was asked for before (first pixel, after a walk), change Serial too.
type Want struct {
	Pattern  string            // ID; empty is black, and so is one that does not exist
	Settings patterns.Settings // Pixels, Channels and Starts are filled in by the show, Speed is limited to the pattern's limit
	Step     int               // the step of a stepped pattern; later steps of an Auto run are counted from it
	Auto     bool              // stepped patterns walk by themselves at Settings.Speed
	Level    float64           // 0 to 1; NaN counts as 0
	Frames   FrameFunc         // shown instead of Pattern when set: probes, single parts
	Only     *Span             // if set, the pattern runs in these pixels only, as if there were no others; ignored with Frames
	Mask     []Span            // when not empty, pixels outside stay dark
	Ended    bool              // the stream is ended and silent until a Want without it; see Pauser
	Serial   int               // a change makes Step count and starts the pattern's time again; change it with Frames
}

// A FrameFunc is a pattern of the caller's own.
type FrameFunc = patterns.FrameFunc

// A Span is a range of pixels, both ends included, from 0.
type Span = prop.Span

// A Snapshot is the last state of the show. It is never written once handed
// out, and counts are cumulative, so a skipped one loses nothing.
type Snapshot struct {
	Want    Want
	Wanted  patterns.Frame // before level and limiter: the light a correct strip shows at full level
	Sent    patterns.Frame // after them: what went out
	Moment  patterns.Moment
	Speed   float64 // steps per second in force, 0 when nothing walks
	Level   float64 // in force after the limiter
	Limited bool    // the limiter lowers the level
	NoLight bool    // the supply has no current left for light: all pixels are dark
	Held    bool    // the newest frame waits because the strip would flash; Sent is the one before
	Holds   int     // how often that has happened so far
	Amps    float64 // estimated current of Sent
	MaxAmps float64 // what the limiter allows
	Links   []link.Status
	Still   bool // it differs from the one before in nothing but At, Holds and the counts of Links
	At      time.Time
}

// An Output takes slots and sends them; link.Sender is one, tests have fakes.
type Output interface {
	// Put hands over the newest slots of every universe, in the order of
	// the universes that Open opens. It copies, never waits and never fails; errors are in Status.
	Put(slots [][]byte)
	// Status is the state of each universe.
	Status() []link.Status
	// Close sends black, then three packets with Stream_Terminated on every
	// universe (6.2.6), and returns when they have left or ctx ends.
	Close(ctx context.Context) error
}

// A Pauser is an Output that can end its stream and begin it again, to check
// what a light does without a stream; link.Sender is one. With any other
// Output, Ended in a Want does nothing.
type Pauser interface {
	Pause(on bool)
}
