package node

import (
	"context"
	"errors"
	"os"
	"slices"
	"time"

	"example.org/ringout/internal/strip"
	"example.org/ringout/protocol"
)

// run reads packets until ctx ends. It is the node's only goroutine.
func (n *Node) run(ctx context.Context) {
	defer close(n.done)
	defer close(n.updates)
	defer n.closeSockets()
	unhook := context.AfterFunc(ctx, n.in.interrupt)
	defer unhook()
	buf := make([]byte, 2048) // longer than the longest packet of the standard, 1144
	var dirty time.Time       // since when a changed look waits for the rest of its frame
	next := time.Now().Add(n.tick())
	for ctx.Err() == nil {
		until := next
		if !dirty.IsZero() {
			until = time.Now().Add(together)
		}
		changed, err := n.receive(ctx, buf, until)
		now := time.Now()
		if now.After(next) {
			changed = n.take(n.rx.Tick(now)) || n.strip.Flickers() || changed
			next = now.Add(n.tick())
		}
		if changed && dirty.IsZero() {
			dirty = now
		}
		if !dirty.IsZero() && (len(n.follow) == 1 || err != nil || now.Sub(dirty) > 4*together) {
			n.light(now)
			dirty = time.Time{}
		}
	}
}

// receive waits until the given time for one datagram and applies it. It reports
// whether the light may have changed; the error is that of reading.
func (n *Node) receive(ctx context.Context, buf []byte, until time.Time) (changed bool, err error) {
	octets, err := n.in.read(ctx, buf, until)
	changed = n.become()
	switch {
	case err == nil:
		changed = n.hear(time.Now(), octets) || changed
	case errors.Is(err, errNoCopy) || n.in.retake(ctx):
	case !errors.Is(err, os.ErrDeadlineExceeded) && ctx.Err() == nil:
		time.Sleep(time.Millisecond) // a network error that the socket reports clears by itself
	}
	return changed, err
}

// tick is the interval between checks for lost sources and, with a loose joint, between
// looks.
func (n *Node) tick() time.Duration {
	if n.strip.Flickers() {
		return looseTick
	}
	return tick
}

// hear applies one datagram and reports whether the light may have changed.
func (n *Node) hear(now time.Time, b []byte) bool {
	kind, err := n.packet.Decode(b)
	switch {
	case err != nil:
		n.note(func(h *History) { h.Malformed++ })
	case kind == protocol.KindData:
		d := &n.packet.Data
		verdict := n.rx.HearData(now, d)
		n.note(func(h *History) { h.data(now, d, verdict) })
		if verdict != protocol.NotFollowed {
			n.groups.followSync(d.SyncAddress)
		}
		return n.take(n.rx.Changed()) || verdict == protocol.Ended // each of the three last packets is reported
	case kind == protocol.KindSync:
		n.rx.HearSync(now, n.packet.Sync)
		n.note(func(h *History) { h.Syncs++ })
		return n.take(n.rx.Changed())
	}
	return false
}

// take copies the slots of universes that changed. A universe without a source keeps
// its last slots; with Options.Dark they become 0.
func (n *Node) take(changed []protocol.Universe) bool {
	took := false
	for _, u := range changed {
		i := slices.Index(n.follow, u)
		if i < 0 {
			continue
		}
		took = true // the loss of the last source is a change, too
		if out := n.rx.Output(u); out.Driven() || n.options.Dark {
			copy(n.slots[i], out.Slots[:])
		}
	}
	return took
}

// light computes the light of the strip from the slots and publishes it as the newest
// look.
func (n *Node) light(now time.Time) {
	l := n.strip.LightAt(nil, n.slots, now.Sub(n.started))
	n.mu.Lock()
	n.look = strip.Look{Light: l, At: now, Serial: n.look.Serial + 1, Driven: n.driven()}
	look := n.look
	n.mu.Unlock()
	n.updates.Put(look)
}

// driven reports whether any source drives any universe.
func (n *Node) driven() bool {
	for _, u := range n.follow {
		if n.rx.Output(u).Driven() {
			return true
		}
	}
	return false
}

// note changes the history under the lock.
func (n *Node) note(change func(*History)) {
	n.mu.Lock()
	defer n.mu.Unlock()
	change(&n.history)
}
