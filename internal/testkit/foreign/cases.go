package foreign

import (
	"fmt"
	"time"
)

const (
	ms  = time.Millisecond
	sec = time.Second
)

// cases holds pairs for every sentence: one case where it is true and must be
// reported, and a similar one where it is false and must not be.
var cases = []struct {
	name, truth, clause string
	play                func(*script)
}{
	{"rival above us", "drives at 150", "6.2.3", func(c *script) {
		c.Ours, c.Look = true, 2*sec
		c.play(0, 3*sec, period, 1, c.sender(1, 150))
		c.Says = []string{c.who(1) + ` also drives universe N at priority 150: your prop follows it, not you \(100\)\. Stop it there, or send at more than 150\.`}
		c.Never = []string{"lost on the way", "times a second", "fell silent"}
	}},
	{"rival at the top", "drives at 200", "6.2.3", func(c *script) {
		c.Ours, c.Look = true, 2*sec
		c.play(0, 3*sec, period, 1, c.sender(1, 200))
		c.Says = []string{c.who(1) + ` also drives universe N at priority 200, the highest there is: your prop follows it, not you \(100\)\. Stop it there\.`}
		c.Never = []string{"send at more than"}
	}},
	{"rival beside us", "drives at 100", "6.2.3", func(c *script) {
		c.Ours, c.Look = true, 2*sec
		c.play(0, 3*sec, period, 1, c.sender(1, 100))
		c.Says = []string{c.who(1) + ` also drives universe N at your own priority, 100: .*`}
		c.Never = []string{"not you"}
	}},
	{"rival below us", "drives at 50", "6.2.3", func(c *script) {
		c.Ours, c.Look = true, 2*sec
		c.play(0, 3*sec, period, 1, c.sender(1, 50))
		c.Says = []string{c.who(1) + ` also drives universe N at priority 50: your prop follows you \(100\) as long as you send, .*`}
		c.Never = []string{"not you"}
	}},
	{"a universe of theirs", "drives at 150 what we do not", "6.2.3", func(c *script) {
		c.Look = 2 * sec
		c.play(0, 3*sec, period, 1, c.sender(1, 150))
		c.Never = []string{"."}
	}},
	{"two strangers at one priority", "two drive at 120", "6.2.3", func(c *script) {
		c.Look = 2 * sec
		c.play(0, 3*sec, period, 1, c.sender(1, 120))
		c.play(7*ms, 3*sec, period, 2, c.sender(2, 120))
		c.Says = []string{`2 sources drive universe N at equal priority 120 \(` + c.who(1) + `, ` + c.who(2) + `\): .*`}
	}},
	{"two strangers at two priorities", "120 and 119", "6.2.3", func(c *script) {
		c.Look = 2 * sec
		c.play(0, 3*sec, period, 1, c.sender(1, 120))
		c.play(7*ms, 3*sec, period, 2, c.sender(2, 119))
		c.Never = []string{"equal priority"}
	}},
	{"preview", "sends with the preview bit", "6.2.6", func(c *script) {
		c.Ours, c.Look = true, 2*sec
		s := c.sender(1, 150)
		s.Options = 0x80
		c.play(0, 3*sec, period, 1, s)
		c.Says = []string{c.who(1) + ` sends universe N for preview only: receivers must not show it\.`}
		c.Never = []string{"also drives", "follows it"}
	}},
	{"ended", "three terminated packets at 1 s", "6.2.6", func(c *script) {
		c.Look = 4 * sec
		s := c.sender(1, 150)
		c.play(0, sec, period, 1, s)
		c.end(sec, 1, s)
		c.Says = []string{`[23] s ago, ` + c.who(1) + ` ended universe N\.`}
		c.Never = []string{"fell silent", "lost on the way"}
	}},
	{"fell silent", "last packet at 1 s", "6.7.1", func(c *script) {
		c.Ours, c.Look = true, 5*sec
		c.play(0, sec, period, 1, c.sender(1, 50))
		c.Says = []string{`[345] s ago, ` + c.who(1) + ` fell silent on universe N without ending it: .*`}
		c.Never = []string{"ended universe"}
	}},
	{"a pause below the time-out", "2 s without a packet", "6.7.1", func(c *script) {
		c.Look = 4 * sec
		s := c.sender(1, 100)
		c.play(0, sec, period, 1, s)
		c.play(3*sec, 5*sec, period, 1, s)
		c.Never = []string{"."}
	}},
	{"loss", "one packet in six never comes: 16.7 %", "6.2.5", func(c *script) {
		c.Look = 4 * sec
		s := c.sender(1, 100)
		for i := range 180 {
			if i%6 == 5 {
				s.Sequence++
				continue
			}
			c.say(time.Duration(i)*period, 1, s)
		}
		c.Says = []string{`1[5-8] % of the packets from ` + c.who(1) + ` on universe N are lost: .*`}
		c.Never = []string{"come twice", "come after a later one"}
	}},
	{"a stream begun in the middle", "first number 200", "6.7.2", func(c *script) {
		c.Look = 3 * sec
		s := c.sender(1, 100)
		s.Sequence = 200
		c.play(0, 4*sec, period, 1, s)
		c.Never = []string{"."}
	}},
	{"too few to judge", "one of eleven packets never comes", "6.2.5", func(c *script) {
		c.Look = 3 * sec
		s := c.sender(1, 100)
		c.play(0, 5*period, period, 1, s)
		s.Sequence++
		c.play(6*period, 11*period, period, 1, s)
		c.play(sec, 4*sec, 900*ms, 1, s)
		c.Never = []string{"."}
	}},
	{"out of order", "every tenth packet comes after its successor", "6.7.2", func(c *script) {
		c.Look = 4 * sec
		s := c.sender(1, 100)
		for i := range 180 {
			at := time.Duration(i) * period
			if i%10 == 3 {
				at += period + 3*ms
			}
			c.say(at, 1, s)
		}
		c.Says = []string{`(9|10) % of the packets from ` + c.who(1) + ` on universe N come after a later one: receivers drop them\. They .*`}
		c.Never = []string{"lost on the way", "come twice"}
	}},
	{"by two ways", "every packet comes twice", "6.7.2", func(c *script) {
		c.Look = 4 * sec
		s := c.sender(1, 100)
		for i := range 180 {
			at := time.Duration(i) * period
			c.say(at, 1, s)
			c.add(at+2*ms, 2, s.Universe, c.Events[len(c.Events)-1].Octets)
		}
		c.Says = []string{`(9[0-9]|100) % of the packets from 'Pier \d+' at 10.77.0.[23] on universe N come twice: .*`}
		c.Never = []string{"one CID", "lost on the way", "times a second"}
	}},
	{"too fast", "100 packets a second", "6.6.1", func(c *script) {
		c.Look = 4 * sec
		c.play(0, 5*sec, 10*ms, 1, c.sender(1, 100))
		c.Says = []string{c.who(1) + ` sends universe N (9[6-9]|10[0-4]) times a second; the standard allows 44, .*`}
	}},
	{"three quick packets", "three within 10 ms, then one every 900 ms (6.6.2)", "6.6.1, 6.6.2", func(c *script) {
		c.Look = 2 * sec
		s := c.sender(1, 100)
		c.play(0, 15*ms, 5*ms, 1, s)
		c.play(900*ms, 4*sec, 900*ms, 1, s)
		c.Never = []string{"."}
	}},
	{"synchronized", "synchronization packets every 25 ms", "11.1", func(c *script) {
		c.Look = 3 * sec
		c.synced(4*sec, 4*sec, 0)
		c.Says = []string{c.who(1) + ` has universe N wait for synchronization packets on universe S, and they come\.`}
		c.Never = []string{"acts at once", "stand still"}
	}},
	{"synchronization that stops", "the last synchronization packet at 1 s", "11.1.2", func(c *script) {
		c.Look = 5 * sec
		c.synced(6*sec, 1*sec, 0)
		c.Says = []string{c.who(1) + ` has universe N wait for synchronization packets on universe S\. None has come for 2.5 s: receivers stand still until one does\.`}
		c.Never = []string{"acts at once"}
	}},
	{"synchronization that stops, forced on", "the same with Force_Synchronization", "6.2.6", func(c *script) {
		c.Look = 5 * sec
		c.synced(6*sec, 1*sec, 0x20)
		c.Never = []string{"stand still"}
	}},
	{"synchronization that never begins", "an address, and no packet for it", "11.1.1", func(c *script) {
		c.Look = 4 * sec
		c.synced(5*sec, 0, 0)
		c.Says = []string{c.who(1) + ` names universe S for synchronization of universe N, and no such packet comes: a receiver that never had one acts at once; one that had waits for the next\.`}
		c.Never = []string{"stand still", "they come"}
	}},
	{"no levels", "START code 0x17 alone", "7.7", func(c *script) {
		c.Ours, c.Look = true, 2*sec
		s := c.sender(1, 150)
		s.Start = 0x17
		c.play(0, 3*sec, period, 1, s)
		c.Says = []string{c.who(1) + ` sends universe N only with START code 0x17, which are no levels: strips leave it out\.`}
		c.Never = []string{"also drives"}
	}},
	{"some slots taken", "0xdd: 150 on slots 1 to 3, 0 on 4, 100 on 5, 50 on 6", "6.2.3.2; START code 0xdd", func(c *script) {
		c.Ours, c.Look = true, 2*sec
		c.slotPriorities(50, 150, 150, 150, 0, 100, 50)
		c.Says = []string{c.who(1) + ` also drives universe N with a priority for each slot \(START code 0xdd\): receivers that know it follow it on slots 1 to 3, and neither of you for sure on slot 5\. Stop it there\.`}
	}},
	{"no slots taken", "0xdd: 50 on every slot", "6.2.3.2; START code 0xdd", func(c *script) {
		c.Ours, c.Look = true, 2*sec
		c.slotPriorities(50, 50, 50, 50, 50, 50, 50)
		c.Says = []string{c.who(1) + ` also drives universe N with a priority for each slot \(START code 0xdd\): receivers that know it follow you on every slot as long as you send\. Stop it there\.`}
		c.Never = []string{"follow it on"}
	}},
	{"one CID, two senders", "two hosts under one CID, apart in their numbers", "5.6", func(c *script) {
		c.Look = 3 * sec
		a, b := c.sender(1, 100), c.sender(1, 100)
		b.Name, b.Sequence = c.name(2), 90
		c.play(0, 4*sec, period, 1, a)
		c.play(9*ms, 4*sec, period, 2, b)
		c.Says = []string{`Two senders at 10\.77\.0\.2 and 10\.77\.0\.3 use one CID on universe N \(.*\): .*`}
		c.Never = []string{"lost on the way", "come after a later one", "come twice", "times a second"}
	}},
	{"one CID, then one sender", "two hosts under one CID, one of them until 1 s", "5.6", func(c *script) {
		c.Look = 6 * sec
		a, b := c.sender(1, 100), c.sender(1, 100)
		b.Sequence = 90
		c.play(0, 7*sec, period, 1, a)
		c.play(9*ms, sec, period, 2, b)
		c.Never = []string{"lost on the way", "come after a later one", "come twice"}
	}},
	{"announced, not sent", "a list that names our universe", "4.3", func(c *script) {
		c.Ours, c.Look = true, 4*sec
		c.announce(0, c.Universe)
		c.Says = []string{c.who(1) + ` announces that it sends universe N, though none of it reaches here: .*`}
	}},
	{"announced and sent", "the list and the data", "4.3", func(c *script) {
		c.Ours, c.Look = true, 4*sec
		c.announce(0, c.Universe)
		c.play(0, 5*sec, period, 1, c.sender(1, 50))
		c.Never = []string{"none of it reaches here"}
	}},
	{"a list that forgets", "announced at first, then not, sent all the time", "12.2", func(c *script) {
		c.Announced, c.Look = true, 9*sec
		c.announce(0, c.Universe)
		c.announce(2 * sec)
		c.play(0, 10*sec, period, 1, c.sender(1, 100))
		c.Never = []string{"."}
	}},
	{"a name with an address", "its name says another address than its own", "6.2.2", func(c *script) {
		c.Ours, c.Look = true, 2*sec
		s := c.sender(1, 150)
		s.Name = fmt.Sprintf("Pier %d' at 10.9.9.9", c.n)
		c.play(0, 3*sec, period, 1, s)
		c.Says = []string{fmt.Sprintf(`'Pier %d at 10\.9\.9\.9' at 10\.77\.0\.2 also drives universe N at .*`, c.n)}
		c.Never = []string{`' at 10\.9`}
	}},
	{"malformed", "three packets with priority 201", "6.2.3", func(c *script) {
		c.Look = 2 * sec
		c.play(0, 3*100*ms, 100*ms, 1, c.sender(1, 201))
		c.Says = []string{`3 packets from 10\.77\.0\.2 are no proper E1\.31, so receivers drop them; the last: .* Priority at octet 108 is 201, .*`}
	}},
	{"two malformed packets", "two packets with DMP vector 3", "7.2", func(c *script) {
		c.Look = 2 * sec
		for i := range 2 {
			b := c.sender(1, 100).Data(1, 2, 3)
			b[117] = 3
			c.add(time.Duration(i)*100*ms, 2, c.Universe, b)
		}
		c.Never = []string{"DMP Vector"}
	}},
}

