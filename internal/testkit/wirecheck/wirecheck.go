// Package wirecheck checks captured traffic of one source, in tests, against the
// clauses of ANSI E1.31-2018 for sources.
//
// It reads octets by the numbers of tables 4-1, 4-2 and 4-3 and imports nothing
// of ringout, so that a misreading in package protocol cannot pass at both
// ends. Offsets count octets of the UDP payload from 0.
//
//	for _, f := range wirecheck.Check(packets, wirecheck.Want{}) {
//		t.Error(f)
//	}
package wirecheck

import (
	"encoding/binary"
	"fmt"
	"iter"
	"net/netip"
	"slices"
	"time"
)

// A Packet is one datagram of a capture, in the order of the capture.
type Packet struct {
	At     time.Time      // time of arrival or sending
	From   netip.AddrPort // sender; zero if not known
	To     netip.AddrPort // destination; zero if not known
	Octets []byte         // the UDP payload
}

// Want says what to expect of a capture. The zero value applies every rule and
// expects the capture to be complete from the first packet to the last.
type Want struct {
	Tolerance time.Duration // tolerance of all times, for clock errors and busy machines; 0 means 10 ms
	MaxRate   float64       // packets per second and universe; 0 means 44 (6.6.1)
	Steady    bool          // unchanged data is repeated at full rate, not suppressed (6.6.2)
	Unended   bool          // the capture stops before the source does
	Rush      bool          // the three packets that end a universe may come faster than MaxRate
	Black     bool          // the last packet before those three has only slots of 0
	Discovery bool          // universe discovery must be in the capture
	Lossy     bool          // packets may be missing: sequence numbers may skip but not go back
}

// A Fault is one breach of a rule.
type Fault struct {
	Rule   string // the name of the rule
	Clause string // of ANSI E1.31-2018
	Packet int    // index in the capture, or -1
	Text   string
}

// String reads, for instance: packet 12 breaks "sequence" (6.2.5): ...
func (f Fault) String() string {
	return fmt.Sprintf("packet %d breaks %q (%s): %s", f.Packet, f.Rule, f.Clause, f.Text)
}

// A Rule is one check. To add one: 1. write a function of this form; 2. list it in
// Rules; 3. add a trace that breaks it to the tests.
type Rule struct {
	Name   string
	Clause string
	Says   string // the rule in one sentence
	check  func(c *capture, w Want)
}

// Rules lists all rules in the order in which Check applies them.
var Rules = []Rule{
	{"root", "5.1-5.6", "preamble, post-amble, identifier, root length and vector, one CID that is not 0", checkRoot},
	{"lengths", "5.4, 6.1, 7.1, 8.1", "every layer's length has flags 7 and reaches the end of the packet", checkLengths},
	{"name", "6.2.2", "the source name is UTF-8, NUL terminated and NUL filled", checkName},
	{"fields", "6.2-6.4, 7, 8", "every field is in its range and reserved ones are 0", checkFields},
	{"group", "9.3.1", "multicast goes to the group of the packet's universe, port 5568", checkGroup},
	{"sequence", "6.2.5, 6.3.2", "numbers count by one per universe, and per address for synchronization", checkSequence},
	{"rate", "6.6.1", "no universe goes faster than E1.11's refresh rate", checkRate},
	{"suppression", "6.6.2", "three packets of new values, then one each 800 to 1000 ms", checkSuppression},
	{"termination", "6.2.6", "a universe ends with three terminated packets and nothing after", checkTermination},
	{"sync", "6.2.4, 6.3.3", "data that names an address is followed by synchronization packets for it", checkSync},
	{"discovery", "4.3, 8, 12", "every 10 s, in pages from 0, ascending, just the universes in use", checkDiscovery},
}

// Check returns every breach in a capture of one source. After a breach of "root"
// or "lengths" it stops, since the rest cannot be read.
func Check(packets []Packet, w Want) []Fault {
	if w.Tolerance == 0 {
		w.Tolerance = 10 * time.Millisecond
	}
	if w.MaxRate == 0 {
		w.MaxRate = 44
	}
	c := &capture{packets: packets}
	for _, r := range Rules {
		c.rule = r
		r.check(c, w)
		if r.Name == "lengths" && len(c.faults) > 0 {
			break
		}
	}
	return c.faults
}

// Names returns the names of the rules broken, each once.
func Names(faults []Fault) []string {
	var names []string
	for _, f := range faults {
		if !slices.Contains(names, f.Rule) {
			names = append(names, f.Rule)
		}
	}
	return names
}

type capture struct {
	packets []Packet
	rule    Rule
	faults  []Fault
}

func (c *capture) fault(packet int, format string, args ...any) {
	c.faults = append(c.faults, Fault{Rule: c.rule.Name, Clause: c.rule.Clause, Packet: packet, Text: fmt.Sprintf(format, args...)})
}

// The kinds of packet by root vector (18-21) and framing vector (40-43).
const (
	kindData = iota + 1
	kindSync
	kindDiscovery
)

func u16(b []byte, at int) int { return int(binary.BigEndian.Uint16(b[at:])) }

func u32(b []byte, at int) int { return int(binary.BigEndian.Uint32(b[at:])) }

func kind(b []byte) int {
	switch {
	case u32(b, 18) == 4 && u32(b, 40) == 2:
		return kindData
	case u32(b, 18) == 8 && u32(b, 40) == 1:
		return kindSync
	case u32(b, 18) == 8 && u32(b, 40) == 2:
		return kindDiscovery
	default:
		return 0
	}
}

// each calls f with every packet of a kind.
func (c *capture) each(k int, f func(i int, b []byte)) {
	for i, p := range c.packets {
		if kind(p.Octets) == k {
			f(i, p.Octets)
		}
	}
}

// universes iterates over the universes in ascending order, each with the indexes
// of its data packets (octets 113 and 114).
func (c *capture) universes() iter.Seq2[int, []int] {
	m := map[int][]int{}
	c.each(kindData, func(i int, b []byte) { m[u16(b, 113)] = append(m[u16(b, 113)], i) })
	return func(yield func(int, []int) bool) {
		for _, u := range sorted(m) {
			if !yield(u, m[u]) {
				return
			}
		}
	}
}

// terminated reports Stream_Terminated: bit 6 of octet 112 (6.2.6).
func (c *capture) terminated(i int) bool { return c.packets[i].Octets[112]&0x40 != 0 }

// gap is the time from one packet to another.
func (c *capture) gap(from, to int) time.Duration { return c.packets[to].At.Sub(c.packets[from].At) }

// sorted returns the keys of a map in ascending order, so that faults have a fixed
// order.
func sorted[V any](m map[int]V) []int {
	var keys []int
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
