package show

import (
	"slices"
	"time"

	"example.org/ringout/patterns"
	"example.org/ringout/protocol/link"
)

// Time between snapshots.
const (
	snapEvery = time.Second / 30 // at most, while things change
	linkEvery = time.Second / 2  // when nothing changes, for the state of the link
)

// A report is the state of the last snapshot.
type report struct {
	at     time.Time      // of the last snapshot
	due    time.Time      // of the next
	wanted patterns.Frame // copies in snapshots; nil when out of date
	sent   patterns.Frame
	stale  bool // something changed since
	links  []link.Status
	key    key
}

// A key distinguishes two snapshots with the same frames.
type key struct {
	moment  int
	limited dimming
	held    bool
	speed   float64
}

// publish hands out a snapshot if one is due: at once after a pause, otherwise
// at most 30 a second. An unchanged frame is not copied again.
func (s *Show) publish(now time.Time) {
	r := &s.report
	k := key{s.drawn.moment.Step, s.drawn.dimming, !s.held.IsZero(), s.walk.speed}
	if r.sent == nil || k != r.key || s.fresh {
		r.stale, r.key, s.fresh = true, k, false
	}
	wait := linkEvery
	if r.stale {
		wait = snapEvery
	}
	if r.due = r.at.Add(wait); now.Before(r.due) {
		return
	}
	s.publishNow(now)
}

func (s *Show) publishNow(now time.Time) {
	r := &s.report
	if r.sent == nil {
		r.wanted, r.sent = slices.Clone(s.drawn.wanted), slices.Clone(s.drawn.sent)
	}
	links := s.out.Status()
	still := !r.stale && slices.EqualFunc(links, r.links, func(a, b link.Status) bool { return a.State == b.State })
	r.links = links
	r.at, r.due, r.stale = now, now.Add(linkEvery), false
	if slices.ContainsFunc(links, func(l link.Status) bool { return l.Waiting && l.State.OK() }) {
		r.due, r.stale = now.Add(snapEvery), true // callers wait for these packets to leave, so the next snapshot comes soon
	}
	d := &s.drawn
	s.snaps.Put(Snapshot{
		Want: s.want, Wanted: r.wanted, Sent: r.sent, Moment: d.moment, Speed: s.walk.speed,
		Level: d.level, Limited: d.lowered, NoLight: d.noLight, Held: !s.held.IsZero(), Holds: s.guard.holds,
		Amps: d.amps, MaxAmps: s.limiter.max, Links: links, Still: still, At: now,
	})
}
