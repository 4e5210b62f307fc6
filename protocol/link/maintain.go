package link

import (
	"context"
	"math"
	"time"
)

// maintainEvery is how often rates are taken and the clock is looked at.
const maintainEvery = 500 * time.Millisecond

// maintain does what is not sending: rates, the universe discovery packets, and a
// look at the clock, which jumps when the machine has slept.
func (s *Sender) maintain(ctx context.Context) {
	tick := time.NewTicker(maintainEvery)
	defer tick.Stop()
	a := announcer{Sender: s}
	counts := make([]uint64, len(s.streams))
	last := time.Now()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		now := time.Now()
		if gap := clockGap(last, now); gap > 2*time.Second {
			s.redialAfterSleep(gap)
		}
		s.takeRates(counts, now.Sub(last))
		last = now
		if !s.cfg.Unannounced {
			a.announce(ctx, now)
		}
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
		select {
		case h.wake <- struct{}{}:
		default:
		}
	}
}

// takeRates keeps the packets per second of the last second or so.
func (s *Sender) takeRates(counts []uint64, passed time.Duration) {
	for i, st := range s.streams {
		n := st.packets.Load()
		now := float64(n-counts[i]) / passed.Seconds()
		was := math.Float64frombits(st.rate.Load())
		if was != 0 && now != 0 {
			now = (was + now) / 2
		}
		st.rate.Store(math.Float64bits(now))
		counts[i] = n
	}
}
