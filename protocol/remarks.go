package protocol

import (
	"fmt"
	"slices"
	"strings"
)

// What else Sentences says: of ourselves, of strangers among themselves, and
// of packets that are none.

// ourTwin warns of somebody who sends under our own CID.
func (w *writer) ourTwin(s *SourceReport) {
	for i := range s.Streams {
		st := &s.Streams[i]
		if st.Shared {
			w.say(Trouble, st.Universe, s.CID, "Somebody else sends {u} under our own CID (heard from %s): receivers take both for one source and drop packets of both. Stop the other, or give this computer a new CID.",
				st.hosts())
		}
	}
}

// announced speaks of universes of ours that a source says it sends, while
// nothing of it is heard here. A source just met gets the time to be heard, and
// one that ended a universe two intervals to take it off its list (12.2).
func (w *writer) announced(s *SourceReport) {
	if w.r.At.Sub(s.First) < LossTimeout {
		return
	}
	for _, u := range s.Listed {
		st := s.Stream(u)
		heard := st != nil && (st.State == Live || w.r.At.Sub(st.Since) < 2*DiscoveryInterval)
		if heard || !w.ours.drives(u) {
			continue
		}
		w.say(Warning, u, s.CID, "%s announces that it sends {u}, though none of it reaches here: it may send straight to your host. Stop it there while you test.", upper(s.Called()))
	}
}

// strangersAtOdds speaks of equal priority on universes that are not ours.
func (w *writer) strangersAtOdds() {
	for _, c := range w.r.Conflicts {
		if c.Kind != EqualPriority || w.ours.drives(c.Universe) {
			continue
		}
		u := w.r.Universe(c.Universe)
		w.say(Warning, c.Universe, CID{}, "%d sources drive {u} at equal priority %d (%s): receivers may merge, flicker or ignore all but one.",
			len(u.Winners), u.Output.Priority, w.r.names(u.Winners))
	}
}

// names lists sources, at most four.
func (r *Report) names(cs []CID) string {
	var parts []string
	for _, c := range cs {
		if s := r.Source(c); s != nil {
			parts = append(parts, s.Called())
		}
	}
	slices.Sort(parts)
	if len(parts) > 4 {
		parts = append(parts[:4], fmt.Sprintf("and %d more", len(parts)-4))
	}
	return strings.Join(parts, ", ")
}

// malformed speaks of packets that receivers drop.
func (w *writer) malformed() {
	for _, m := range w.r.Malformed {
		if m.Packets < malformedToSpeak || w.r.At.Sub(m.Last) > recentEnough {
			continue
		}
		from := "several addresses"
		if m.From.IsValid() {
			from = m.From.Unmap().String()
		}
		w.say(Warning, 0, CID{}, "%d packets from %s are no proper E1.31, so receivers drop them; the last: %s.", m.Packets, from, Printable(m.Err.Error()))
	}
}

func (st *StreamReport) hasLevels() bool {
	return slices.ContainsFunc(st.StartCodes, func(c StartCount) bool { return c.Code == StartLevels })
}

func (st *StreamReport) sendsSlotPriority() bool {
	return slices.ContainsFunc(st.StartCodes, func(c StartCount) bool { return c.Code == StartPriority })
}

// otherCodes lists the START codes that are not levels.
func (st *StreamReport) otherCodes() string {
	var codes []string
	for _, c := range st.StartCodes {
		if c.Code != StartLevels {
			codes = append(codes, fmt.Sprintf("0x%02x", c.Code))
		}
	}
	return strings.Join(codes, ", ")
}

// codesMean says what to make of other START codes beside levels.
func (st *StreamReport) codesMean() string {
	if len(st.StartCodes) == 2 && st.sendsSlotPriority() {
		return "a priority for each slot, which some receivers follow."
	}
	return "receivers that know only levels leave those packets out."
}

// hosts lists the addresses that were heard from of late.
func (st *StreamReport) hosts() string {
	var hosts []string
	for _, a := range st.Addresses {
		hosts = append(hosts, a.Addr().Unmap().String())
	}
	slices.Sort(hosts)
	if len(slices.Compact(slices.Clone(hosts))) < len(hosts) { // one computer: tell its programs apart
		hosts = hosts[:0]
		for _, a := range st.Addresses {
			hosts = append(hosts, a.String())
		}
		slices.Sort(hosts)
	}
	return strings.Join(hosts, " and ")
}
