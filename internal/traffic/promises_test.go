package traffic

import (
	"errors"
	"net/netip"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// src is a source of a report made by hand.
func src(cid byte, name string, streams ...protocol.StreamReport) protocol.SourceReport {
	return protocol.SourceReport{CID: protocol.CID{cid}, Name: name, From: netip.AddrPortFrom(netip.AddrFrom4([4]byte{10, 0, 0, cid}), 5568), First: evening, Last: evening, Streams: streams}
}

// on is a live stream on a universe.
func on(u protocol.Universe, priority uint8) protocol.StreamReport {
	return protocol.StreamReport{Universe: u, Priority: priority, State: protocol.Live, First: evening, Since: evening, Last: evening, Judged: 100, Slots: 3}
}

func gone(st protocol.StreamReport, state protocol.StreamState, ago time.Duration) protocol.StreamReport {
	st.State, st.Since, st.Last = state, evening.Add(-ago), evening.Add(-ago)
	return st
}

// follows is a universe that receivers follow for the given sources.
func follows(u protocol.Universe, winners ...byte) protocol.UniverseReport {
	r := protocol.UniverseReport{Universe: u}
	for _, w := range winners {
		r.Winners = append(r.Winners, protocol.CID{w})
		r.Output.Sources = append(r.Output.Sources, protocol.CID{w})
	}
	return r
}

// Rivals come first, then our own source, then other live ones, then those that have
// gone; equals keep the report's order.
func TestOrderOfSources(t *testing.T) {
	lost := gone(on(3, 100), protocol.Lost, 9*time.Second)
	listed := src(7, "announces ours")
	listed.Listed = []protocol.Universe{2, 3}
	other := src(8, "announces another")
	other.Listed = []protocol.Universe{9}
	r := &protocol.Report{At: evening, Sources: []protocol.SourceReport{
		src(6, "gone", lost), other, src(5, "elsewhere", on(9, 100)), src(1, "we", on(3, 100)), src(4, "rival", on(3, 50)), src(3, "also elsewhere", on(8, 100)), listed}}
	var got []string
	for _, s := range Sources(r, ours) {
		got = append(got, s.Name)
	}
	assert.Equal(t, []string{"rival", "announces ours", "we", "elsewhere", "also elsewhere", "gone", "announces another"}, got)
	for _, s := range Sources(r, ours) {
		assert.Equal(t, s.Name == "rival" || s.Name == "announces ours", s.Rival, s.Name)
		assert.Equal(t, s.Name == "we", s.Ours, s.Name)
		assert.Equal(t, !strings.HasPrefix(s.Name, "announces"), s.Heard, s.Name)
	}
	for _, s := range Sources(r, protocol.Ours{Universes: []protocol.Universe{3}}) {
		assert.False(t, s.Ours, "a listener without a CID of its own is none of them")
	}
	listed.CID = ours.CID
	assert.False(t, Sources(&protocol.Report{Sources: []protocol.SourceReport{listed}}, ours)[0].Rival, "we announce our own")
}

// A row has the figures of all live universes of its source: lowest and highest
// priority, the worst loss and jitter, and the sums of duplicate and late packets.
func TestARowAddsUpItsUniverses(t *testing.T) {
	a, b, c := on(3, 100), on(5, 40), on(4, 150)
	a.Loss, a.Twice, a.Late, a.Jitter, a.Rate = 0.1, 3, 10, time.Millisecond, 44
	b.Loss, b.Twice, b.Late, b.Jitter, b.Rate = 0.2, 4, 20, 3*time.Millisecond, 20
	c = gone(c, protocol.Lost, time.Minute)
	c.Loss, c.Twice, c.Late = 0.9, 100, 100
	s := Sources(&protocol.Report{At: evening, Sources: []protocol.SourceReport{src(2, "x", a, c, b)}}, ours)[0]
	assert.Equal(t, []protocol.Universe{3, 5}, s.Universes)
	assert.Equal(t, [2]uint8{40, 100}, [2]uint8{s.Low, s.High})
	assert.Equal(t, []float64{44, 0.2}, []float64{s.Rate, s.Loss})
	assert.Equal(t, []uint64{7, 30}, []uint64{s.Twice, s.Late})
	assert.Equal(t, 3*time.Millisecond, s.Jitter)
	assert.True(t, s.Judged)
	a.Judged, b.Judged = 0, 0
	s = Sources(&protocol.Report{At: evening, Sources: []protocol.SourceReport{src(2, "x", a, b)}}, ours)[0]
	assert.False(t, s.Judged)
	assert.Zero(t, s.Loss)
	a.Judged = 1
	assert.True(t, Judged(&a), "one packet is enough for a figure")
	assert.True(t, Judged(&c))
	assert.False(t, Judged(&b))
	s = Sources(&protocol.Report{At: evening, Sources: []protocol.SourceReport{src(2, "x", c, gone(on(1, 7), protocol.Finished, time.Second))}}, ours)[0]
	assert.Equal(t, [2]uint8{7, 150}, [2]uint8{s.Low, s.High}, "of all where none is live")
}

// Standing follows from how receivers treat the source on each universe.
func TestStandings(t *testing.T) {
	preview := on(5, 100)
	preview.Preview = true
	slotwise := follows(6, 2, 9)
	slotwise.Output.PerSlot = true
	listed := src(2, "")
	listed.Listed = []protocol.Universe{1}
	for want, s := range map[string]protocol.SourceReport{
		"no data": src(2, ""), "only announces": listed, "followed": src(2, "", on(3, 1)), "not followed": src(2, "", on(4, 1)), "tied": src(2, "", on(1, 1)),
		"preview only": src(2, "", preview), "followed 1 of 2": src(2, "", on(3, 1), on(4, 1)), "tied 1 of 3": src(2, "", on(1, 1), on(3, 1), on(4, 1)),
		"followed 2 of 3": src(2, "", on(3, 1), preview, on(6, 1)), "silent for 5 s": src(2, "", gone(on(3, 1), protocol.Lost, 5*time.Second)),
		"ended 5 s ago":    src(2, "", gone(on(3, 1), protocol.Lost, 9*time.Second), gone(on(4, 1), protocol.Finished, 5*time.Second)),
		"silent for 4 s":   src(2, "", gone(on(3, 1), protocol.Lost, 4*time.Second), gone(on(4, 1), protocol.Finished, 5*time.Second)),
		"not listened to":  src(2, "", gone(on(3, 1), protocol.Unheard, 5*time.Second)),
		"silent for 99 s":  src(2, "", gone(on(3, 1), protocol.Lost, 99*time.Second+900*time.Millisecond)),
		"silent for 1 min": src(2, "", gone(on(3, 1), protocol.Lost, 100*time.Second)),
		"silent for 2 min": src(2, "", gone(on(3, 1), protocol.Lost, 179*time.Second)),
		"silent for 0 s":   src(2, "", gone(on(3, 1), protocol.Lost, -time.Second)),
	} {
		r := &protocol.Report{At: evening, Sources: []protocol.SourceReport{s}, Universes: []protocol.UniverseReport{follows(1, 2, 9), follows(3, 2), follows(4, 9), follows(5), slotwise}}
		assert.Equal(t, want, Sources(r, ours)[0].Standing)
	}
}

// How receivers treat a source: alone, tied, for some slots, or not at all.
func TestFollow(t *testing.T) {
	slotwise := follows(6, 2, 9)
	slotwise.Output.PerSlot = true
	r := &protocol.Report{Universes: []protocol.UniverseReport{follows(1, 2, 9), follows(3, 2), follows(4, 9), slotwise}}
	for u, want := range map[protocol.Universe]Treatment{1: Tied, 3: Followed, 4: Ignored, 5: Ignored, 6: Shared} {
		assert.Equal(t, want, Follow(r, protocol.CID{2}, u), "universe %d", u)
	}
	assert.Equal(t, []string{"not followed", "followed", "tied", "followed for some slots"}, []string{Ignored.String(), Followed.String(), Tied.String(), Shared.String()})
}

// A line has the address its packets come from, or the source's address where that is
// unspecified. A preview or ended stream is not followed.
func TestLineOfAStream(t *testing.T) {
	st := on(3, 150)
	st.Addresses = []netip.AddrPort{netip.MustParseAddrPort("10.9.9.9:7000"), netip.MustParseAddrPort("10.0.0.2:5568")}
	st.Multicast, st.Packets, st.Preview = true, 12, false
	r := &protocol.Report{At: evening, Sources: []protocol.SourceReport{src(2, "x", st)}, Universes: []protocol.UniverseReport{follows(3, 2)}}
	line := func() Line { return Lines(r)[0] }
	assert.Equal(t, "10.9.9.9", line().Address)
	assert.Equal(t, []any{"multicast", true, "followed"}, []any{line().Via, line().Wins, line().Followed})
	at := &r.Sources[0].Streams[0]
	at.Addresses = []netip.AddrPort{netip.MustParseAddrPort("0.0.0.0:5568")}
	assert.Equal(t, "10.0.0.2", line().Address)
	at.Addresses = nil
	assert.Equal(t, "10.0.0.2", line().Address)
	at.Preview = true
	assert.Equal(t, []any{false, ""}, []any{line().Wins, line().Followed})
	assert.Contains(t, line().Text(), "preview only")
	at.Preview, at.State = false, protocol.Lost
	assert.Equal(t, []any{false, ""}, []any{line().Wins, line().Followed})
	assert.True(t, strings.HasSuffix(line().Text(), "  lost"), line().Text())
	at.State, at.Judged, at.Loss, at.Late = protocol.Live, 1, 0.5, 7
	assert.Regexp(t, ` 50 % +7 `, line().Text())
	at.Judged = 0
	assert.Nil(t, line().Loss)
	assert.Nil(t, line().Late)
}

// Only a source without data is listed as one that only announces.
func TestAnnouncedIsWithoutData(t *testing.T) {
	both := src(2, "both", on(3, 100))
	both.Listed = []protocol.Universe{3}
	only := src(3, "only")
	only.Listed = []protocol.Universe{4}
	s := Summarise(&protocol.Report{At: evening, Sources: []protocol.SourceReport{both, only, src(4, "neither")}}, protocol.Ours{}, 0, 0)
	require.Len(t, s.Announced, 1)
	assert.Equal(t, "only", s.Announced[0].Source)
}

// Levels are written in lines of sixteen with the number of the first slot, all
// of them and no more.
func TestLevelsInLines(t *testing.T) {
	for n, lines := range map[int][]string{0: nil, 1: {"    1    0"}, 16: {"    1 "}, 17: {"    1 ", "   17   16"}, 32: {"    1 ", "   17 "}, 33: {"    1 ", "   17 ", "   33   32"}} {
		var s Summary
		for i := range n {
			s.Slots = append(s.Slots, i)
		}
		text := s.Text()
		var got []string
		for l := range strings.Lines(text) {
			if strings.HasPrefix(l, "    1") || strings.HasPrefix(l, "   17") || strings.HasPrefix(l, "   33") {
				got = append(got, l)
			}
		}
		require.Len(t, got, len(lines), "%d slots:\n%s", n, text)
		for i, l := range lines {
			assert.True(t, strings.HasPrefix(got[i], l), got[i])
			assert.Len(t, strings.Fields(got[i]), 1+min(16, n-16*i))
		}
	}
	one := Summary{Malformed: 1, Dropped: 1, Datagrams: 1}
	assert.Contains(t, one.Text(), "1 packet heard, 1 of them malformed, 1 more lost by this machine")
	assert.NotContains(t, Summary{Datagrams: 2}.Text(), "of them")
	assert.NotContains(t, Summary{Datagrams: 2}.Text(), "more lost")
}

// The most serious sentence comes first. The last ones are about what cannot be heard.
func TestWordsHeaviestFirst(t *testing.T) {
	n := News{Report: &protocol.Report{At: evening}, Ours: ours, Sentences: []advice.Sentence{{Weight: advice.Trouble, Text: "t"}, {Weight: advice.Warning, Text: "w"}, {Text: "n"}}, Dropped: 2}
	got := texts(n.Words([]link.Status{to(3, "10.0.0.5", link.Sending)}))
	assert.Equal(t, "trouble: t\nwarning: w\nnote: This machine lost 2 packets before they were read.\nnote: n\nnote: No other source is heard on universe 3.\n"+
		"note: What others send to 10.0.0.5 by unicast cannot be heard here; only their announcements can.\n", got)
	n.Trouble = errors.New("no such device")
	n.Report, n.Sentences, n.Dropped = nil, nil, 0
	assert.Equal(t, "warning: Nothing is heard here, though sending goes on: no such device.\n", texts(n.Words([]link.Status{to(3, "10.0.0.5", link.Sending)})))
	n.Ours.Universes = nil
	assert.Equal(t, "warning: Nothing is heard here: no such device.\n", texts(n.Words(nil)))
	n = News{Report: &protocol.Report{At: evening}}
	assert.Empty(t, n.Words(nil), "who sends nothing is not alone on it")
}

// Copies count only if they are of our own live stream and came from another program.
func TestHearsCopies(t *testing.T) {
	for name, change := range map[string]func(*protocol.StreamReport){"": func(*protocol.StreamReport) {}, "not copied": func(s *protocol.StreamReport) { s.Copied = false },
		"gone": func(s *protocol.StreamReport) { s.State = protocol.Lost }, "another universe": func(s *protocol.StreamReport) { s.Universe = 9 }} {
		st := on(3, 100)
		st.Copied = true
		change(&st)
		n := News{Report: &protocol.Report{At: evening, Sources: []protocol.SourceReport{src(1, "we", st)}}, Ours: ours}
		said := texts(n.Words([]link.Status{to(3, "127.0.0.1", link.Sending)}))
		assert.Equal(t, name != "", strings.Contains(said, "cannot be heard here"), "%s: %s", name, said)
	}
	n := News{Report: &protocol.Report{At: evening}, Ours: ours}
	many := to(3, "10.0.0.1", link.Sending)
	many.Target.Host, many.Dest = "", netip.MustParseAddrPort("239.255.0.3:5568")
	assert.NotContains(t, texts(n.Words([]link.Status{many})), "cannot be heard here", "what goes by multicast is heard")
	twice := []link.Status{to(3, "10.0.0.5", link.Sending), to(4, "10.0.0.5", link.Sending)}
	twice[1].Target.Port = 7000
	assert.Contains(t, texts(n.Words(twice)), "to 10.0.0.5 by unicast cannot")
}

// The universes of one host are one entry with their sums and the worst state. Hosts
// with a fault come first.
func TestHostsAddUp(t *testing.T) {
	a, b, c, d := to(1, "10.0.0.5", link.Sending), to(2, "10.0.0.5", link.Refused), to(3, "10.0.0.5", link.Unreachable), to(9, "10.0.0.4", link.Starting)
	a.Refused, b.Refused = 1, 2
	hosts := Hosts([]link.Status{d, a, b, c})
	require.Len(t, hosts, 2)
	assert.Equal(t, "10.0.0.5", hosts[0].Worst.Target.Host)
	assert.Equal(t, link.Refused, hosts[0].Worst.State, "the first that fails")
	assert.Equal(t, []protocol.Universe{1, 2, 3}, hosts[0].Universes)
	assert.Equal(t, []uint64{15, 3}, []uint64{hosts[0].Packets, hosts[0].Refused})
	assert.InDelta(t, 30, hosts[0].Rate, 1e-12)
	hosts = Hosts([]link.Status{b, a})
	assert.Equal(t, link.Refused, hosts[0].Worst.State, "a good one after it does not hide it")
	good := Hosts([]link.Status{a, to(2, "10.0.0.5", link.Starting)})
	assert.Equal(t, link.Sending, good[0].Worst.State)
	other := to(2, "10.0.0.5", link.Sending)
	other.Target.Port = 7000
	assert.Len(t, Hosts([]link.Status{a, other}), 2, "another port is another listener")
}

// Within keeps sentences about no universe, and those about at least one universe that
// is listened to.
func TestWithinKeeps(t *testing.T) {
	n := News{Sentences: []advice.Sentence{{Text: "all"}, {Text: "both", Universes: []protocol.Universe{3, 8}}, {Text: "none", Universes: []protocol.Universe{8}}}}
	assert.Equal(t, "note: all\nnote: both\n", texts(n.Within([]protocol.Universe{3}).Sentences))
}

// Warning returns a sentence about our universes or our CID, and never a note.
func TestWhatWarns(t *testing.T) {
	for name, row := range map[string]struct {
		s    advice.Sentence
		want bool
	}{
		"our universe":       {advice.Sentence{Weight: advice.Warning, Universes: []protocol.Universe{3}}, true},
		"our CID":            {advice.Sentence{Weight: advice.Trouble, About: ours.CID, Universes: []protocol.Universe{8}}, true},
		"another's":          {advice.Sentence{Weight: advice.Trouble, About: protocol.CID{7}, Universes: []protocol.Universe{8}}, false},
		"about none":         {advice.Sentence{Weight: advice.Trouble}, false},
		"a note about ours":  {advice.Sentence{Universes: []protocol.Universe{3}}, false},
		"trouble about ours": {advice.Sentence{Weight: advice.Trouble, Universes: []protocol.Universe{8, 3}}, true},
	} {
		_, got := News{Ours: ours, Sentences: []advice.Sentence{row.s}}.Warning()
		assert.Equal(t, row.want, got, name)
	}
	_, got := News{Sentences: []advice.Sentence{{Weight: advice.Trouble, Universes: []protocol.Universe{8}}}}.Warning()
	assert.False(t, got, "who only listens has no CID that a sentence could be about")
}

// Our own packets that are still heard after we stopped sending light the prop. Slots
// past those that are sent are dark.
func TestOurPacketsStillHeard(t *testing.T) {
	out := &protocol.Output{Count: 2}
	out.Slots[0], out.Slots[1], out.Slots[2] = 9, 8, 7
	a := &sharedUniverse{out: out, ours: ours}
	for slot, want := range []struct {
		v   byte
		who slotOwner
	}{{9, slotOwner{who: You}}, {8, slotOwner{who: You}}, {0, slotOwner{who: No}}} {
		v, who := a.winner(slot)
		assert.Equal(t, want.v, v)
		assert.Equal(t, want.who, who)
	}
	a = &sharedUniverse{out: &protocol.Output{}, ours: ours, levels: []byte{5, 6}, sending: true}
	for slot, want := range []byte{5, 6, 0} {
		v, who := a.winner(slot)
		assert.Equal(t, want, v)
		assert.Equal(t, slotOwner{who: You}, who)
	}
}
