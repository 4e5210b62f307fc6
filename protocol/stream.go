package protocol

import (
	"fmt"
	"net/netip"
	"time"
)

// A StreamState is how a source stands on one universe.
type StreamState uint8

// The states of a stream.
const (
	Live     StreamState = iota // heard within 2.5 s
	Lost                        // silent for 2.5 s or more (6.7.1)
	Finished                    // said that it ends (6.2.6)
)

// String is a plain word for it.
func (s StreamState) String() string {
	return [...]string{"live", "lost", "ended"}[min(s, Finished)]
}

// MarshalText is String.
func (s StreamState) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (s *StreamState) UnmarshalText(text []byte) error {
	for _, state := range []StreamState{Live, Lost, Finished} {
		if state.String() == string(text) {
			*s = state
			return nil
		}
	}
	return fmt.Errorf("stream state %q is none of live, lost, ended", text)
}

// A stream is one source on one universe.
type stream struct {
	universe Universe
	priority uint8
	options  Options
	sync     Universe
	slots    int
	ended    bool
	first    time.Time // of all
	begun    time.Time // since it was last lost or ended
	last     time.Time // accepted
	endedAt  time.Time
	seq      Sequence
	seen     uint32 // bit i: the number i before the last one has come
	reach    int    // how many numbers before the last one the stream began; 31 and more are one
	total    tally
	recent   [window]tally
	codes    []StartCount
	froms    []fromCount
	from     netip.AddrPort
	iface    string
	group    netip.Addr
	gap      time.Duration // between the last two packets
	jitter   float64       // nanoseconds
}

// A tally counts packets over some time.
type tally struct {
	second   int64 // that a recent tally belongs to
	packets  int   // accepted
	missing  int   // numbers skipped and not come since
	twice    int   // numbers come again
	late     int   // numbers come after a higher one, for the first time
	jumps    int   // streams that started anew: a step back of 20 or more
	trailing int   // packets with octets after their end
	switches int   // the address changed from one packet to the next
	apart    int   // and so did the number, by more than one source's packets on two ways would
}

// near is how far the numbers on two ways from one source lie apart at most:
// one way may be a packet ahead, and one more may be lost.
const near = 2

// window is how many seconds rate and loss look back.
const window = 5

// What is kept of one stream at most.
const (
	maxCodes = 8
	maxFroms = 4
)

type fromCount struct {
	addr    netip.AddrPort
	name    SourceName
	packets uint64
	last    time.Time
}

func (st *stream) state(now time.Time) StreamState {
	switch {
	case st.ended:
		return Finished
	case now.Sub(st.last) >= LossTimeout:
		return Lost
	default:
		return Live
	}
}

// hear folds a packet of the stream in.
func (st *stream) hear(h Heard, d *Data) {
	if st.begun.IsZero() || st.state(h.At) != Live {
		if d.Options&Terminated != 0 {
			return // the second and third of a farewell
		}
		st.seq.Reset()
		st.begun, st.ended, st.jitter, st.gap = h.At, false, 0, 0
		st.recent = [window]tally{}
	}
	now := st.second(h.At)
	switched := st.hearFrom(h, d.Source)
	if len(h.Octets) > slotsAt+int(d.Count) {
		st.bump(now, func(c *tally) { c.trailing++ })
	}
	diff, ok := st.seq.Accept(d.Sequence)
	if switched {
		st.bump(now, func(c *tally) { c.switches++ })
		if diff < -near || diff > near {
			st.bump(now, func(c *tally) { c.apart++ })
		}
	}
	if !ok {
		st.hearLate(now, -diff)
		return
	}
	st.count(now, diff)
	st.time(h.At, diff)
	st.last, st.priority, st.options, st.sync = h.At, d.Priority, d.Options, d.SyncAddress
	st.hearCode(d.StartCode)
	if d.StartCode == StartLevels {
		st.slots = int(d.Count)
	}
	if d.Options&Terminated != 0 {
		st.ended, st.endedAt = true, h.At
	}
}

