package link

import (
	"math"
	"time"
)

// maintainEvery is how often rates are taken and the clock is looked at.
const maintainEvery = 500 * time.Millisecond

// maintainWait is how much longer it may wait for a packet to be due, so that it
// needs no wake of its own.
const maintainWait = 100 * time.Millisecond

// A maintenance is when the sender last did what is not sending.
type maintenance struct {
	last   time.Time
	counts []uint64 // packets of each stream then
	lit    int      // streams that had sent one
}

// maintain does what is not sending, when it is time: rates, and a look at the clock,
// which jumps when the machine has slept, and at the network. It runs in the
// sender's goroutine, which is awake anyway: a timer of its own costs several wakes
// of the runtime each time. It returns when it must run next.
func (s *Sender) maintain(now time.Time) (next time.Time) {
	m := &s.kept
	if m.last.IsZero() {
		m.last, m.counts = now, make([]uint64, len(s.streams))
	}
	if passed := now.Sub(m.last); passed >= maintainEvery {
		if gap := clockGap(m.last, now); gap > 2*time.Second {
			s.redialAfterSleep(gap)
		}
		if s.changes.any() {
			s.cache.old.Store(true)
			for _, h := range s.hosts {
				h.look()
			}
		}
		m.last = now
		s.wakeAnnouncer(s.takeRates(m.counts, passed))
	}
	return m.last.Add(maintainEvery + maintainWait)
}

// wakeAnnouncer wakes the announcer when another number of streams is lit.
func (s *Sender) wakeAnnouncer(lit int) {
	if s.silent.Load() {
		lit = 0
	}
	if lit == s.kept.lit {
		return
	}
	s.kept.lit = lit
	select {
	case s.announce <- struct{}{}:
	default:
	}
}

// clockGap is how much longer than it should the wall clock says a pause
// was. Whether the other clock stops while the machine sleeps depends on the
// system.
func clockGap(from, to time.Time) time.Duration {
	return to.Round(0).Sub(from.Round(0)) - maintainEvery
}

// redialAfterSleep has every socket opened again after a sleep of the machine.
func (s *Sender) redialAfterSleep(gap time.Duration) {
	s.event("the clock went on by %v while nothing ran, as after a sleep of the machine: sending starts again", gap.Round(time.Second))
	for _, h := range s.hosts {
		h.stale.Store(true)
		h.look()
	}
}

// takeRates keeps the packets per second of the last second or so, and counts the
// streams that have sent any.
func (s *Sender) takeRates(counts []uint64, passed time.Duration) (lit int) {
	for i, st := range s.streams {
		n := st.packets.Load()
		now := float64(n-counts[i]) / passed.Seconds()
		was := math.Float64frombits(st.rate.Load())
		if was != 0 && now != 0 {
			now = (was + now) / 2
		}
		st.rate.Store(math.Float64bits(now))
		counts[i] = n
		if n > 0 {
			lit++
		}
	}
	return lit
}
