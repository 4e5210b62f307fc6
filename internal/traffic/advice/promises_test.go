package advice

import (
	"errors"
	"net/netip"
	"strings"
	"testing"
	"time"

	"github.com/mattn/go-runewidth"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/protocol"
)

// pier is a report of one source with streams made by hand.
func pier(sts ...protocol.StreamReport) *protocol.Report {
	return &protocol.Report{At: evening, Sources: []protocol.SourceReport{{CID: protocol.CID{1}, Name: "Pier", From: netip.MustParseAddrPort("10.0.0.7:5568"),
		First: evening.Add(-time.Minute), Streams: sts}}}
}

func levels(u protocol.Universe) protocol.StreamReport {
	return protocol.StreamReport{Universe: u, State: protocol.Live, StartCodes: []protocol.StartCount{{Code: protocol.StartLevels}}, Slots: 9}
}

func said(r *protocol.Report, ours protocol.Ours) string {
	var all []string
	for _, s := range Sentences(r, ours) {
		all = append(all, s.Weight.String()+": "+s.Text)
	}
	return strings.Join(all, "\n")
}

var us = protocol.Ours{CID: protocol.CID{200}, Priority: 100, Universes: []protocol.Universe{3}}

// Each figure is reported from its threshold on, inclusive, and a share over several
// universes is weighted by their packets.
func TestThresholdsAreInside(t *testing.T) {
	st := func(change func(*protocol.StreamReport)) string {
		s := levels(3)
		s.Judged = 200
		change(&s)
		return said(pier(s), protocol.Ours{})
	}
	assert.Contains(t, st(func(s *protocol.StreamReport) { s.Doubled = 0.2 }), "note: 20 % of the packets")
	assert.Contains(t, st(func(s *protocol.StreamReport) { s.Reordered = 0.01 }), "warning: 1 % of the packets")
	assert.Contains(t, st(func(s *protocol.StreamReport) { s.Loss = 0.0999 }), "warning: 10 % of the packets")
	assert.Contains(t, st(func(s *protocol.StreamReport) { s.Loss = 0.1 }), "trouble: 10 % of the packets")
	assert.Contains(t, st(func(s *protocol.StreamReport) { s.Rate = 46 }), "note: 'Pier' at 10.0.0.7 sends universe 3 46 times a second; the standard allows 44")
	assert.Empty(t, st(func(s *protocol.StreamReport) { s.Rate = 45.99 }))
	assert.Empty(t, st(func(s *protocol.StreamReport) { s.Rate, s.State = 99, protocol.Unheard }))
	a, b, c := levels(3), levels(4), levels(5)
	a.Judged, a.Loss = 100, 0.5
	b.Judged, b.Loss = 300, 0.1
	c.Judged, c.Loss = 5000, 0.001 // too little to speak of, so it does not count
	assert.Equal(t, "trouble: 20 % of the packets from 'Pier' at 10.0.0.7 on universes 3 and 4 are lost: look at the wireless link, the cable and the switch.", said(pier(a, b, c), protocol.Ours{}))
	assert.Equal(t, 0.5, (&share{sum: 0.5, weight: 1}).mean())
	assert.Zero(t, (&share{}).mean())
}

// A rival at a lower, equal and higher priority than ours, and at the highest (6.2.3:
// 200), by hand.
func TestRivalsByPriority(t *testing.T) {
	for _, row := range []struct {
		theirs, ours uint8
		want         string
	}{
		{99, 100, "warning: 'Pier' at 10.0.0.7 also drives universe 3 at priority 99: your prop follows you (100) as long as you send, and it when you stop. Stop it there."},
		{100, 100, "trouble: 'Pier' at 10.0.0.7 also drives universe 3 at your own priority, 100: receivers may merge, flicker or ignore one of you. Stop it there, or send at more than 100."},
		{101, 100, "trouble: 'Pier' at 10.0.0.7 also drives universe 3 at priority 101: your prop follows it, not you (100). Stop it there, or send at more than 101."},
		{199, 100, "trouble: 'Pier' at 10.0.0.7 also drives universe 3 at priority 199: your prop follows it, not you (100). Stop it there, or send at more than 199."},
		{200, 199, "trouble: 'Pier' at 10.0.0.7 also drives universe 3 at priority 200, the highest there is: your prop follows it, not you (199). Stop it there."},
		{200, 200, "trouble: 'Pier' at 10.0.0.7 also drives universe 3 at your own priority, 200: receivers may merge, flicker or ignore one of you. Stop it there."},
	} {
		st := levels(3)
		st.Priority = row.theirs
		mine := us
		mine.Priority = row.ours
		assert.Equal(t, row.want, said(pier(st), mine))
		do := Sentences(pier(st), mine)[0].Do
		assert.Equal(t, strings.Contains(row.want, "send at more"), strings.Contains(do, "send above"), do)
	}
	assert.Empty(t, said(pier(levels(4)), us), "a universe of theirs is their own")
}

