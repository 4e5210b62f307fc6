package protocol

import (
	"slices"
	"time"
)

// A list holds the universes that a source announces (4.3, 8).
type list struct {
	last  uint8 // page number
	pages map[uint8]listPage
}

// A listPage is one of up to 256 pages of a discovery list, each with up to 512
// universes (8.1, 8.3).
type listPage struct {
	heard time.Time
	us    []Universe
}

// listTimeout is how long a page counts that is not repeated: two intervals
// (12.2) and half an interval for late packets.
const listTimeout = 2*DiscoveryInterval + DiscoveryInterval/2

// size is the number of universes kept for a source, repeats included; Tracker
// limits it.
func (l *list) size() int {
	n := 0
	for _, p := range l.pages {
		n += len(p.us)
	}
	return n
}

// complete reports whether every page has come.
func (l *list) complete() bool { return len(l.pages) > 0 && len(l.pages) == int(l.last)+1 }

// universes are the valid ones listed, ascending.
func (l *list) universes() []Universe {
	var us []Universe
	for _, p := range l.pages {
		us = append(us, p.us...)
	}
	slices.Sort(us)
	us = slices.Compact(us)
	return slices.DeleteFunc(us, func(u Universe) bool { return !u.Valid() })
}

// takePage keeps a page; a changed number of pages starts the list again.
func (t *Tracker) takePage(s *source, now time.Time, d *Discovery) bool {
	l := &s.list
	if l.pages == nil || l.last != d.Last {
		t.listed -= l.size()
		l.pages = map[uint8]listPage{}
	}
	old := len(l.pages[d.Page].us)
	if t.listed-old+int(d.Count) > maxListed {
		return false
	}
	t.listed += int(d.Count) - old
	l.last = d.Last
	l.pages[d.Page] = listPage{heard: now, us: slices.Clone(d.List())}
	return true
}

// dropPages forgets pages that were not repeated.
func (t *Tracker) dropPages(s *source, now time.Time) {
	for n, p := range s.list.pages {
		if now.Sub(p.heard) >= listTimeout {
			t.listed -= len(p.us)
			delete(s.list.pages, n)
		}
	}
}

// Announced are the universes that discovery lists name, of any source, in
// ascending order: what a listener might join.
func (t *Tracker) Announced() []Universe {
	var us []Universe
	for _, s := range t.sources {
		us = append(us, s.list.universes()...)
	}
	slices.Sort(us)
	return slices.Compact(us)
}
