package link

import (
	"bytes"
	"net"
	"sync/atomic"
	"time"

	"example.org/ringout/protocol"
)

// keepAlive is between the 800 and 1000 ms of 6.6.2.
const keepAlive = (protocol.KeepAliveMin + protocol.KeepAliveMax) / 2

// slack is how much a packet may be late without the next one being late as
// well. Two packets are never closer than Period - slack, and n packets never
// take less than (n-1) Period - slack, so the rate keeps below 44 Hz (6.6.1)
// and does not sag when the machine is busy.
const slack = time.Millisecond

// A stream is one target: its universe's packet and when it goes out.
// Only the sender's goroutine touches it, the counters aside. The slots lie in
// the packet and nowhere else: at 44 Hz the caches are cold for every beat.
type stream struct {
	// What every packet touches, side by side.
	host     *host
	dest     *net.UDPAddr // for multicast
	packet   *protocol.Template
	preview  protocol.Options
	sequence uint8
	used     bool          // something was put
	changed  bool          // and has not gone out yet
	repeats  int           // how often these values still go out at the full rate
	next     time.Time     // not before; see slack
	last     time.Time     // when the last packet left
	taken    uint64        // how often the values to be sent next were changed
	out      atomic.Uint64 // how often those that left were
	packets  atomic.Uint64

	asked   atomic.Uint64 // how often Put has changed the values
	refused atomic.Uint64
	rate    atomic.Uint64 // bits of a float64
	target  Target
}

// due is the moment the next packet should leave; the zero time means none.
func (s *stream) due(steady bool) time.Time {
	switch {
	case !s.used || s.host.conn == nil:
		return time.Time{}
	case s.changed || s.repeats > 0 || steady:
		return s.next
	default:
		return s.last.Add(keepAlive)
	}
}

// put takes new values.
func (s *stream) put(slots []byte) {
	s.packet.SetSlots(slots)
	s.used, s.changed, s.taken = true, true, s.asked.Load()
}

// dark is true when the last values sent, and sent often enough, are all 0.
func (s *stream) dark() bool {
	return !s.changed && s.repeats == 0 && len(bytes.Trim(s.packet.Slots(), "\x00")) == 0
}

// again has the values go out at once and three times, after trouble.
func (s *stream) again() {
	if s.used {
		s.changed = true
	}
}

// fill makes the packet that goes out next.
func (s *stream) fill(more protocol.Options) []byte {
	return s.packet.Next(s.sequence, s.preview|more)
}

// end has a packet go out that is black.
func (s *stream) end(more protocol.Options) {
	clear(s.packet.Slots())
	s.host.add(s, more)
}

// paced moves the earliest moment of the next packet, whether or not this one
// left.
func (s *stream) paced(now time.Time, period time.Duration) {
	if late := now.Add(-slack); s.next.Before(late) {
		s.next = late
	}
	s.next = s.next.Add(period)
}

// left notes that the packet is on its way (6.2.5, 6.6.2).
func (s *stream) left(now time.Time) {
	s.sequence++
	s.last = now
	s.packets.Add(1)
	s.out.Store(s.taken)
	if s.changed {
		s.changed, s.repeats = false, protocol.Repeats
	}
	s.repeats = max(s.repeats-1, 0)
}