// A rival with a priority for each slot: the slots that it takes, those that are tied,
// and the effect of its packet priority on receivers that ignore START code 0xdd.
func TestRivalsBySlot(t *testing.T) {
	for _, row := range []struct {
		packet uint8
		slots  []byte
		weight Weight
		want   string
	}{
		{50, []byte{101, 100}, Trouble, "follow it on slot 1, and neither of you for sure on slot 2. Stop it there."},
		{50, []byte{101, 99, 200}, Trouble, "follow it on slots 1 and 3 and you on the rest. Stop it there."},
		{50, []byte{99, 100, 100}, Trouble, "merge both of you or flicker on slots 2 and 3. Stop it there."},
		{50, []byte{99, 0, 201}, Warning, "follow you on every slot as long as you send. Stop it there."},
		{99, []byte{99}, Warning, "follow you on every slot as long as you send. Stop it there."},
		{100, []byte{99}, Trouble, "follow you on every slot as long as you send. Others follow its packet priority, 100, against yours, 100. Stop it there."},
		{150, []byte{101}, Trouble, "follow it on slot 1 and you on the rest. Others follow its packet priority, 150, against yours, 100. Stop it there."},
	} {
		st := levels(3)
		st.StartCodes = append(st.StartCodes, protocol.StartCount{Code: protocol.StartPriority})
		st.Priority, st.SlotPriority, st.Slots = row.packet, new([protocol.MaxSlots]byte), len(row.slots)
		copy(st.SlotPriority[:], row.slots)
		got := Sentences(pier(st), us)[0]
		assert.Equal(t, "'Pier' at 10.0.0.7 also drives universe 3 with a priority for each slot (START code 0xdd): receivers that know it "+row.want, got.Text)
		assert.Equal(t, row.weight, got.Weight, row.want)
	}
}

// The sentences on START codes, alone and beside levels.
func TestStartCodes(t *testing.T) {
	codes := func(cs ...uint8) string {
		st := levels(4)
		st.StartCodes = nil
		for _, c := range cs {
			st.StartCodes = append(st.StartCodes, protocol.StartCount{Code: c})
		}
		return said(pier(st), us)
	}
	assert.Empty(t, codes(0))
	assert.Contains(t, codes(0xdd), "no levels, only START code 0xdd (a priority for each slot): strips show nothing of it.")
	assert.Contains(t, codes(0x17), "only with START code 0x17, which are no levels: strips leave it out.")
	assert.Contains(t, codes(0xdd, 0x17), "only with START code 0xdd, 0x17, which are no levels")
	assert.Contains(t, codes(0, 0xdd), "also sends START code 0xdd on universe 4: a priority for each slot, which some receivers follow.")
	assert.Contains(t, codes(0, 0x17), "also sends START code 0x17 on universe 4: receivers that know only levels leave those packets out.")
	assert.Contains(t, codes(0, 0xdd, 0x17), "also sends START code 0xdd, 0x17 on universe 4: receivers that know only levels leave those packets out.")
	st := levels(3)
	st.Preview = true
	assert.Equal(t, "note: 'Pier' at 10.0.0.7 sends universe 3 for preview only: receivers must not show it.", said(pier(st), us))
}

