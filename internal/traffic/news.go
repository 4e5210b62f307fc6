package traffic

import (
	"cmp"
	"slices"

	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// News is a snapshot of the network: what was heard, what we send, and
// sentences about both. It shares nothing and is never written once handed out.
type News struct {
	Report    *protocol.Report // nil while no listener runs
	Ours      protocol.Ours
	Sentences []advice.Sentence // of Report, the heaviest first
	Events    []link.Event      // oldest first
	Dropped   uint64            // datagrams that this machine lost before they were read
	Trouble   error             // why no listener runs
}

// Heard makes the News of a report.
func Heard(r *protocol.Report, ours protocol.Ours) News {
	return News{Report: r, Ours: ours, Sentences: advice.Sentences(r, ours)}
}

// WithEvents adds the events of sender and listener, in order of time.
func (n News) WithEvents(lists ...[]link.Event) News {
	n.Events = slices.Concat(lists...)
	sorting.Stable(n.Events, func(a, b link.Event) int { return a.At.Compare(b.At) })
	return n
}

// Within leaves out sentences that are only about universes which are not
// listened to: they fell silent because their groups were left.
func (n News) Within(listened []protocol.Universe) News {
	n.Sentences = slices.DeleteFunc(slices.Clone(n.Sentences), func(s advice.Sentence) bool {
		return len(s.Universes) > 0 && !meet(s.Universes, listened)
	})
	return n
}

// meet reports whether two lists have a universe in common.
func meet(a, b []protocol.Universe) bool {
	return slices.ContainsFunc(a, func(u protocol.Universe) bool { return slices.Contains(b, u) })
}

// Warning returns the most serious sentence about what we send, if one may
// spoil what the strip shows.
func (n News) Warning() (advice.Sentence, bool) {
	for _, s := range n.Sentences { // heaviest first
		if s.Weight >= advice.Warning && n.concerns(s) {
			return s, true
		}
	}
	return advice.Sentence{}, false
}

// concerns reports whether a sentence is about our universes or our CID.
func (n News) concerns(s advice.Sentence) bool {
	if s.About != (protocol.CID{}) && s.About == n.Ours.CID {
		return true
	}
	return meet(s.Universes, n.Ours.Universes)
}

// Hosts lists the hosts that we send to, those with a fault first, all
// universes of a host in one entry.
func Hosts(links []link.Status) []Host {
	var out []Host
	at := map[link.Target]int{} // of the host, without its universe
	for _, l := range links {
		key := l.Target
		key.Universe = 0
		i, ok := at[key]
		if !ok {
			i = len(out)
			at[key] = i
			out = append(out, Host{Worst: l})
		}
		h := &out[i]
		h.Universes = append(h.Universes, l.Target.Universe)
		h.Rate += l.Rate
		h.Packets += l.Packets
		h.Refused += l.Refused
		if h.Worst.State.OK() && !l.State.OK() {
			h.Worst = l
		}
	}
	sorting.Stable(out, func(a, b Host) int { return cmp.Compare(order(a), order(b)) })
	return out
}

func order(h Host) int {
	if h.Worst.State.OK() {
		return 1
	}
	return 0
}

// A Host is one destination with all universes that go there.
type Host struct {
	Worst     link.Status // the universe in the worst state
	Universes []protocol.Universe
	Rate      float64 // packets per second, over all universes
	Packets   uint64
	Refused   uint64
}
