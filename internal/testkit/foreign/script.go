package foreign

import (
	"fmt"
	"slices"
	"time"
)

// An Event is one datagram.
type Event struct {
	At     time.Duration // since the start of the case
	Host   int           // sending host, 1 or 2; see Addr
	Group  uint16        // universe whose multicast group it goes to
	Octets []byte
}

// Addr is the address of a host of the test network.
func Addr(host int) string { return fmt.Sprintf("10.77.0.%d", host+1) }

// DiscoveryGroup is the universe number of the discovery group (9.1.1).
const DiscoveryGroup = 64214

// A Case is a script of foreign senders on one universe, with the facts and the
// sentences expected from ringout.
type Case struct {
	Name      string
	Truth     string // what happens
	Clause    string // of ANSI E1.31-2018, or the other source of the facts
	Ours      bool   // we drive the universe too, at priority 100
	Announced bool   // the listener learns of the universe by discovery alone
	Universe  uint16
	Events    []Event
	Look      time.Duration // time at which Says is checked
	Says      []string      // regular expressions, each for one whole sentence
	Never     []string      // regular expressions that fit no sentence at any time
}

// script builds the events of a case.
type script struct {
	*Case
	n int // number of the case
}

// period is 25 ms: 40 packets a second, below the ceiling of 44 (6.6.1).
const period = 25 * time.Millisecond

// sender returns a source of the case; id, from 1, distinguishes several.
func (c *script) sender(id byte, priority byte) *Sender {
	return &Sender{CID: [16]byte{0xf0, byte(c.n), id}, Name: c.name(id), Priority: priority, Universe: c.Universe}
}

func (c *script) name(id byte) string {
	return fmt.Sprintf("%s %d", [...]string{"", "Pier", "Quay"}[id], c.n)
}

// who is the name of a source in sentences.
func (c *script) who(id byte) string { return fmt.Sprintf("'%s' at %s", c.name(id), Addr(int(id))) }

func (c *script) add(at time.Duration, host int, group uint16, octets []byte) {
	c.Events = append(c.Events, Event{at, host, group, octets})
}

// say adds one data packet.
func (c *script) say(at time.Duration, host int, s *Sender, slots ...byte) {
	if len(slots) == 0 {
		slots = []byte{s.CID[2], 1, 2, 3, 4, 5}
	}
	c.add(at, host, s.Universe, s.Data(slots...))
}

// play adds data packets at an interval from one time up to another, excluded.
func (c *script) play(from, to, every time.Duration, host int, s *Sender) {
	for at := from; at < to; at += every {
		c.say(at, host, s)
	}
}

// end adds the three terminated packets (6.2.6).
func (c *script) end(at time.Duration, host int, s *Sender) {
	s.Options |= 0x40
	for i := range 3 {
		c.say(at+time.Duration(i)*period, host, s)
	}
}

// Cases returns all cases, their events sorted by time.
func Cases() []Case {
	out := make([]Case, len(cases))
	for i, c := range cases {
		out[i] = Case{Name: c.name, Truth: c.truth, Clause: c.clause, Universe: uint16(101 + i)}
		c.play(&script{&out[i], i})
		slices.SortStableFunc(out[i].Events, func(a, b Event) int { return int(a.At - b.At) })
	}
	return out
}