// Synchronization packets (6.2.4.1, 11.1) come, do not come, or it is not known. Only
// recent ones for the stream's own address count.
func TestSynchronization(t *testing.T) {
	st := levels(4)
	st.SyncAddress = 7
	r := pier(st)
	assert.Contains(t, said(r, us), "note: 'Pier' at 10.0.0.7 names universe 7 for synchronization of universe 4; whether such packets come is not known here.")
	for _, y := range []struct {
		address protocol.Universe
		live    bool
		want    bool
	}{{7, true, true}, {7, false, false}, {8, true, false}} {
		r.Sources[0].Syncs = []protocol.SyncReport{{Address: y.address, Live: y.live}}
		assert.Equal(t, y.want, strings.Contains(said(r, us), "has universe 4 wait for synchronization packets on universe 7, and they come."), "%+v", y)
	}
	r.Sources[0].Streams[0].Frozen = true
	assert.Contains(t, said(r, us), "trouble: 'Pier' at 10.0.0.7 has universe 4 wait for synchronization packets on universe 7. None has come for 2.5 s")
	r.Sources[0].Streams[0].SyncAddress = 1
	assert.Contains(t, said(r, us), "universe 1", "the least address counts too")
	r.Sources[0].Streams[0].SyncAddress = 0
	assert.Empty(t, said(r, us))
}

// An announcement counts once the source had time to be heard (2.5 s), and not
// for two intervals (20 s, 12.2) after it ended the universe.
func TestAnnouncements(t *testing.T) {
	r := pier()
	s := &r.Sources[0]
	s.Listed = []protocol.Universe{3, 4}
	speaks := func() bool {
		got := said(r, us)
		assert.NotContains(t, got, "universe 4", "not ours")
		return strings.Contains(got, "warning: 'Pier' at 10.0.0.7 announces that it sends universe 3, though none of it reaches here")
	}
	for ago, want := range map[time.Duration]bool{2499 * time.Millisecond: false, 2500 * time.Millisecond: true, time.Hour: true} {
		s.First = evening.Add(-ago)
		assert.Equal(t, want, speaks(), "met %v ago", ago)
	}
	s.First = evening.Add(-time.Hour)
	for ago, want := range map[time.Duration]bool{0: false, 19999 * time.Millisecond: false, 20 * time.Second: true, time.Minute: true} {
		st := levels(3)
		st.State, st.Since = protocol.Finished, evening.Add(-ago)
		s.Streams = []protocol.StreamReport{st}
		assert.Equal(t, want, speaks(), "ended %v ago", ago)
	}
	st := levels(3)
	st.Since = evening.Add(-time.Hour)
	s.Streams = []protocol.StreamReport{st}
	assert.False(t, speaks(), "it is heard")
}

// A stream that ended or fell silent is reported for a minute, with the seconds since.
// Silence on a universe of ours is a warning.
func TestGone(t *testing.T) {
	at := func(state protocol.StreamState, ago time.Duration, u protocol.Universe) string {
		st := levels(u)
		st.State, st.Since, st.Last = state, evening.Add(-ago), evening.Add(-ago)
		return said(pier(st), us)
	}
	for ago, want := range map[time.Duration]string{0: "Just now, ", 499 * time.Millisecond: "Just now, ", 500 * time.Millisecond: "1 s ago, ", 12 * time.Second: "12 s ago, ", time.Minute: "60 s ago, "} {
		assert.Equal(t, "note: "+want+"'Pier' at 10.0.0.7 ended universe 3.", at(protocol.Finished, ago, 3))
		assert.Equal(t, "warning: "+want+"'Pier' at 10.0.0.7 fell silent on universe 3 without ending it: it was cut off, or a switch stopped passing its multicast on.", at(protocol.Lost, ago, 3))
		assert.Contains(t, at(protocol.Lost, ago, 4), "note: "+want)
	}
	assert.Empty(t, at(protocol.Lost, time.Minute+1, 3))
	assert.Empty(t, at(protocol.Unheard, time.Second, 3))
}

