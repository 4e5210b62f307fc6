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

// slack is how late a packet may be without delaying the next one. Two packets
// are never closer than Period - slack, and n packets never take less than
// (n-1) Period - slack, so the rate stays below 44 Hz (6.6.1) and does not drop
// when the machine is busy.
const slack = time.Millisecond

// A stream is one target: its universe's packet and when it is sent. Except for
// the counters only the sender's goroutine uses it. The slots are stored in the
// packet only: at 44 Hz the caches are cold for every packet, and a second copy
// would cost time.
type stream struct {
	// The fields that every packet uses, next to one another in memory.
	host     *host
	dest     *net.UDPAddr // for multicast
	packet   *protocol.Template
	preview  protocol.Options
	more     protocol.Options // of the next packet alone
	sequence uint8
	used     bool          // something was put
	changed  bool          // the values have not been sent yet
	repeats  int           // how many more times these values are sent at the full rate
	next     time.Time     // earliest time of the next packet; see slack
	last     time.Time     // when the last packet left
	taken    uint64        // number of the change whose values are sent next
	out      atomic.Uint64 // number of the change that was sent last
	packets  atomic.Uint64

	asked   atomic.Uint64 // number of changes by Put
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

// dark reports whether the last values are all 0 and were sent often enough
// (6.6.2).
func (s *stream) dark() bool {
	return !s.changed && s.repeats == 0 && len(bytes.Trim(s.packet.Slots(), "\x00")) == 0
}

// again has the values sent at once and three times, after a fault.
func (s *stream) again() {
	if s.used {
		s.changed = true
	}
}

// fill makes the next packet.
func (s *stream) fill() []byte {
	return s.packet.Next(s.sequence, s.preview|s.more)
}

// end has a black packet sent.
func (s *stream) end(more protocol.Options) {
	clear(s.packet.Slots())
	s.host.add(s, more)
}

// paced moves the earliest time of the next packet, whether or not this one was
// sent.
func (s *stream) paced(now time.Time, period time.Duration) {
	if late := now.Add(-slack); s.next.Before(late) {
		s.next = late
	}
	s.next = s.next.Add(period)
}

// left notes that the packet was sent (6.2.5, 6.6.2).
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
