package traffic

import (
	"errors"
	"net/netip"
	"strings"
	"testing"
	"time"

	"github.com/mattn/go-runewidth"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

var ours = protocol.Ours{CID: protocol.CID{1}, Priority: 100, Universes: []protocol.Universe{3}}

func TestSourcesRivalsFirst(t *testing.T) {
	list := Sources(heard(t, "Pier PC"), ours)
	require.Len(t, list, 2)
	pier, we := list[0], list[1]
	assert.True(t, pier.Rival)
	assert.Equal(t, "followed", pier.Standing)
	assert.InDelta(t, 0.2, pier.Loss, 0.03)
	assert.True(t, we.Ours)
	assert.False(t, we.Rival)
	assert.Equal(t, "not followed", we.Standing)

	r := heard(t, "Pier PC")
	r.Sources[0].Streams[0].State, r.Sources[0].Streams[0].Last = protocol.Lost, r.At.Add(-4*time.Second)
	r.Sources[1].Streams[0].State, r.Sources[1].Streams[0].Since = protocol.Finished, r.At.Add(-3*time.Minute)
	list = Sources(r, ours)
	assert.Equal(t, "silent for 4 s", list[1].Standing)
	assert.Equal(t, "ended 3 min ago", list[0].Standing)
	assert.Empty(t, Sources(nil, ours))
}

// A source that is heard only by its announcement is a rival too: it may send to our
// host by unicast.
func TestAnnouncedOnly(t *testing.T) {
	tr := protocol.NewTracker()
	d := protocol.Discovery{CID: protocol.CID{7}, Source: protocol.NameOf("Pier PC")}
	d.SetList([]protocol.Universe{3, 4, 5, 9})
	tr.Hear(protocol.Datagram{At: evening, From: netip.MustParseAddrPort("0.0.0.0:5568"), Octets: protocol.AppendDiscovery(nil, &d)})
	r := tr.Report(evening.Add(3 * time.Second))
	list := Sources(r, ours)
	require.Len(t, list, 1)
	assert.True(t, list[0].Rival)
	assert.Equal(t, "only announces", list[0].Standing)
	assert.Equal(t, "this machine", list[0].Address)
	s := Summarise(r, protocol.Ours{}, 0, 0)
	assert.Contains(t, s.Text(), "Pier PC              this machine    only announces universes 3 to 5 and 9\n")
	assert.Equal(t, []protocol.Universe{3, 4, 5, 9}, s.Announced[0].Universes)
	n := Heard(r, ours)
	w, ok := n.Warning()
	require.True(t, ok)
	assert.Equal(t, advice.Warning, w.Weight)
	assert.NotContains(t, texts(n.Words(nil)), "No other source is heard")
}

func texts(list []advice.Sentence) string {
	var b strings.Builder
	for _, s := range list {
		b.WriteString(s.Weight.String() + ": " + s.Text + "\n")
	}
	return b.String()
}

func to(u protocol.Universe, host string, s link.State) link.Status {
	st := link.Status{Target: link.Target{Universe: u, Host: host, Port: 5568}, State: s, Rate: 10, Packets: 5, Err: errors.New("no")}
	st.Dest = netip.MustParseAddrPort(host + ":5568")
	return st
}

func TestWordsOfHostsAndOfBeingDeaf(t *testing.T) {
	links := []link.Status{to(1, "10.0.0.5", link.Sending), to(2, "10.0.0.5", link.Sending), to(1, "10.0.0.6", link.Refused), to(2, "10.0.0.6", link.Sending)}
	hosts := Hosts(links)
	require.Len(t, hosts, 2)
	assert.Equal(t, "10.0.0.6", hosts[0].Worst.Target.Host, "the one in trouble first")
	assert.Equal(t, []protocol.Universe{1, 2}, hosts[1].Universes)
	assert.InDelta(t, 20, hosts[1].Rate, 1e-9)

	n := News{Ours: ours, Trouble: &link.PortError{Port: 5568, Err: errors.New("in use")}}
	assert.Equal(t, "trouble: No program listens at 10.0.0.6: the host answered port unreachable on port 5568.\n"+
		"warning: Port 5568 is taken by another program on this machine, so nothing is heard here; sending goes on. Close that program: listening then starts by itself.\n",
		texts(n.Words(links)))
	quiet := Heard(protocol.NewTracker().Report(evening), ours)
	assert.Equal(t, "note: No other source is heard on universe 3.\nnote: What others send to 10.0.0.5 and 10.0.0.6 by unicast cannot be heard here; only their announcements can.\n",
		texts(quiet.Words([]link.Status{to(1, "10.0.0.5", link.Sending), to(1, "10.0.0.6", link.Sending)})))
}

func TestWarningIsAboutOurs(t *testing.T) {
	n := Heard(heard(t, "Pier PC"), ours)
	w, ok := n.Warning()
	require.True(t, ok)
	assert.Contains(t, w.Text, "'Pier PC' at 10.0.0.7 also drives universe 3 at priority 150: your prop follows it")
	n.Ours.Universes = []protocol.Universe{4}
	_, ok = n.Warning()
	assert.False(t, ok)
}

// Within leaves out that a universe fell silent because we stopped listening to it.
func TestWithinWhatIsListenedTo(t *testing.T) {
	r := heard(t, "Pier PC")
	r.Sources[0].Streams[0].Universe, r.Sources[0].Streams[0].State, r.Sources[0].Streams[0].Since = 8, protocol.Lost, r.At
	n := Heard(r, ours)
	require.Contains(t, texts(n.Sentences), "fell silent on universe 8")
	assert.Contains(t, texts(n.Within([]protocol.Universe{3, 8}).Sentences), "fell silent on universe 8")
	assert.NotContains(t, texts(n.Within([]protocol.Universe{3}).Sentences), "fell silent")
	assert.Contains(t, texts(n.Sentences), "fell silent on universe 8", "the news before are not written")
}

func TestEventsInOrder(t *testing.T) {
	e := func(s int) link.Event { return link.Event{At: evening.Add(time.Duration(s) * time.Second)} }
	n := News{}.WithEvents([]link.Event{e(1), e(4)}, []link.Event{e(2), e(3)})
	assert.Equal(t, []link.Event{e(1), e(2), e(3), e(4)}, n.Events)
}

// Names of wide letters do not shift the columns.
func TestColumnsHoldWideNames(t *testing.T) {
	want := strings.Index(header, "universe") + len("universe")
	for _, name := range []string{"", "Pier PC", strings.Repeat("灯", 21), strings.Repeat("W", 63), "e\u0301te\u0301"} {
		l := Line{Source: name, Address: "10.0.0.7", Universe: 63999}
		text := l.Text()
		at := strings.Index(text, "63999")
		assert.Equal(t, want, runewidth.StringWidth(text[:at])+5, text)
	}
}

// Unicast to a program on this machine that offers copies counts as heard.
func TestCopiesAreHeard(t *testing.T) {
	r := heard(t, "Pier PC")
	for i := range r.Sources {
		r.Sources[i].Streams[0].Copied = true
	}
	own := Heard(r, ours)
	links := []link.Status{to(3, "127.0.0.1", link.Sending)}
	assert.NotContains(t, texts(own.Words(links)), "cannot be heard here")
	assert.Contains(t, texts(own.Words([]link.Status{to(3, "10.0.0.5", link.Sending)})), "cannot be heard here")
	other := own
	other.Ours.CID = protocol.CID{77}
	assert.Contains(t, texts(other.Words(links)), "cannot be heard here")
}

func TestTextHasTheFigures(t *testing.T) {
	s := Summarise(heard(t, "Pier PC"), protocol.Ours{}, 0, 3)
	loss, jitter := 0.25, 1.5
	s.Streams[0].Loss, s.Streams[0].Rate, s.Streams[0].JitterMS = &loss, 33.3, &jitter
	assert.Regexp(t, `(?m)^  Pier PC +10\.0\.0\.7 +3 +150 +33\.3 +25 % +0 +1\.5 ms  live, followed$`, s.Text())
	assert.NotContains(t, s.Text(), "lost by this machine")
	assert.Contains(t, s.Text(), "    1    2   0  98\n")
}

func TestHowManyHostsAreNamed(t *testing.T) {
	n := Heard(protocol.NewTracker().Report(evening), ours)
	var links []link.Status
	for _, host := range []string{"10.0.0.5", "10.0.0.6", "10.0.0.7"} {
		links = append(links, to(1, host, link.Sending))
	}
	assert.Contains(t, texts(n.Words(links)), "to 10.0.0.5, 10.0.0.6 and 10.0.0.7 by unicast cannot")
	links = append(links, to(1, "10.0.0.8", link.Sending))
	assert.Contains(t, texts(n.Words(links)), "to 10.0.0.5, 10.0.0.6, 10.0.0.7 and 1 more by unicast cannot")
	assert.NotContains(t, texts(n.Words(links)), "before they were read")
	n.Dropped = 1
	assert.Contains(t, texts(n.Words(links)), "lost 1 packet before they were read")
}