// Other sources at equal priority are reported on universes that are not ours, up to
// four by name.
func TestStrangersAtOnePriority(t *testing.T) {
	r := &protocol.Report{At: evening}
	u := protocol.UniverseReport{Universe: 4}
	u.Output.Priority = 120
	for i, name := range []string{"a", "b", "c", "d", "e", "f"} {
		c := protocol.CID{byte(i + 1)}
		r.Sources = append(r.Sources, protocol.SourceReport{CID: c, Name: name, From: netip.MustParseAddrPort("10.0.0.7:5568"), First: evening, Streams: []protocol.StreamReport{levels(4)}})
		u.Winners = append(u.Winners, c)
	}
	for n, want := range map[int]string{2: "'a' at 10.0.0.7, 'b' at 10.0.0.7): ", 4: "'c' at 10.0.0.7, 'd' at 10.0.0.7): ", 5: "'d' at 10.0.0.7, and 1 more): ", 6: "'d' at 10.0.0.7, and 2 more): "} {
		few := u
		few.Winners = u.Winners[:n]
		r.Universes, r.Conflicts = []protocol.UniverseReport{few}, []protocol.Conflict{{Kind: protocol.EqualPriority, Universe: 4}}
		got := said(r, us)
		assert.Contains(t, got, want)
		assert.Contains(t, got, "sources drive universe 4 at equal priority 120")
		if n == 4 {
			assert.NotContains(t, got, "more)")
		}
		r.Conflicts[0].Kind = protocol.SharedUniverse
		assert.Empty(t, said(r, us), "one of them wins")
	}
	r.Conflicts[0].Kind, r.Conflicts[0].Universe, r.Universes[0].Universe = protocol.EqualPriority, 3, 3
	assert.NotContains(t, said(r, us), "equal priority", "of ours it is said another way")
}

// Packets that are not E1.31 are reported from the third on, for a minute.
func TestMalformedPackets(t *testing.T) {
	m := protocol.MalformedReport{From: netip.MustParseAddr("10.0.0.9"), Packets: 3, Last: evening.Add(-time.Minute), Err: errors.New("bad\x1b")}
	at := func() string {
		return said(&protocol.Report{At: evening, Malformed: []protocol.MalformedReport{m}}, us)
	}
	assert.Equal(t, "warning: 3 packets from 10.0.0.9 are no proper E1.31, so receivers drop them; the last: bad.", at())
	m.Last = m.Last.Add(-1)
	assert.Empty(t, at())
	m.Last, m.Packets = evening, 2
	assert.Empty(t, at())
	m.Packets, m.From = 4, netip.Addr{}
	assert.Contains(t, at(), "4 packets from several addresses")
	for n, want := range map[uint64]string{0: "", 1: "1 packet was left out", 2: "2 packets were left out"} {
		r := &protocol.Report{At: evening}
		r.Counts.TurnedAway = n
		got := said(r, us)
		assert.Contains(t, got, want)
		assert.Equal(t, n == 0, got == "")
	}
}

// Alone is true if no other source is live on our universes or lists them, and no
// sentence is about them.
func TestAloneOnOurs(t *testing.T) {
	alone := func(r *protocol.Report, said ...Sentence) bool { return Alone(r, us, said) }
	gone := levels(3)
	gone.State = protocol.Lost
	assert.True(t, alone(pier(levels(4))))
	assert.True(t, alone(pier(gone)))
	assert.False(t, alone(pier(levels(4), levels(3))))
	listed := pier()
	listed.Sources[0].Listed = []protocol.Universe{4}
	assert.True(t, alone(listed))
	listed.Sources[0].Listed = []protocol.Universe{4, 3}
	assert.False(t, alone(listed))
	listed.Sources[0].CID = us.CID
	assert.True(t, alone(listed), "we announce our own")
	assert.False(t, alone(pier(), Sentence{Universes: []protocol.Universe{2, 3}}))
	assert.True(t, alone(pier(), Sentence{Universes: []protocol.Universe{2}}))
	assert.True(t, alone(pier(), Sentence{}))
}

