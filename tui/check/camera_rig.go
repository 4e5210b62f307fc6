package check

import (
	"context"
	"sync"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/proving"
)

// A rig is a camera that is open for the pages of a proof, shared with the commands
// that wait for pictures. Messages of a rig are dropped once another is open.
type rig struct {
	proving.Camera              // once it is open
	name           string       // as it was chosen
	reads          bool         // a film or a kept folder: no camera is opened
	keep           string       // the folder for the pictures, "" for none
	before         *eyes.Result // an earlier result to which this one adds; nil for none
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

// Closing closes an open camera, so that its settings are restored before the program
// ends; wait waits for that.
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
