package cli

import (
	"context"
	"errors"
	"fmt"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/protocol/link"
)

// A sending holds the options of sending that are not in the prop's address.
type sending struct {
	steady  bool
	preview bool
}

// open starts a sender for every universe of the prop.
func (own *identity) open(p *prop.Prop, how sending) (*link.Sender, error) {
	return show.Open(p, link.Config{CID: own.cid(), Source: own.sourceName(), Preview: how.preview, Steady: how.steady})
}

// light runs a show of the prop until ctx ends; watch gets every snapshot and
// may be nil. It returns when the prop is dark and the stream has ended.
func (own *identity) light(ctx context.Context, p *prop.Prop, how sending, begin show.Want, watch func(show.Snapshot)) error {
	sender, err := own.open(p, how)
	if err != nil {
		return err
	}
	s, err := show.New(show.Config{Prop: p, Out: sender, Begin: begin})
	if err != nil {
		return fmt.Errorf("%w", err)
	}
	ctx, end := context.WithCancel(ctx)
	defer end()
	done := make(chan error, 1)
	go func() {
		done <- caught(func() error {
			for snap := range s.Snapshots() {
				if watch != nil {
					watch(snap)
				}
			}
			return nil
		})
		end() // also when watch panics
	}()
	err = s.Run(ctx)
	return errors.Join(err, <-done)
}