// Sentences of one weight are sorted by universe, and on one universe the source that
// receivers follow comes first.
func TestOrderOfSentences(t *testing.T) {
	r := pier(levels(3), levels(4))
	b := pier(levels(3), levels(4))
	b.Sources[0].CID, b.Sources[0].Name = protocol.CID{2}, "Shed"
	r.Sources = append(r.Sources, b.Sources...)
	for i := range r.Sources {
		for k := range r.Sources[i].Streams {
			r.Sources[i].Streams[k].Priority = uint8(150 + i)
		}
	}
	r.Universes = []protocol.UniverseReport{{Universe: 3, Winners: []protocol.CID{{2}}}, {Universe: 4, Winners: []protocol.CID{{2}}}}
	mine := us
	mine.Universes = []protocol.Universe{3, 4}
	got := Sentences(r, mine)
	require.Len(t, got, 2)
	assert.Contains(t, got[0].Text, "'Shed'")
	r.Universes[0].Winners = []protocol.CID{{1}}
	got = Sentences(r, mine)
	assert.Contains(t, got[0].Text, "'Pier'")
	r.Sources[0].Streams = r.Sources[0].Streams[1:]
	got = Sentences(r, mine)
	assert.Contains(t, got[0].Text, "'Shed'", "universe 3 before 4")
	r.Universes = nil
	assert.Len(t, Sentences(r, mine), 2)
	assert.Equal(t, []string{"note", "warning", "trouble"}, []string{Note.String(), Warning.String(), Trouble.String()})
}

// A sentence that just fits its line stays whole; with one cell less the line begins
// with the remedy.
func TestLineAtItsWidth(t *testing.T) {
	s := Sentence{Text: "x 灯 also drives it. Stop it there.", Do: "Stop x", Why: "it drives it"}
	w := runewidth.StringWidth(s.Text)
	assert.Equal(t, s.Text, s.Line(w))
	assert.Equal(t, "Stop x: it drives it.", s.Line(w-1))
	s.Do = ""
	assert.Equal(t, s.Text, s.Line(3), "without a remedy there is nothing to keep")
}

// Called and address of a source with both name and address, and without an address.
func TestCalledAndAddressed(t *testing.T) {
	for _, row := range []struct {
		from         string
		called, addr string
	}{
		{"10.0.0.7:5568", "'Pier' at 10.0.0.7", "10.0.0.7"}, {"[::ffff:10.0.0.7]:5568", "'Pier' at 10.0.0.7", "10.0.0.7"},
		{"0.0.0.0:5568", "'Pier' on this machine", "the sender on this machine"}, {"", "'Pier'", "the sender on this machine"},
	} {
		s := &protocol.SourceReport{Name: "Pier"}
		if row.from != "" {
			s.From = netip.MustParseAddrPort(row.from)
		}
		assert.Equal(t, row.called, Called(s))
		assert.Equal(t, row.addr, address(s))
	}
	for in, want := range map[string]string{"a'b": "a’b", "'ab": "ab", "ab'": "ab", "a'1": "a1", "1'a": "1a", "x y'z": "x y’z", "a''b": "ab"} {
		assert.Equal(t, want, Plain(in))
	}
	assert.Empty(t, Quoted(" ' "))
	for in, want := range map[string]string{"a": "A", "z": "Z", "`": "`", "{": "{", "": "", "A": "A"} {
		assert.Equal(t, want, Capital(in))
	}
	st := &protocol.StreamReport{Addresses: []netip.AddrPort{netip.MustParseAddrPort("10.0.0.9:1"), netip.MustParseAddrPort("10.0.0.8:2")}}
	assert.Equal(t, "10.0.0.8 and 10.0.0.9", hosts(st))
	st.Addresses = append(st.Addresses, netip.MustParseAddrPort("10.0.0.9:3"))
	assert.Equal(t, "10.0.0.8:2 and 10.0.0.9:1 and 10.0.0.9:3", hosts(st), "ports tell two programs of one computer apart")
}

// Six stretches are named and the universes of the rest counted, one or many.
func TestSixStretchesAreNamed(t *testing.T) {
	odd := func(n int) (us []protocol.Universe) {
		for i := range n {
			us = append(us, protocol.Universe(2*i+1))
		}
		return us
	}
	assert.Equal(t, "universes 1, 3, 5, 7, 9 and 11", Named(odd(6)))
	assert.Equal(t, "universes 1, 3, 5, 7, 9, 11 and 1 more", Named(odd(7)))
	assert.Equal(t, "universes 1, 3, 5, 7, 9, 11 and 4 more", Named(append(odd(6), 20, 21, 22, 30)))
	assert.Equal(t, "universes 1, 2, 4 to 6 and 8", Named([]protocol.Universe{1, 2, 4, 5, 6, 8}))
	assert.Equal(t, "universes ", Named(nil))
	assert.Equal(t, "slots 1 and 512", Slots([]int{0, 511}))
	assert.Equal(t, "slot 7", Slots([]int{6}))
}
