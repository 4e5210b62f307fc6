package protocol

import "time"

// A run is one unbroken stream of packets of one kind from one source: on a
// universe for data, to an address for synchronization. It applies the sequence
// rule (6.7.2) and the time-out (6.7.1).
type run struct {
	seq   Sequence
	begun time.Time // first packet since it was lost or ended
	last  time.Time // newest packet accepted
}

// lost reports whether nothing has come for 2.5 s (6.7.1, 11.1.2).
func (r *run) lost(now time.Time) bool { return now.Sub(r.last) >= LossTimeout }

// start begins a new run: any sequence number may come first.
func (r *run) start(now time.Time) { r.seq, r.begun, r.last = Sequence{}, now, now }

// accept applies the sequence rule (6.7.2) to number n.
func (r *run) accept(now time.Time, n uint8) (by step, ok bool) {
	by.gap = now.Sub(r.last)
	if by.numbers, ok = r.seq.Accept(n); ok {
		r.last = now
	}
	return by, ok
}

// A step is how far one packet lies from the one before it in its run.
type step struct {
	first   bool // no packet of this run came before
	numbers int  // signed difference of the sequence numbers; 0 when first
	gap     time.Duration
}

// missed notes that packets may have been missed until now: the next number may
// be any, and silence counts from now on.
func (r *run) missed(now time.Time) { r.seq, r.last = Sequence{}, now }

// place finds an entry of a list, or appends one. When the list is full, the
// oldest entry is replaced. The caller fills in a new entry.
func place[T any](list []T, most int, is func(*T) bool, last func(*T) time.Time) (_ []T, at *T, found bool) {
	stalest := 0
	for i := range list {
		if is(&list[i]) {
			return list, &list[i], true
		}
		if last(&list[i]).Before(last(&list[stalest])) {
			stalest = i
		}
	}
	if len(list) < most {
		list = append(list, *new(T))
		return list, &list[len(list)-1], false
	}
	list[stalest] = *new(T)
	return list, &list[stalest], false
}
