package wirecheck

import (
	"encoding/binary"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// The traces are laid out here octet by octet from tables 4-1 to 4-3, since
// nothing else of ringout may be used.

var cid = []byte{0, 0x11, 0x22, 0x33, 0x44, 0x55, 0x66, 0x77, 0x88, 0x99, 0xaa, 0xbb, 0xcc, 0xdd, 0xee, 0xff}

func layout(size int, root uint32, framing uint32) []byte {
	b := make([]byte, size)
	copy(b, "\x00\x10\x00\x00ASC-E1.17")
	binary.BigEndian.PutUint16(b[16:], 0x7000|uint16(size-16))
	binary.BigEndian.PutUint32(b[18:], root)
	copy(b[22:], cid)
	binary.BigEndian.PutUint16(b[38:], 0x7000|uint16(size-38))
	binary.BigEndian.PutUint32(b[40:], framing)
	return b
}

func dataOctets(u int, sequence byte, slots ...byte) []byte {
	b := layout(126+len(slots), 4, 2)
	copy(b[44:], "bench")
	b[108] = 100
	b[111] = sequence
	binary.BigEndian.PutUint16(b[113:], uint16(u))
	binary.BigEndian.PutUint16(b[115:], 0x7000|uint16(len(b)-115))
	copy(b[117:], []byte{2, 0xa1, 0, 0, 0, 1})
	binary.BigEndian.PutUint16(b[123:], uint16(len(slots)+1))
	copy(b[126:], slots)
	return b
}

func syncOctets(address int, sequence byte) []byte {
	b := layout(49, 8, 1)
	b[44] = sequence
	binary.BigEndian.PutUint16(b[45:], uint16(address))
	return b
}

func listOctets(page, last byte, us ...int) []byte {
	b := layout(120+2*len(us), 8, 2)
	copy(b[44:], "bench")
	binary.BigEndian.PutUint16(b[112:], 0x7000|uint16(len(b)-112))
	b[117], b[118], b[119] = 1, page, last
	for i, u := range us {
		binary.BigEndian.PutUint16(b[120+2*i:], uint16(u))
	}
	return b
}

const period = 22728 * time.Microsecond

// A script builds a trace.
type script struct {
	at       time.Time
	sequence byte
	packets  []Packet
}

func (s *script) add(octets []byte) {
	s.packets = append(s.packets, Packet{At: s.at, Octets: octets})
}

// send adds data for universe 1 after a gap.
func (s *script) send(gap time.Duration, slots ...byte) []byte {
	s.at = s.at.Add(gap)
	b := dataOctets(1, s.sequence, slots...)
	s.sequence++
	s.add(b)
	return b
}

// shift moves data packets in time, from one index on.
func (s *script) shift(from int, by time.Duration) {
	for i, p := range s.packets {
		if i >= from && p.Octets[21] == 4 {
			s.packets[i].At = p.At.Add(by)
		}
	}
}

// end adds the three terminated packets.
func (s *script) end(n int, gap time.Duration) {
	for range n {
		s.send(gap, 0, 0)[112] = 0x40
	}
}

// whole is a trace without a fault: values that change, then stand still, are
// kept alive, then black and the end; lists of universes all along.
func whole() *script {
	s := &script{at: time.Unix(1700000000, 0), sequence: 250}
	begun := s.at
	lists := 0
	send := func(gap time.Duration, slots ...byte) {
		due := begun.Add(period + time.Millisecond + time.Duration(lists)*10*time.Second)
		if after := s.at.Add(gap); after.After(due) {
			s.packets = append(s.packets, Packet{At: due, Octets: listOctets(0, 0, 1)})
			lists++
		}
		s.send(gap, slots...)
	}
	for i := range 100 {
		send(period, byte(i), 1)
	}
	send(period, 99, 1)
	send(period, 99, 1)
	for range 25 {
		send(900*time.Millisecond, 99, 1)
	}
	for range 3 {
		s.send(period, 0, 0)
	}
	s.end(3, period)
	return s
}

func TestWholeTrace(t *testing.T) {
	require.Empty(t, Check(whole().packets, Want{Black: true, Discovery: true}))
}

// A trace in steady refresh: never suppressed (6.6.2 allows, not demands, it).
func TestSteadyTrace(t *testing.T) {
	s := &script{at: time.Unix(1700000000, 0)}
	for range 300 {
		s.send(period, 1, 2)
	}
	s.end(3, period)
	require.Empty(t, Check(s.packets, Want{Steady: true}))
	require.Equal(t, []string{"suppression"}, Names(Check(s.packets, Want{})))
}

func TestSynchronisedTrace(t *testing.T) {
	require.Empty(t, Check(synchronised(7962).packets, Want{}))
}

// synchronised is a trace in which each data packet waits for its own
// synchronization packet.
func synchronised(address int) *script {
	s := &script{at: time.Unix(1700000000, 0)}
	for i := range 50 {
		binary.BigEndian.PutUint16(s.send(period, byte(i))[109:], uint16(address))
		s.add(syncOctets(address, byte(i+230)))
	}
	s.end(3, period)
	return s
}

// broken are traces that break one rule and nothing else.
var broken = []struct {
	rule, name string
	want       Want
	spoil      func(s *script)
}{
	{"root", "preamble", Want{}, func(s *script) { s.packets[5].Octets[1] = 0x11 }},
	{"root", "identifier", Want{}, func(s *script) { s.packets[5].Octets[9] = 'e' }},
	{"root", "vector", Want{}, func(s *script) { s.packets[5].Octets[21] = 5 }},
	{"root", "CID changes", Want{}, func(s *script) { s.packets[5].Octets[30]++ }},
	{"root", "runt", Want{}, func(s *script) { s.packets[5].Octets = s.packets[5].Octets[:40] }},
	{"lengths", "root", Want{}, func(s *script) { s.packets[5].Octets[17]++ }},
	{"lengths", "framing flags", Want{}, func(s *script) { s.packets[5].Octets[38] = 0x60 }},
	{"lengths", "DMP", Want{}, func(s *script) { s.packets[5].Octets[116]++ }},
	{"lengths", "octets past the end", Want{}, func(s *script) { s.packets[5].Octets = append(s.packets[5].Octets, 0) }},
	{"name", "not filled with NUL", Want{}, func(s *script) { s.packets[5].Octets[107] = 'x' }},
	{"name", "not UTF-8", Want{}, func(s *script) { s.packets[5].Octets[44] = 0xff }},
	{"fields", "priority", Want{}, func(s *script) { s.packets[50].Octets[108] = 201 }},
	{"fields", "reserved option", Want{Steady: true}, func(s *script) { s.packets[50].Octets[112] = 0x10 }},
	{"fields", "count", Want{}, func(s *script) { s.packets[50].Octets[124]++ }},
	{"fields", "address type", Want{}, func(s *script) { s.packets[50].Octets[118] = 0xa2 }},
	{"fields", "increment", Want{}, func(s *script) { s.packets[50].Octets[122] = 2 }},
	{"fields", "reserved of discovery", Want{}, func(s *script) { s.packets[1].Octets[111] = 1 }},
	{"group", "another universe's", Want{}, func(s *script) {
		s.packets[5].To = netip.MustParseAddrPort("239.255.0.2:5568")
	}},
	{"group", "another port", Want{}, func(s *script) { s.packets[5].To = netip.MustParseAddrPort("239.255.0.1:5569") }},
	{"sequence", "one skipped", Want{}, func(s *script) {
		for _, p := range s.packets[50:] {
			if p.Octets[21] == 4 {
				p.Octets[111]++
			}
		}
	}},
	{"sequence", "stands still", Want{}, func(s *script) { s.packets[50].Octets[111]-- }},
	{"rate", "one packet too early", Want{}, func(s *script) { s.packets[50].At = s.packets[49].At.Add(5 * time.Millisecond) }},
	{"rate", "45 Hz", Want{}, func(s *script) {
		for i := range s.packets[:60] {
			s.packets[i].At = s.packets[i].At.Add(time.Duration(60-i) * 600 * time.Microsecond)
		}
	}},
	{"suppression", "silent too long", Want{}, func(s *script) { s.shift(112, 200*time.Millisecond) }},
	{"suppression", "kept alive too often", Want{}, func(s *script) { s.shift(112, -200*time.Millisecond) }},
	{"suppression", "new values sent once", Want{}, func(s *script) { s.shift(51, 700*time.Millisecond) }},
	{"termination", "two packets", Want{}, func(s *script) { s.packets = s.packets[:len(s.packets)-1] }},
	{"termination", "none", Want{}, func(s *script) { s.packets = s.packets[:len(s.packets)-3] }},
	{"termination", "four", Want{}, func(s *script) { s.end(1, period) }},
	{"termination", "not black before", Want{Black: true}, func(s *script) {
		for i := 4; i <= 6; i++ {
			s.packets[len(s.packets)-i].Octets[126] = 1
		}
	}},
	{"sync", "data waits for ever", Want{}, func(s *script) {
		for _, p := range s.packets {
			if p.Octets[21] == 4 {
				p.Octets[110] = 77
			}
		}
	}},
	{"sync", "that no stream asks for", Want{}, func(s *script) { s.add(syncOctets(77, 0)) }},
	{"discovery", "none", Want{Discovery: true}, func(s *script) {
		var kept []Packet
		for _, p := range s.packets {
			if p.Octets[21] == 4 {
				kept = append(kept, p)
			}
		}
		s.packets = kept
	}},
	{"discovery", "a universe too many", Want{}, func(s *script) { s.packets[1].Octets = listOctets(0, 0, 1, 2) }},
	{"discovery", "not ascending", Want{}, func(s *script) { s.packets[1].Octets = listOctets(0, 0, 1, 1) }},
	{"discovery", "a universe missing", Want{}, func(s *script) { s.packets[1].Octets = listOctets(0, 0) }},
	{"discovery", "page missing", Want{}, func(s *script) { s.packets[1].Octets = listOctets(1, 1, 1) }},
	{"discovery", "a list left out", Want{Discovery: true}, func(s *script) {
		var kept []Packet
		n := 0
		for _, p := range s.packets {
			if p.Octets[21] == 8 {
				if n++; n == 2 {
					continue
				}
			}
			kept = append(kept, p)
		}
		s.packets = kept
	}},
	{"discovery", "the same list twice", Want{}, func(s *script) { s.add(s.packets[1].Octets) }},
}

func TestBrokenTraces(t *testing.T) {
	for _, row := range broken {
		t.Run(row.rule+" "+row.name, func(t *testing.T) {
			s := whole()
			row.spoil(s)
			faults := Check(s.packets, row.want)
			require.Equal(t, []string{row.rule}, Names(faults), "%v", faults)
		})
	}
}

func TestEveryRuleIsBrokenSomewhere(t *testing.T) {
	for _, r := range Rules {
		found := false
		for _, row := range broken {
			found = found || row.rule == r.Name
		}
		require.True(t, found, "no broken trace for %q", r.Name)
	}
}

func TestLossyTraceMaySkipButNotStepBack(t *testing.T) {
	s := whole()
	s.packets = append(s.packets[:50:50], s.packets[53:]...)
	require.NotContains(t, Names(Check(s.packets, Want{Lossy: true})), "sequence")
	require.Contains(t, Names(Check(s.packets, Want{})), "sequence")
	s.packets[60].Octets[111] -= 3
	require.Contains(t, Names(Check(s.packets, Want{Lossy: true})), "sequence")
}

// A delayed machine makes repeats late. With the delay as tolerance that is no breach,
// without it is. A missing repeat is a breach in both cases.
func TestLateRepeatsOfABusyMachine(t *testing.T) {
	s := whole()
	s.shift(51, 450*time.Millisecond)
	require.Equal(t, []string{"suppression"}, Names(Check(s.packets, Want{})))
	require.Empty(t, Check(s.packets, Want{Tolerance: 100 * time.Millisecond}))
	s.shift(51, 250*time.Millisecond)
	require.Equal(t, []string{"suppression"}, Names(Check(s.packets, Want{Tolerance: 100 * time.Millisecond})))
}
