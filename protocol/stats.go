package protocol

import (
	"math/bits"
	"net/netip"
	"time"
)

// stats are a Tracker's figures of one source on one universe.
type stats struct {
	first  time.Time // time of the very first packet
	seen   uint32    // bit i: the number i before the last one has come
	reach  int       // how many numbers before the last one the run began, at most 31
	slots  int       // slots in the newest packet with levels
	total  tally
	recent [window]tally
	codes  []StartCount
	froms  []fromCount
	from   netip.AddrPort
	iface  string
	copied bool
	group  netip.Addr
	gap    time.Duration // between the last two packets
	jitter float64       // nanoseconds
}

// A tally counts packets over some time.
type tally struct {
	second   int64 // the second that this tally is of
	packets  int   // accepted
	missing  int   // numbers skipped and not come since
	twice    int   // numbers come again
	late     int   // numbers come after a higher one, for the first time
	jumps    int   // runs that began again: a step back of 20 or more
	trailing int   // packets with octets after their end
	switches int   // the address changed from one packet to the next
	apart    int   // such switches with a jump of the number too large for one source on two network paths
}

// near is the largest difference between the numbers of one source on two
// network paths: one path may be a packet ahead, and one more may be lost.
const near = 2

// window is how many seconds rate and loss look back.
const window = 5

// Limits for one stream.
const (
	maxCodes = 8
	maxFroms = 4
)

// A fromCount is one address that a stream came from. Two live ones mean a
// source with two network paths, or two devices with one CID, against 5.6.
type fromCount struct {
	addr netip.AddrPort
	name SourceName
	last time.Time
}

// hear counts a packet; v is the receiver's verdict.
func (st *stats) hear(h Datagram, d *Data, by step, v Verdict) {
	if by.first {
		st.jitter, st.gap = 0, 0
		st.recent = [window]tally{}
	}
	now := st.second(h.At)
	switched := st.hearFrom(h, d.Source)
	if len(h.Octets) > slotsAt+int(d.Count) {
		st.bump(now, func(c *tally) { c.trailing++ })
	}
	if switched {
		st.bump(now, func(c *tally) { c.switches++ })
		if by.numbers < -near || by.numbers > near {
			st.bump(now, func(c *tally) { c.apart++ })
		}
	}
	if v == OutOfTurn {
		st.hearLate(now, -by.numbers)
		return
	}
	st.count(now, by.numbers)
	st.time(by)
	st.hearCode(d.StartCode)
	if d.StartCode == StartLevels {
		st.slots = int(d.Count)
	}
}

// second is the tally of the second that at lies in.
func (st *stats) second(at time.Time) *tally {
	s := at.Unix()
	t := &st.recent[uint64(s)%window]
	if t.second != s {
		*t = tally{second: s}
	}
	return t
}

// bump counts in the tally of the second and in the total.
func (st *stats) bump(now *tally, f func(*tally)) {
	f(now)
	f(&st.total)
}

// count folds in an accepted packet, diff numbers after the last one.
func (st *stats) count(now *tally, diff int) {
	missing, jumps := 0, 0
	switch {
	case diff <= -20:
		st.seen, st.reach, jumps = 1, 0, 1
	case diff == 0: // the first packet
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

// hearLate counts a packet that the sequence rule drops, back numbers behind.
func (st *stats) hearLate(now *tally, back int) {
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

// time smooths the variation of the gap between packets by RFC 3550 6.4.1 for a
// steady sender: a sixteenth of each new difference.
func (st *stats) time(by step) {
	if by.numbers != 1 {
		st.gap = 0
		return
	}
	if st.gap > 0 {
		st.jitter += (float64((by.gap - st.gap).Abs()) - st.jitter) / 16
	}
	st.gap = by.gap
}

// patience is how many numbers back a packet may still be on its way rather
// than lost: 0.2 s at 44 Hz (our choice).
const patience = 8

// newest returns how many of the newest numbers have come, and how many not
// yet.
func (st *stats) newest() (came, outstanding int) {
	n := min(st.reach, patience) + 1
	came = bits.OnesCount32((1<<n - 1) & st.seen)
	return came, n - came
}

// hearCode counts packets of a START code (7.7; E1.11). At most maxCodes codes
// are counted separately, since a source may send all 256.
func (st *stats) hearCode(code uint8) {
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
// another one.
func (st *stats) hearFrom(h Datagram, name SourceName) (switched bool) {
	st.iface, st.group, st.copied = h.Interface, h.Group, h.Copied
	switched = st.from != h.From && st.from.IsValid()
	st.from = h.From
	var f *fromCount
	st.froms, f, _ = place(st.froms, maxFroms,
		func(f *fromCount) bool { return f.addr == h.From }, func(f *fromCount) time.Time { return f.last })
	f.addr, f.name, f.last = h.From, name, h.At
	return switched
}

// sum adds up the recent tallies of a run and returns the time that they cover.
func (st *stats) sum(a *account, now time.Time) (tally, time.Duration) {
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
	if a.begun.After(since) {
		since = a.begun
	}
	return t, now.Sub(since)
}

// rate is packets per second of the packets in t, over a time. While the first
// packet of the run is among them, gaps are counted instead of packets;
// otherwise the rate would start too high. A silence longer than a gap counts
// too; otherwise three quick packets would give a rate of hundreds.
func (a *account) rate(t tally, over time.Duration, now time.Time) float64 {
	n := t.packets + t.late
	if over < (window-1)*time.Second {
		n--
		if span := a.last.Sub(a.begun); now.Sub(a.last)*time.Duration(n) <= 2*span {
			over = span
		}
	}
	if state, _ := a.stateAt(now); state != Live || n <= 0 || over <= 0 {
		return 0
	}
	return float64(n) / over.Seconds()
}
