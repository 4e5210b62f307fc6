package traffic

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"example.org/ringout/internal/sorting"
	"example.org/ringout/protocol"
)

// A Source is one source with all its universes in one row. Its figures are
// those of its worst live universe, or of all where none is live.
type Source struct {
	CID        protocol.CID
	Name       string // printable; empty if it gives none
	Address    string // of its newest packet
	Ours       bool   // our own packets, as heard here
	Rival      bool   // it drives a universe of ours, or announces it
	Live       bool
	Heard      bool                // data has come from it, not only announcements
	Universes  []protocol.Universe // ascending
	Low, High  uint8               // priority
	Rate       float64             // packets per second on its fastest universe
	Judged     bool                // Loss, Twice, Late and Jitter can be worked out; they are of the universes where they can
	Loss       float64             // 0 to 1
	Twice      uint64
	Late       uint64
	Jitter     time.Duration
	Standing   string // in words: followed, not followed, silent for 12 s
	Treatments Treatments
}

// Treatments counts a source's live universes by how receivers treat them.
type Treatments struct{ Live, Followed, Tied, Preview int }

// Sources are all sources of a report: rivals first, then other live ones,
// then those that have gone, each by name.
func Sources(r *protocol.Report, ours protocol.Ours) []Source {
	if r == nil {
		return nil
	}
	out := make([]Source, 0, len(r.Sources))
	for i := range r.Sources {
		out = append(out, source(r, &r.Sources[i], ours))
	}
	sorting.Stable(out, func(a, b Source) int { return cmp.Compare(rank(a), rank(b)) })
	return out
}

func rank(s Source) int {
	switch {
	case s.Rival:
		return 0
	case s.Ours:
		return 1
	case s.Live:
		return 2
	}
	return 3
}

func source(r *protocol.Report, from *protocol.SourceReport, ours protocol.Ours) Source {
	s := Source{CID: from.CID, Name: from.Name, Address: Address(from), Live: from.Live(),
		Ours: from.CID == ours.CID && ours.CID != (protocol.CID{})}
	for i := range from.Streams {
		st := &from.Streams[i]
		if s.Live && st.State != protocol.Live {
			continue
		}
		if len(s.Universes) == 0 {
			s.Low, s.High = st.Priority, st.Priority
		}
		s.Universes = append(s.Universes, st.Universe)
		s.Low, s.High = min(s.Low, st.Priority), max(s.High, st.Priority)
		s.Rate = max(s.Rate, st.Rate)
		s.addFigures(st)
		s.Rival = s.Rival || s.Live && !s.Ours && slices.Contains(ours.Universes, st.Universe)
	}
	if s.Heard = len(from.Streams) > 0; !s.Heard {
		s.Universes = from.Listed
		s.Rival = !s.Ours && meet(from.Listed, ours.Universes)
	}
	s.Treatments = treatments(r, from)
	s.Standing = standing(r, from, s.Treatments)
	return s
}

// addFigures adds the network figures of a stream, from its sequence numbers.
func (s *Source) addFigures(st *protocol.StreamReport) {
	if !Judged(st) {
		return
	}
	s.Judged = true
	s.Loss, s.Jitter = max(s.Loss, st.Loss), max(s.Jitter, st.Jitter)
	s.Twice, s.Late = s.Twice+st.Twice, s.Late+st.Late
}

// Address is where a source was heard from last, in words; empty if unknown.
func Address(s *protocol.SourceReport) string {
	if !s.From.IsValid() {
		return ""
	}
	if s.From.Addr().IsUnspecified() { // some systems write 0.0.0.0 on their own loopback
		return "this machine"
	}
	return s.From.Addr().Unmap().String()
}

// treatments counts the live universes of a source by how receivers treat them.
func treatments(r *protocol.Report, s *protocol.SourceReport) (t Treatments) {
	for i := range s.Streams {
		st := &s.Streams[i]
		if st.State != protocol.Live {
			continue
		}
		t.Live++
		switch f := Follow(r, s.CID, st.Universe); {
		case st.Preview:
			t.Preview++
		case f == Tied:
			t.Tied++
		case f == Followed, f == Shared:
			t.Followed++
		}
	}
	return t
}

// standing returns the state of a source in a few words.
func standing(r *protocol.Report, s *protocol.SourceReport, t Treatments) string {
	switch {
	case len(s.Streams) == 0 && len(s.Listed) > 0:
		return "only announces"
	case len(s.Streams) == 0:
		return "no data"
	case !s.Live():
		return goneSince(r.At, s)
	case t.Preview == t.Live:
		return "preview only"
	case t.Tied > 0:
		return of("tied", t.Tied, t.Live)
	case t.Followed > 0:
		return of("followed", t.Followed, t.Live)
	}
	return "not followed"
}

func of(word string, n, all int) string {
	if n == all {
		return word
	}
	return fmt.Sprintf("%s %d of %d", word, n, all)
}

// goneSince describes a source without a live stream, by the stream that ended
// last.
func goneSince(at time.Time, s *protocol.SourceReport) string {
	newest := &s.Streams[0]
	for i := range s.Streams {
		if s.Streams[i].Last.After(newest.Last) {
			newest = &s.Streams[i]
		}
	}
	return Ago(newest, at)
}

// Ago returns in words how long ago a stream ended.
func Ago(st *protocol.StreamReport, at time.Time) string {
	switch st.State {
	case protocol.Finished:
		return "ended " + short(at.Sub(st.Since)) + " ago"
	case protocol.Unheard:
		return "not listened to"
	}
	return "silent for " + short(at.Sub(st.Last))
}

func short(d time.Duration) string {
	if d < 100*time.Second {
		return fmt.Sprintf("%d s", int(max(0, d).Seconds()))
	}
	return fmt.Sprintf("%d min", int(d.Minutes()))
}

// A Treatment is how receivers treat a live source on a universe.
type Treatment uint8

// How receivers treat it.
const (
	Ignored  Treatment = iota
	Followed           // alone
	Tied               // with others of the same priority: merged, or flickering, or one ignored
	Shared             // slot by slot, by START code 0xdd
)

// String is the treatment in words, as in Line.Followed.
func (f Treatment) String() string {
	return [...]string{"not followed", "followed", "tied", "followed for some slots"}[min(f, Shared)]
}

// Follow returns how receivers of u treat a source.
func Follow(r *protocol.Report, c protocol.CID, u protocol.Universe) Treatment {
	on := r.Universe(u)
	switch {
	case on == nil || !slices.Contains(on.Winners, c):
		return Ignored
	case len(on.Winners) == 1:
		return Followed
	case on.Output.PerSlot:
		return Shared
	}
	return Tied
}
