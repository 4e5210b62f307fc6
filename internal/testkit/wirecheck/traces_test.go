package wirecheck

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// more are further traces and the rules that they break, in the order of
// Rules: such as cannot be had by spoiling a whole trace in one place.
var more = []struct {
	rules, name string
	want        Want
	trace       func() *script
}{
	{"root", "CID all 0", Want{}, func() *script {
		s := whole()
		for _, p := range s.packets {
			copy(p.Octets[22:38], make([]byte, 16))
		}
		return s
	}},
	{"lengths", "600 slots", Want{}, func() *script {
		s := whole()
		s.packets[5].Octets = dataOctets(1, s.packets[5].Octets[111], make([]byte, 600)...)
		return s
	}},
	{"fields", "synchronization address of data", Want{}, func() *script {
		s := whole()
		last := s.packets[len(s.packets)-1].Octets
		last[109], last[110] = 0xfa, 0x00
		return s
	}},
	{"fields", "universe 0", Want{}, func() *script { return steady(0, 10) }},
	{"fields", "universe 64000", Want{}, func() *script { return steady(64000, 10) }},
	{"fields", "synchronization address 0", Want{}, func() *script {
		s := steady(1, 10)
		s.add(syncOctets(0, 0))
		return s
	}},
	{"fields", "synchronization address 64000", Want{}, func() *script { return synchronised(64000) }},
	{"fields", "reserved of synchronization", Want{}, func() *script {
		s := synchronised(7962)
		s.packets[1].Octets[48] = 1
		return s
	}},
	{"fields", "DMP vector", Want{}, func() *script { return with(50, 117, 1) }},
	{"fields", "first property address", Want{}, func() *script { return with(50, 120, 1) }},
	{"fields", "list vector", Want{}, func() *script { return with(1, 117, 2) }},
	{"fields discovery", "page past the last", Want{}, func() *script { return with(1, 118, 1) }},
	{"sequence", "of synchronization", Want{}, func() *script {
		s := synchronised(7962)
		s.packets[21].Octets[44]++
		return s
	}},
	{"rate", "early, long before 44 gaps have passed", Want{}, func() *script {
		s := whole()
		s.packets[4].At = s.packets[3].At.Add(5 * time.Millisecond)
		return s
	}},
	{"suppression", "fourth repeat too early", Want{}, func() *script {
		s := whole()
		s.shift(104, -800*time.Millisecond)
		return s
	}},
	{"termination", "two, data, then three", Want{}, func() *script {
		s := steady(1, 10)
		s.packets = s.packets[:len(s.packets)-1]
		s.sequence--
		s.send(period, 5, 5)
		s.end(3, period)
		return s
	}},
	{"discovery", "three lists within an interval", Want{}, func() *script {
		s := &script{at: time.Unix(1700000000, 0)}
		for i := range 400 {
			s.send(period, byte(i))
			switch {
			case i == 1 || i == 399:
				s.add(listOctets(0, 0, 1))
			case i == 200:
				s.add(listOctets(0, 0, 1, 2))
			}
			second := dataOctets(2, byte(i), byte(i))
			if i > 247 {
				second[112] = 0x40
			}
			if i > 150 && i <= 250 {
				s.add(second)
			}
		}
		s.end(3, period)
		return s
	}},
	{"discovery", "the first list late", Want{Discovery: true}, func() *script { return withoutLists(0, 1) }},
	{"discovery", "no list in the end", Want{Discovery: true}, func() *script { return withoutLists(1, 2) }},
}

// steady is a short trace of one universe.
func steady(u, n int) *script {
	s := &script{at: time.Unix(1700000000, 0)}
	for i := range n {
		s.send(period, byte(i))
	}
	s.end(3, period)
	for _, p := range s.packets {
		p.Octets[113], p.Octets[114] = byte(u>>8), byte(u)
	}
	return s
}

// with is a whole trace with one octet changed.
func with(packet, octet int, value byte) *script {
	s := whole()
	s.packets[packet].Octets[octet] = value
	return s
}

// withoutLists is a whole trace without some of its three lists.
func withoutLists(numbers ...int) *script {
	s := whole()
	var kept []Packet
	n := 0
	for _, p := range s.packets {
		if p.Octets[21] == 8 {
			n++
			if n-1 == numbers[0] || n-1 == numbers[1] {
				continue
			}
		}
		kept = append(kept, p)
	}
	s.packets = kept
	return s
}

func TestMoreBrokenTraces(t *testing.T) {
	for _, row := range more {
		t.Run(row.rules+" "+row.name, func(t *testing.T) {
			faults := Check(row.trace().packets, row.want)
			require.Equal(t, strings.Fields(row.rules), Names(faults), "%v", faults)
		})
	}
	require.Empty(t, Check(steady(1, 10).packets, Want{}), "the short trace itself is whole")
}
