package protocol

import (
	"net/netip"
	"time"
)

// A Datagram is one datagram as a listener received it.
type Datagram struct {
	At        time.Time
	From      netip.AddrPort
	Interface string     // where it was received; empty if not known
	Group     netip.Addr // multicast group it was sent to; zero for unicast or not known
	Copied    bool       // a copy from another program of this machine, which received it
	Octets    []byte     // the UDP payload; read during the call only
}

// A Tracker works out sources, universes and conflicts from the packets heard.
// It opens no socket and reads no clock: pass packets to Hear, call Tick a few
// times a second, and call Report for a screen. Its memory is bounded whatever
// is sent to it. It is not safe for use by several goroutines.
type Tracker struct {
	rx        *Receiver
	sources   map[CID]*source
	addresses map[netip.Addr]*address
	joined    map[Universe]time.Time // groups joined, and since when
	left      map[Universe]bool      // groups left again
	malformed malformedTable
	streams   int // streams of all sources
	listed    int // universes in all discovery lists
	counts    Counts
	packet    Decoder

	fullUntil  time.Time // no source can be deleted before this time
	noStreamTo time.Time // no stream can be deleted before this time
}

// Limits of what a Tracker keeps. At a limit, the entry longest silent is
// deleted, but never a live one; if all are live, new ones are refused and
// counted.
const (
	MaxSources    = 1024    // in all
	MaxPerAddress = 256     // sources of one IP address
	MaxStreams    = 4096    // pairs of source and universe
	maxListed     = 1 << 17 // universes in discovery lists
	maxMalformed  = 256     // pairs of address and reason
	ForgetAfter   = 5 * time.Minute
)

// Counts grow from the start of a Tracker.
type Counts struct {
	Datagrams  uint64
	Data       uint64
	Sync       uint64
	Discovery  uint64
	Malformed  uint64
	TurnedAway uint64 // refused at a limit
}

// A source is what is known of one CID.
type source struct {
	cid         CID
	name        SourceName
	first, last time.Time
	home        netip.Addr // address that it was first heard from
	from        netip.AddrPort
	streams     map[Universe]*account
	list        list
}

// An address is one IP address, and how many sources it has.
type address struct {
	sources   int
	fullUntil time.Time
}

// NewTracker makes an empty Tracker.
func NewTracker() *Tracker {
	return &Tracker{rx: NewReceiver(), sources: map[CID]*source{}, addresses: map[netip.Addr]*address{},
		joined: map[Universe]time.Time{}, left: map[Universe]bool{}, malformed: malformedTable{}}
}

// Hear takes one datagram. It allocates nothing for a known source.
func (t *Tracker) Hear(h Datagram) {
	t.counts.Datagrams++
	h.From = netip.AddrPortFrom(h.From.Addr().Unmap(), h.From.Port())
	kind, err := t.packet.Decode(h.Octets)
	switch {
	case err != nil:
		t.counts.Malformed++
		t.malformed.note(h, err)
	case kind == KindData:
		t.hearData(h, &t.packet.Data)
	case kind == KindSync:
		t.hearSync(h, t.packet.Sync)
	case kind == KindDiscovery:
		t.hearDiscovery(h, &t.packet.Discovery)
	}
}

// hearData counts a data packet for its source and universe. Any packet but a
// terminated one (6.2.6) adds a new source.
func (t *Tracker) hearData(h Datagram, d *Data) {
	t.counts.Data++
	s := t.sources[d.CID]
	if s == nil && d.Options&Terminated != 0 {
		return // the end of a stream that was not heard
	}
	if s == nil {
		s = t.admit(h, d.CID)
	}
	if s == nil || !t.fold(h, s, d) {
		t.counts.TurnedAway++
	}
}

// fold gives a packet of a source to the receiver and counts it. It returns
// false when a limit is reached.
func (t *Tracker) fold(h Datagram, s *source, d *Data) bool {
	a := s.streams[d.Universe]
	if a == nil && !t.roomForStream(h.At) {
		return false
	}
	var tb *table
	if a != nil && a.state == Live {
		tb = a.table // without looking it up
	} else if tb = t.rx.table(d.Universe); tb == nil {
		return false
	}
	a, by, v := t.rx.take(h.At, tb, a, d)
	switch {
	case v == TurnedAway:
		return false
	case a == nil:
		return true // the end of a stream that was not heard
	case a.stats == nil:
		a.stats = &stats{first: h.At}
		s.streams[d.Universe] = a
		t.streams++
	}
	s.meet(h, d.Source)
	a.stats.hear(h, d, by, v)
	return true
}

// hearSync takes a synchronization packet. It carries no source name (table
// 4-2), so a source known by these alone has none until data or discovery
// comes from the same CID.
func (t *Tracker) hearSync(h Datagram, p Sync) {
	t.counts.Sync++
	t.rx.HearSync(h.At, p)
	s := t.sources[p.CID]
	if s == nil {
		if s = t.admit(h, p.CID); s == nil {
			t.counts.TurnedAway++
			return
		}
	}
	s.last, s.from = h.At, h.From
}

// hearDiscovery takes one page of a source's list of universes, which it sends
// every 10 s while it drives any (4.3, 12.2).
func (t *Tracker) hearDiscovery(h Datagram, d *Discovery) {
	t.counts.Discovery++
	s := t.sources[d.CID]
	if s == nil {
		if s = t.admit(h, d.CID); s == nil {
			t.counts.TurnedAway++
			return
		}
	}
	s.meet(h, d.Source)
	if !t.takePage(s, h.At, d) {
		t.counts.TurnedAway++
	}
}

// meet notes the name and the address of a source.
func (s *source) meet(h Datagram, name SourceName) {
	s.name, s.last, s.from = name, h.At, h.From
}

// Tick drops lost streams and deletes those gone for ForgetAfter. Call it a few
// times a second, with or without traffic.
func (t *Tracker) Tick(now time.Time) {
	t.rx.Tick(now)
	for _, s := range t.sources {
		t.dropPages(s, now)
		if now.Sub(s.last) >= ForgetAfter {
			t.forget(s)
		}
	}
	t.malformed.tick(now)
}
