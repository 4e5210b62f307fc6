package protocol

// A Sequence follows one stream of packets by the rule of 6.7.2. Streams are
// kept apart by source, kind of packet and universe (or synchronization
// address). The zero value waits for the first packet.
type Sequence struct {
	last    uint8
	started bool
}

// Accept reports whether a receiver acts on a packet numbered n, and the signed
// 8-bit difference to the last one accepted (0 for the first). It drops what
// comes after its turn: a difference more than -20 and at most 0. A difference
// of n, 2 or more, means that n-1 packets are missing before this one; -20 or
// less means that the stream has restarted.
func (s *Sequence) Accept(n uint8) (diff int, ok bool) {
	if !s.started {
		s.last, s.started = n, true
		return 0, true
	}
	diff = int(int8(n - s.last))
	if !InOrder(s.last, n) {
		return diff, false
	}
	s.last = n
	return diff, true
}

// InOrder is the rule itself for two numbers, wrapping past 255 (6.7.2).
func InOrder(last, next uint8) bool {
	diff := int8(next - last)
	return diff <= -20 || diff > 0
}
