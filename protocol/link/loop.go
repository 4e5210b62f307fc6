package link

import (
	"context"
	"fmt"
	"net"
	"time"

	"example.org/ringout/protocol"
)

// run is the goroutine that sends.
func (s *Sender) run() {
	defer close(s.done)
	if err := caught(s.loop); err != nil {
		s.endAfterFault(err)
	}
	s.cancel()
	s.keep.Wait()
	for _, h := range s.hosts {
		h.conn.close()
		h.incoming.close()
	}
	s.alarm.close()
	s.changes.close()
}

// loop sends until Close.
func (s *Sender) loop() {
	for {
		s.rest()
		closing := s.take()
		now := time.Now()
		s.takeSockets(now)
		next := s.tick(now)
		if closing != nil {
			if !s.silent.Load() || len(s.unsent) > 0 {
				s.terminate(closing)
			}
			return
		}
		next = earlier(next, s.maintain(now))
		s.paced.Store(s.mayNotSend(next))
		s.alarm.sleep(next)
		s.paced.Store(false) // before take: a Put after it rings
	}
}

// mayNotSend reports whether no stream may send before next; a Put until then
// need not wake the sender.
func (s *Sender) mayNotSend(next time.Time) bool {
	for _, st := range s.streams {
		if next.IsZero() || st.next.Before(next) {
			return false
		}
	}
	return true
}

// A faultError is a panic of our own code in a goroutine.
type faultError struct{ value any }

func (e *faultError) Error() string {
	return fmt.Sprintf("ringout met a fault of its own (%v)", e.value)
}

// caught turns a panic of work into a *faultError: it must not end the program
// while lights are on.
func caught(work func()) (err error) {
	defer func() {
		if v := recover(); v != nil {
			err = &faultError{v}
		}
	}()
	work()
	return nil
}

// endAfterFault ends the streams that can still be ended after a panic.
func (s *Sender) endAfterFault(why error) {
	s.event("%v; the lights were turned off: start again", why)
	for _, h := range s.hosts {
		h.batch = h.batch[:0]
		if h.conn != nil {
			h.conn.wire.reset()
		}
	}
	ctx, stop := context.WithTimeout(context.Background(), time.Second)
	defer stop()
	if err := caught(func() { s.terminate(ctx) }); err != nil && len(s.unsent) == 0 {
		s.unsent = append(s.unsent, "some universes")
	}
	for _, h := range s.hosts {
		h.health.failed(time.Now(), Failed, why)
		h.publish()
	}
}

// takeSockets takes new sockets from the dialers and has their streams sent
// again.
func (s *Sender) takeSockets(now time.Time) {
	for _, h := range s.hosts {
		if !h.takeSocket(now) {
			continue
		}
		for _, st := range s.streams {
			if st.host == h {
				st.again()
			}
		}
	}
}

// tick sends what is due and returns the moment of the next packet.
func (s *Sender) tick(now time.Time) (next time.Time) {
	for _, st := range s.streams {
		if due := st.due(s.cfg.Steady); !due.IsZero() && !due.After(now) {
			st.host.add(st, 0)
			st.paced(now, s.cfg.Period)
		}
	}
	s.flush(now)
	for _, st := range s.streams {
		next = earlier(next, st.due(s.cfg.Steady))
	}
	return next
}

// flush sends the batches of all hosts and then the synchronization packets: no
// host may act before every host has its data.
func (s *Sender) flush(now time.Time) {
	s.synced = s.synced[:0]
	for _, h := range s.hosts {
		if len(h.batch) == 0 {
			continue
		}
		if h.flush(now) && s.cfg.Sync != 0 {
			s.synced = append(s.synced, h)
		}
	}
	if len(s.synced) > 0 {
		s.synchronize(s.synced, now)
	}
}

// synchronize sends one synchronization packet to each host that just got
// data: by unicast, or to the group of the synchronization address (6.3.3).
func (s *Sender) synchronize(hosts []*host, now time.Time) {
	s.syncBuf = protocol.AppendSync(s.syncBuf[:0], protocol.Sync{CID: s.cfg.CID, Sequence: s.syncs, Address: s.cfg.Sync})
	s.syncs++
	for _, h := range hosts {
		var to *net.UDPAddr
		if h.hostKey.host == "" {
			to = groupAddr(s.cfg.Sync, protocol.Port)
		}
		h.batch = append(h.batch, nil)
		h.conn.wire.add(s.syncBuf, to)
		h.flush(now)
	}
}

// terminate sends black and then the three packets that end each stream.
func (s *Sender) terminate(ctx context.Context) {
	s.unsent = nil
	for i := range 1 + protocol.Repeats {
		var more protocol.Options
		if i > 0 {
			more = protocol.Terminated
		}
		s.await(ctx)
		now := time.Now()
		s.takeSockets(now)
		for _, st := range s.streams {
			if st.packets.Load() == 0 || st.host.conn == nil {
				continue
			}
			if more == 0 && st.dark() {
				continue // already sent black three times (6.6.2)
			}
			if caught(func() { st.end(more) }) != nil {
				continue // a stream that panics must not keep the others lit
			}
			st.paced(now, s.cfg.Period)
		}
		s.flush(now)
		if i == protocol.Repeats {
			s.noteUnsent(now)
		}
	}
}

// await sleeps until every stream may send again, or ctx ends.
func (s *Sender) await(ctx context.Context) {
	var until time.Time
	for _, st := range s.streams {
		if st.used && st.next.After(until) {
			until = st.next
		}
	}
	stop := context.AfterFunc(ctx, s.alarm.ring)
	defer stop()
	for ctx.Err() == nil && time.Until(until) > 0 {
		s.alarm.sleep(until)
	}
}

func (s *Sender) noteUnsent(now time.Time) {
	for _, st := range s.streams {
		if st.packets.Load() > 0 && st.last != now {
			s.unsent = append(s.unsent, st.target.String())
		}
	}
}

func groupAddr(u protocol.Universe, port uint16) *net.UDPAddr {
	g := u.Group().As4()
	return &net.UDPAddr{IP: net.IP(g[:]), Port: int(port)}
}
