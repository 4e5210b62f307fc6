package link

import (
	"math"
	"time"
)

// maintainEvery is the time between two measurements of the rates and checks of
// the clock.
const maintainEvery = 500 * time.Millisecond

// maintainWait is how much longer maintenance may wait for a packet to be due,
// to save a wake of its own.
const maintainWait = 100 * time.Millisecond

// A maintenance is the state at the sender's last maintenance.
type maintenance struct {
	last   time.Time
	counts []uint64 // packets of each stream at that time
	lit    int      // streams that had sent one
}

// maintain measures the rates and checks the clock, which jumps when the
// machine has slept, and the network. It runs in the sender's goroutine, which
// is awake anyway: a separate timer costs several wakes of the runtime each
// time. It returns when it must run next.
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

// wakeAnnouncer wakes the announcer when the number of streams sent has
// changed.
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

// clockGap is how much longer a pause was by the wall clock than by the
// monotonic clock. Whether the monotonic clock stops while the machine sleeps
// depends on the system.
func clockGap(from, to time.Time) time.Duration {
	return to.Round(0).Sub(from.Round(0)) - maintainEvery
}

// redialAfterSleep has every socket reopened after a sleep of the machine.
func (s *Sender) redialAfterSleep(gap time.Duration) {
	s.event("the clock went on by %v while nothing ran, as after the machine's sleep: sending starts again", gap.Round(time.Second))
	for _, h := range s.hosts {
		h.stale.Store(true)
		h.look()
	}
}

// takeRates stores the packets per second since the last call, and counts the
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
