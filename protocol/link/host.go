package link

import (
	"errors"
	"net/netip"
	"sync"
	"sync/atomic"
	"time"

	"example.org/ringout/protocol"
)

// writeWait is how long a full interface may hold up a batch.
const writeWait = 50 * time.Millisecond

// batchLimit is how many packets of a batch are made and then sent together; more gain
// nothing, and Linux takes 1024 at most in one call.
const batchLimit = 128

// A hostKey is one host, or multicast by one interface.
type hostKey struct {
	host, iface string
	port        uint16
}

// A host is everything that goes through one socket. The sender's goroutine
// sends and owns the upper half; the host's dialer looks after the socket and
// hands over a new one, with its verdict, through the lower half.
type host struct {
	hostKey
	conn     *sendSocket
	batch    []*stream // the streams whose packets are in conn.wire; nil for a synchronization packet
	answers  []answer
	last     time.Time     // time of the newest batch
	gap      time.Duration // from the one before it
	health   health
	reported State // the newest state that became an event
	log      *events

	news    atomic.Bool // the dialer has handed something over
	trouble atomic.Bool // the last batch did not leave
	stale   atomic.Bool // the socket must be opened again
	wake    chan struct{}

	mu       sync.Mutex
	incoming *sendSocket
	verdict  State // Starting means none
	because  error
	revive   bool // send everything again: the route was down or has changed
	via      Interface
	shown    health // what Status shows
	remote   netip.AddrPort
	local    netip.Addr
}

// add puts a stream's next packet into the batch; fill makes it.
func (h *host) add(s *stream, more protocol.Options) {
	s.more = more
	h.batch = append(h.batch, s)
}

// fill makes the packets of the next part of the batch, of which the first done have
// left. Part by part they are still in the processor's cache when the system copies
// them, and the first leaves without waiting for those of hundreds of universes.
func (h *host) fill(done int) {
	for _, s := range h.batch[done:min(done+batchLimit, len(h.batch))] {
		h.conn.wire.add(s.fill(), s.dest)
	}
}

// flush sends the batch. A write that returns the error of an earlier packet
// has sent nothing, so it is repeated at once; a second failure of its own ends
// the batch.
func (h *host) flush(now time.Time) (complete bool) {
	if len(h.batch) == 0 || h.conn == nil {
		return true
	}
	h.gap, h.last = now.Sub(h.last), now
	complete = h.writeAll(now)
	if h.conn.wire.pending() {
		_, refused := h.hear(now, nil)
		h.count(h.batch[0], refused)
	}
	h.trouble.Store(!complete)
	h.batch = h.batch[:0]
	h.conn.wire.reset()
	h.publish()
	return complete
}

func (h *host) writeAll(now time.Time) bool {
	var before error // error of the write before, when no ICMP error explains it
	for at, tries := 0, 0; at < len(h.batch); {
		if at == h.conn.wire.size() {
			h.fill(at)
		}
		n, err := h.conn.wire.write(at)
		h.left(h.batch[at:at+n], now)
		at += n
		if n > 0 {
			if before != nil && stateOf(before) != Failed { // so it was about an earlier packet
				h.health.answered(now, answer{state: stateOf(before), err: before}, h.conn.local, h.gap)
			}
			tries, before = 0, nil
		}
		if at == len(h.batch) {
			break
		}
		if tries++; tries > 2 {
			return h.giveUp(now, err)
		}
		before = err
		if heard, refused := h.hear(now, err); heard {
			before = nil
			h.count(h.batch[at], refused)
		}
	}
	h.health.sent(now)
	return true
}

// left notes which packets were sent.
func (h *host) left(sent []*stream, now time.Time) {
	for _, s := range sent {
		if s != nil {
			s.left(now)
		}
	}
}

// hear takes in the ICMP errors for earlier packets; err is the error of the
// write that reported them.
func (h *host) hear(now time.Time, err error) (heard, refused bool) {
	h.answers = h.conn.wire.answers(h.answers[:0])
	if len(h.answers) == 0 && err != nil && stateOf(err) == Refused {
		h.answers = append(h.answers, answer{state: Refused, err: err})
	}
	for _, a := range h.answers {
		h.health.answered(now, a, h.conn.local, h.gap)
		refused = refused || a.state == Refused
	}
	return len(h.answers) > 0, refused
}

func (h *host) count(s *stream, refused bool) {
	if s != nil && refused {
		s.refused.Add(1)
	}
}

// giveUp leaves the rest of the batch for the next time.
func (h *host) giveUp(now time.Time, err error) bool {
	if err == nil {
		err = errors.New("the system took only a part of what was sent")
	}
	h.health.failed(now, stateOf(err), err)
	for _, s := range h.batch {
		if s != nil && s.last != now {
			s.changed = true
		}
	}
	h.look()
	return false
}

// look makes the dialer check the socket soon.
func (h *host) look() {
	select {
	case h.wake <- struct{}{}:
	default:
	}
}

// takeSocket takes what the dialer has handed over. It returns true when
// streams must be sent again.
func (h *host) takeSocket(now time.Time) (revive bool) {
	if !h.news.Swap(false) {
		return false
	}
	h.mu.Lock()
	next, verdict, because := h.incoming, h.verdict, h.because
	revive, h.revive, h.incoming = h.revive, false, nil
	h.mu.Unlock()
	if next != nil {
		if h.conn == nil || next.remote != h.conn.remote {
			h.health.until = now // earlier errors are about another address
		}
		h.conn.close()
		h.conn = next
	}
	if h.health.judge(now, verdict, because) && h.conn != nil {
		h.conn.wire.answers(nil) // they belong to the time before
	}
	h.publish()
	return revive || next != nil
}

func (h *host) publish() {
	h.mu.Lock()
	h.shown = h.health
	if h.conn != nil {
		h.remote, h.local = h.conn.remote, h.conn.local
	}
	h.mu.Unlock()
	h.reportState()
}

// reportState adds an event when the state has become bad, or good again.
func (h *host) reportState() {
	now := h.health.state
	if now == h.reported || now == Starting {
		return
	}
	s := Status{Target: Target{Host: h.hostKey.host, Interface: h.iface, Port: h.port}, Dest: h.remote, Local: h.local,
		State: now, Err: h.health.err, From: h.health.from}
	switch {
	case !now.OK():
		h.log.add(Event{h.health.since, s.Sentence()})
		h.look()
	case h.reported != Starting:
		h.log.add(Event{h.health.since, s.Sentence() + " again"})
	}
	h.reported = now
}