// second is the tally of the second that at lies in.
func (st *stream) second(at time.Time) *tally {
	s := at.Unix()
	t := &st.recent[uint64(s)%window]
	if t.second != s {
		*t = tally{second: s}
	}
	return t
}

// bump counts for the second and for good.
func (st *stream) bump(now *tally, f func(*tally)) {
	f(now)
	f(&st.total)
}

// count folds in an accepted packet, diff numbers after the last one.
func (st *stream) count(now *tally, diff int) {
	missing, jumps := 0, 0
	switch {
	case diff <= -20:
		st.seen, st.reach, jumps = 1, 0, 1
	case diff == 0: // the first
		st.seen, st.reach = 1, 0
	default:
		st.reach = min(st.reach+diff, 31)
		st.seen = st.seen<<diff | 1 // Go shifts to 0 from 32 on
		missing = diff - 1
	}
	for _, c := range [...]*tally{now, &st.total} {
		c.packets++
		c.missing += missing
		c.jumps += jumps
	}
}

// hearLate folds in a packet that the sequence rule drops, back numbers behind.
func (st *stream) hearLate(now *tally, back int) {
	if st.seen&(1<<back) != 0 {
		st.bump(now, func(c *tally) { c.twice++ })
		return
	}
	st.seen |= 1 << back
	counted := back <= st.reach // as missing, when a higher one came
	st.bump(now, func(c *tally) {
		c.late++
		if counted {
			c.missing--
		}
	})
}

// time smooths how much the gap between packets varies, as RFC 3550 6.4.1 does
// for a steady sender: a sixteenth of each new difference.
func (st *stream) time(at time.Time, diff int) {
	gap := at.Sub(st.last)
	if diff == 1 && st.gap > 0 {
		st.jitter += (float64((gap - st.gap).Abs()) - st.jitter) / 16
	}
	if diff == 1 {
		st.gap = gap
	} else {
		st.gap = 0
	}
}

func (st *stream) hearCode(code uint8) {
	for i := range st.codes {
		if st.codes[i].Code == code {
			st.codes[i].Packets++
			return
		}
	}
	if len(st.codes) < maxCodes {
		st.codes = append(st.codes, StartCount{Code: code, Packets: 1})
	}
}

// hearFrom notes the address, and reports whether the packet before came from
// another one. The stalest address makes room.
func (st *stream) hearFrom(h Heard, name SourceName) (switched bool) {
	st.iface, st.group = h.Interface, h.Group
	switched = st.from != h.From && st.from.IsValid()
	st.from = h.From
	stalest := 0
	for i := range st.froms {
		f := &st.froms[i]
		if f.addr == h.From {
			f.packets++
			f.last, f.name = h.At, name
			return switched
		}
		if f.last.Before(st.froms[stalest].last) {
			stalest = i
		}
	}
	f := fromCount{addr: h.From, name: name, packets: 1, last: h.At}
	if len(st.froms) < maxFroms {
		st.froms = append(st.froms, f)
	} else {
		st.froms[stalest] = f
	}
	return switched
}

// sum adds up the recent tallies and says over how long.
func (st *stream) sum(now time.Time) (tally, time.Duration) {
	var t tally
	oldest := now.Unix() - window + 1
	for _, r := range st.recent {
		if r.second < oldest || r.second > now.Unix() {
			continue
		}
		t.packets += r.packets
		t.missing += r.missing
		t.twice += r.twice
		t.late += r.late
		t.jumps += r.jumps
		t.switches += r.switches
		t.apart += r.apart
	}
	since := time.Unix(oldest, 0)
	if st.begun.After(since) {
		since = st.begun
	}
	return t, now.Sub(since)
}

// rate is packets per second of late. From the first packet on it counts gaps
// rather than packets, or it would start too high.
func (st *stream) rate(now time.Time) float64 {
	t, over := st.sum(now)
	if st.state(now) != Live || over <= 0 {
		return 0
	}
	n := t.packets
	if over < (window-1)*time.Second {
		n, over = n-1, st.last.Sub(st.begun)
	}
	if n <= 0 || over <= 0 {
		return 0
	}
	return float64(n) / over.Seconds()
}
