package protocol

import "slices"

// A ConflictKind is the kind of a conflict.
type ConflictKind uint8

// The conflicts.
const (
	SharedUniverse ConflictKind = iota // several sources; one wins by priority
	EqualPriority                      // several at the winning priority: merge, flicker or ignore (6.2.3)
	SharedCID                          // two senders use one CID on a universe (5.6)
)

// String is the kind in words.
func (k ConflictKind) String() string {
	return [...]string{"several sources", "equal priority", "one CID used twice"}[min(k, SharedCID)]
}

// MarshalText is String.
func (k ConflictKind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// A Conflict is one between sources on one universe.
type Conflict struct {
	Kind     ConflictKind
	Universe Universe
	Sources  []CID // the winning ones first
}

// findConflicts lists the conflicts among live sources.
func (r *Report) findConflicts() []Conflict {
	var cs []Conflict
	for _, u := range r.Universes {
		if len(u.Output.Sources) < 2 {
			continue
		}
		kind := SharedUniverse
		if len(u.Winners) > 1 && !u.Output.PerSlot {
			kind = EqualPriority
		}
		all := slices.Clone(u.Winners)
		for _, c := range u.Output.Sources {
			if !slices.Contains(u.Winners, c) {
				all = append(all, c)
			}
		}
		cs = append(cs, Conflict{Kind: kind, Universe: u.Universe, Sources: all})
	}
	for _, s := range r.Sources {
		for _, st := range s.Streams {
			if st.Shared {
				cs = append(cs, Conflict{Kind: SharedCID, Universe: st.Universe, Sources: []CID{s.CID}})
			}
		}
	}
	return cs
}
