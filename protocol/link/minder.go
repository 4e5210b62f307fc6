package link

import (
	"context"
	"math"
	"time"
)

// mindEvery is how often rates are taken and the clock is looked at.
const mindEvery = 500 * time.Millisecond

// mind does what is not sending: rates, the universe discovery packets, and a
// look at the clock, which jumps when the machine has slept.
func (s *Sender) mind(ctx context.Context) {
	tick := time.NewTicker(mindEvery)
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
		if gap := overslept(last, now); gap > 2*time.Second {
			s.awoke(gap)
		}
		s.takeRates(counts, now.Sub(last))
		last = now
		if !s.cfg.Unannounced {
			a.announce(ctx, now)
		}
	}
}

// overslept is how much longer than it should the wall clock says a pause
// was. Whether the other clock stops while the machine sleeps depends on the
// system.
func overslept(from, to time.Time) time.Duration {
	return to.Round(0).Sub(from.Round(0)) - mindEvery
}

// awoke has every socket opened anew after a sleep of the machine.
func (s *Sender) awoke(gap time.Duration) {
	s.event("the clock went on by %v while nothing ran, as after a sleep of the machine: sending starts anew", gap.Round(time.Second))
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
