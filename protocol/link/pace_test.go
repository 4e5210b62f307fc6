package link

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/testkit/lateness"
	"example.org/ringout/protocol"
)

// However often values change, a universe never goes faster than E1.11's
// refresh rate (ANSI E1.31-2018 6.6.1): n packets take (n-1) periods, less the
// slack for one late wake-up.
func TestNeverFasterThan44Hz(t *testing.T) {
	t.Parallel()
	r := receive(t, "127.0.0.1:0")
	late := lateness.Watch(t)
	s := open(t, config(to(r, 1)))
	for n := range 1500 {
		s.Put([][]byte{{byte(n), byte(n >> 8)}})
		time.Sleep(time.Millisecond)
	}
	list := r.during(30 * time.Millisecond)
	span := list[len(list)-1].at.Sub(list[0].at)
	// A busy machine hands the first packet over late, by up to a period here and
	// what it is late besides; TestPacingRule holds the rule itself to the slack.
	least := time.Duration(len(list)-2)*protocol.MinPeriod - slack - late.Worst()
	require.GreaterOrEqual(t, span, least, "%d packets", len(list))
	require.Greater(t, len(list), 50)
}

// Steady repeats unchanged data at the full rate and does not drift.
func TestSteady(t *testing.T) {
	t.Parallel()
	r := receive(t, "127.0.0.1:0")
	late := lateness.Watch(t)
	cfg := config(to(r, 1))
	cfg.Steady = true
	s := open(t, cfg)
	began := time.Now()
	s.Put([][]byte{{1}})
	inASecond := 0
	for n := range 60 {
		p := r.next(t)
		require.Equal(t, byte(n), p.seq())
		if p.at.Sub(began) <= time.Second {
			inASecond++
		}
	}
	require.LessOrEqual(t, inASecond, 45)
	require.Less(t, time.Since(began), 4*time.Second+late.Total(), "15 a second at least; keeping alive would be one")
}

// The pacing rule itself, with whatever wake-ups a machine comes up with: the
// rate over any stretch keeps below one packet a period, late wake-ups are
// never made up for by a burst, and small ones do not lower the rate.
func TestPacingRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := time.Unix(1000, 0)
		s := &stream{next: start}
		var sent []time.Time
		for range rapid.IntRange(2, 200).Draw(t, "packets") {
			late := time.Duration(rapid.Int64Range(0, int64(60*time.Millisecond)).Draw(t, "late"))
			if rapid.IntRange(0, 9).Draw(t, "mostly on time") > 0 {
				late %= slack
			}
			now := s.next.Add(late)
			sent = append(sent, now)
			s.paced(now, protocol.MinPeriod)
		}
		for i := range sent {
			for j := i + 1; j < len(sent); j++ {
				n := time.Duration(j - i)
				if gap := sent[j].Sub(sent[i]); gap < n*protocol.MinPeriod-slack {
					t.Fatalf("%d packets within %v", n+1, gap)
				}
			}
		}
	})
}

func TestPacingDoesNotDrift(t *testing.T) {
	start := time.Unix(1000, 0)
	s := &stream{next: start}
	for i := range 1000 {
		now := start.Add(time.Duration(i)*protocol.MinPeriod + slack/2)
		require.False(t, s.next.After(now))
		s.paced(now, protocol.MinPeriod)
	}
	require.Equal(t, start.Add(1000*protocol.MinPeriod), s.next)
}

// Both alarms: a ring before the sleep is not lost, one during it ends it, and
// a moment in the past returns at once.
func TestAlarms(t *testing.T) {
	for name, a := range map[string]alarm{"system": newAlarm(), "timer": newTimerAlarm()} {
		t.Run(name, func(t *testing.T) {
			defer a.close()
			a.ring()
			a.ring()
			require.True(t, a.sleep(time.Now().Add(time.Minute)))
			require.False(t, a.sleep(time.Now().Add(-time.Second)))
			began := time.Now()
			require.False(t, a.sleep(began.Add(20*time.Millisecond)))
			require.GreaterOrEqual(t, time.Since(began), 20*time.Millisecond)
			for range 200 {
				go a.ring()
				require.True(t, a.sleep(time.Time{}))
			}
		})
	}
}

// What is put at any moment of the pace leaves soon, and not with the next
// packet that keeps the stream alive (6.6.2, 0.8 s at least).
func TestWhatIsPutAtAnyMomentLeavesSoon(t *testing.T) {
	t.Parallel()
	late := lateness.Watch(t)
	r := receive(t, "127.0.0.1:0")
	s := open(t, config(to(r, 1)))
	rng := rand.New(rand.NewPCG(5, 6))
	for i := range byte(60) {
		before, began := late.Total(), time.Now()
		s.Put([][]byte{{i + 1}})
		for r.next(t).b[octetSlots] != i+1 {
		}
		require.Less(t, time.Since(began), protocol.KeepAliveMin/2+late.Total()-before, "change %d", i)
		time.Sleep(time.Duration(rng.Int64N(int64(3 * protocol.MinPeriod))))
	}
}
