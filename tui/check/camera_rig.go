package check

import (
	"context"
	"sync"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/proving"
)

// A rig is a camera that is open for the pages of a proof. It is shared by
// them and by the commands that wait for pictures; what a rig sends after
// another was opened is dropped.
type rig struct {
	proving.Camera              // once it is open
	name           string       // as it was chosen
	reads          bool         // a film or a kept folder: no camera is opened
	keep           string       // the folder for the pictures, "" for none
	before         *eyes.Result // what an earlier film has read, which this one adds to; nil for none
	prop           *prop.Prop
	ctx            context.Context
	stop           context.CancelFunc
	events         chan rigMsg // of a proof that continues in a command

	mu sync.Mutex // pictures are kept for one purpose at a time
}

func (r *rig) close() {
	r.stop()
	if r.Eye != nil {
		go r.Eye.Close() // which waits for the child process
	}
}

// Closing closes a camera that is open, so that it is set back as it was before
// the program ends.
func (m Model) Closing() (wait func()) {
	r := rigOf(m.page)
	if r == nil {
		return func() {}
	}
	r.stop()
	eye := r.Eye
	return func() {
		if eye != nil {
			eye.Close()
		}
	}
}

// of is the rig that a message is from.

// rigOf is the camera that a page holds open; nil for none.
func rigOf(p page) *rig {
	if proof := p.byCamera(); proof != nil {
		return proof.sees().rig
	}
	return nil
}

// closeUnused closes a camera that the page now shown does not hold.
func closeUnused(before *rig, p page) {
	if before != nil && rigOf(p) != before {
		before.close()
	}
}