// SyncAddress is the synchronization address of a case.
func (c *Case) SyncAddress() uint16 { return c.Universe + 7000 }

// synced plays synchronized data until data and synchronization packets until
// syncs. The latter go to the group of the synchronization address only (6.3.3).
func (c *script) synced(data, syncs time.Duration, options byte) {
	s := c.sender(1, 100)
	s.Sync, s.Options = c.SyncAddress(), options
	for at, n := time.Duration(0), byte(0); at < data; at, n = at+period, n+1 {
		c.say(at, 1, s)
		if at < syncs {
			c.add(at+5*ms, 1, s.Sync, Synchronization(s.CID, n, s.Sync))
		}
	}
}

// slotPriorities plays levels at a packet priority, and once per second priorities
// by slot with START code 0xdd.
func (c *script) slotPriorities(packet byte, slots ...byte) {
	s := c.sender(1, packet)
	for i := range 100 {
		at := time.Duration(i) * period
		if i%40 == 0 {
			s.Start = 0xdd
			c.say(at+2*ms, 1, s, slots...)
			s.Start = 0
		}
		c.say(at+4*ms, 1, s)
	}
}

func (c *script) announce(at time.Duration, us ...uint16) {
	c.add(at, 1, DiscoveryGroup, Discovery([16]byte{0xf0, byte(c.n), 1}, c.name(1), us...))
}
