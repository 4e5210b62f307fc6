package advice

import (
	"fmt"
	"slices"

	"example.org/ringout/protocol"
)

// malformedToSpeak is the number of malformed packets for a sentence; a single
// one may be an accident.
const malformedToSpeak = 3

// ownCIDTwice warns of another sender with our own CID (5.6).
func (w *writer) ownCIDTwice(s *protocol.SourceReport) {
	for i := range s.Streams {
		st := &s.Streams[i]
		if !st.Shared {
			continue
		}
		w.say(Sentence{Weight: Trouble, About: s.CID, Do: "Stop one of two senders", Why: text("another sends {u} under our own CID"),
			Text: text("Another source sends {u} under our own CID (heard from %s): receivers take both for one source and drop packets of both. Stop the other, or give this computer a new CID.", hosts(st))}, st.Universe)
	}
}

// announced reports universes of ours that a source announces, while no data of
// it is heard here. A new source gets time to be heard, and a source that ended
// a universe gets two intervals to remove it from its list (12.2).
func (w *writer) announced(s *protocol.SourceReport) {
	if w.r.At.Sub(s.First) < protocol.LossTimeout {
		return
	}
	for _, u := range s.Listed {
		st := s.Stream(u)
		heard := st != nil && (st.State == protocol.Live || w.r.At.Sub(st.Since) < 2*protocol.DiscoveryInterval)
		if heard || !w.ours.Drives(u) {
			continue
		}
		w.say(Sentence{Weight: Warning, About: s.CID, Do: "Stop " + address(s), Why: text("it announces {u} and may send straight to your host"),
			Text: text("%s announces that it sends {u}, though none of it reaches here: it may send straight to your host. Stop it there while you test.", Capital(Called(s)))}, u)
	}
}

// strangersTied reports equal priority on universes that are not ours.
func (w *writer) strangersTied() {
	for _, c := range w.r.Conflicts {
		if c.Kind != protocol.EqualPriority || w.ours.Drives(c.Universe) {
			continue
		}
		u := w.r.Universe(c.Universe)
		w.say(Sentence{Weight: Warning, Text: text("%d sources drive {u} at equal priority %d (%s): receivers may merge, flicker or ignore all but one.",
			len(u.Winners), u.Output.Priority, names(w.r, u.Winners))}, c.Universe)
	}
}

// malformed reports packets that receivers drop.
func (w *writer) malformed() {
	for _, m := range w.r.Malformed {
		if m.Packets < malformedToSpeak || w.r.At.Sub(m.Last) > recentEnough {
			continue
		}
		from := "several addresses"
		if m.From.IsValid() {
			from = m.From.Unmap().String()
		}
		w.say(Sentence{Weight: Warning, Text: fmt.Sprintf("%d packets from %s are no proper E1.31, so receivers drop them; the last: %s.", m.Packets, from, protocol.Printable(m.Err.Error()))})
	}
}

// Alone reports whether no other source is involved in our universes: none is
// heard on them, announces them, or is named in a sentence about them.
func Alone(r *protocol.Report, ours protocol.Ours, said []Sentence) bool {
	for i := range r.Sources {
		s := &r.Sources[i]
		if s.CID == ours.CID {
			continue
		}
		lives := func(st protocol.StreamReport) bool { return st.State == protocol.Live && ours.Drives(st.Universe) }
		if slices.ContainsFunc(s.Streams, lives) || slices.ContainsFunc(s.Listed, ours.Drives) {
			return false
		}
	}
	return !slices.ContainsFunc(said, func(s Sentence) bool {
		return slices.ContainsFunc(s.Universes, ours.Drives)
	})
}
