package protocol

import (
	"slices"
	"time"
)

// A list is what a source says it sends (4.3, 8).
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

// listTimeout is when a page that was not repeated no longer counts: two
// intervals (12.2) and half a one for late packets.
const listTimeout = 2*DiscoveryInterval + DiscoveryInterval/2

// size is how many universes are kept for a source, listed twice or not: what
// Tracker limits.
func (l *list) size() int {
	n := 0
	for _, p := range l.pages {
		n += len(p.us)
	}
	return n
}

// complete reports whether every page has come.
func (l *list) complete() bool { return len(l.pages) > 0 && len(l.pages) == int(l.last)+1 }

// universes are those listed, ascending, without what may carry no data.
func (l *list) universes() []Universe {
	var us []Universe
	for _, p := range l.pages {
		us = append(us, p.us...)
	}
	slices.Sort(us)
	us = slices.Compact(us)
	return slices.DeleteFunc(us, func(u Universe) bool { return !u.Valid() })
}

// takePage keeps a page; another number of pages starts the list again.
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
