package node

import (
	"maps"
	"time"

	"example.org/ringout/protocol"
)

// A History is what a node has heard since it started. Counts only grow.
type History struct {
	Universes  []protocol.Universe          // that it follows
	Packets    map[protocol.Universe]uint64 // data packets of each, all START codes, terminated ones too
	Terminated map[protocol.Universe]uint64 // of those with Stream_Terminated (ANSI E1.31-2018 6.2.6)
	OutOfTurn  uint64                       // dropped by the sequence rule (6.7.2)
	Preview    uint64                       // not for live output (6.2.6)
	Elsewhere  uint64                       // data packets for universes it does not follow
	Syncs      uint64                       // synchronization packets
	Malformed  uint64                       // datagrams that are no E1.31 packet, or a broken one
	Last       time.Time                    // of the last data packet for it
	Dark       bool                         // nothing is lit now
	Driven     bool                         // a source drives at least one universe now
}

// newHistory is the empty history of a node that follows the universes.
func newHistory(us []protocol.Universe) History {
	return History{Universes: us, Packets: map[protocol.Universe]uint64{}, Terminated: map[protocol.Universe]uint64{}}
}

// Total is the number of data packets over all universes it follows.
func (h History) Total() uint64 {
	var n uint64
	for _, c := range h.Packets {
		n += c
	}
	return n
}

// EndedAll reports whether every universe has had at least n packets with
// Stream_Terminated.
func (h History) EndedAll(n uint64) bool {
	for _, u := range h.Universes {
		if h.Terminated[u] < n {
			return false
		}
	}
	return true
}

// Ended reports whether every universe has had three terminated packets (6.2.6) and
// none is driven now. The second part matters when another source still sends, or the
// same one has started again.
func (h History) Ended() bool { return h.EndedAll(3) && !h.Driven }

// data counts one data packet.
func (h *History) data(now time.Time, d *protocol.Data, v protocol.Verdict) {
	if v == protocol.NotFollowed {
		h.Elsewhere++
		return
	}
	h.Packets[d.Universe]++
	h.Last = now
	if d.Options&protocol.Terminated != 0 {
		h.Terminated[d.Universe]++
	}
	switch v {
	case protocol.OutOfTurn:
		h.OutOfTurn++
	case protocol.PreviewOnly:
		h.Preview++
	}
}

// History is what the node has heard so far; a copy.
func (n *Node) History() History {
	n.mu.Lock()
	defer n.mu.Unlock()
	h := n.history
	h.Packets, h.Terminated = maps.Clone(h.Packets), maps.Clone(h.Terminated)
	h.Dark, h.Driven = n.look.Light.Lit() == 0, n.look.Driven
	return h
}
