package advice

import (
	"encoding/json"
	"net/netip"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/foreign"
	"example.org/ringout/protocol"
)

var evening = time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)

// A desk is a tracker with a clock that receives the packets of a case and joins groups
// as the listener does.
type desk struct {
	t    *testing.T
	trk  *protocol.Tracker
	ours protocol.Ours
	now  time.Time
}

func newDesk(t *testing.T, cases ...foreign.Case) *desk {
	d := &desk{t: t, trk: protocol.NewTracker(), now: evening, ours: protocol.Ours{CID: protocol.CID{200}, Priority: 100}}
	for _, c := range cases {
		if c.Ours {
			d.ours.Universes = append(d.ours.Universes, protocol.Universe(c.Universe))
		}
	}
	return d
}

// at moves the clock to a moment of the case in ticks of 100 ms, as a listener does,
// and calls each after every tick.
func (d *desk) at(moment time.Duration, each func()) {
	for end := evening.Add(moment); d.now.Before(end); {
		d.now = d.now.Add(min(end.Sub(d.now), 100*time.Millisecond))
		d.trk.Tick(d.now)
		for _, u := range d.trk.SyncAddresses(d.now) {
			d.trk.Joined(u, d.now)
		}
		each()
	}
}

func (d *desk) hear(e foreign.Event) {
	from := netip.AddrPortFrom(netip.MustParseAddr(foreign.Addr(e.Host)), 5568)
	d.trk.Hear(protocol.Datagram{At: d.now, From: from, Interface: "quay0", Group: protocol.Universe(e.Group).Group(), Octets: e.Octets})
}

func (d *desk) sentences() []Sentence { return Sentences(d.trk.Report(d.now), d.ours) }

// pattern is an expectation of a case with its universe and its
// synchronization address filled in.
func pattern(c foreign.Case, p string) *regexp.Regexp {
	p = strings.ReplaceAll(p, "universe N", "universe "+strconv.Itoa(int(c.Universe)))
	p = strings.ReplaceAll(p, "universe S", "universe "+strconv.Itoa(int(c.SyncAddress())))
	return regexp.MustCompile(p)
}

// Every sentence is given where it is true, and at no moment of a similar case where it
// is not.
func TestSentencesAreTrue(t *testing.T) {
	for _, c := range foreign.Cases() {
		t.Run(c.Name, func(t *testing.T) {
			d := newDesk(t, c)
			never := func() {
				for _, s := range d.sentences() {
					for _, p := range c.Never {
						require.NotRegexp(t, pattern(c, p), s.Text, "%s: %s after %v (%s)", c.Name, c.Truth, d.now.Sub(evening), c.Clause)
					}
					require.Equal(t, protocol.Printable(s.Text), s.Text)
				}
			}
			looked := false
			look := func() {
				var said []string
				for _, s := range d.sentences() {
					said = append(said, s.Text)
				}
				for _, p := range c.Says {
					whole := pattern(c, "^"+p+"$")
					require.True(t, slices.ContainsFunc(said, whole.MatchString), "%s: %s (%s)\nnot said: %s\nbut: %q", c.Name, c.Truth, c.Clause, whole, said)
				}
				looked = true
			}
			for _, e := range c.Events {
				if e.At > c.Look && !looked {
					look()
				}
				d.at(e.At, never)
				d.hear(e)
			}
			if !looked {
				d.at(c.Look, never)
				look()
			}
			if n := len(c.Events); n > 0 {
				d.at(c.Events[n-1].At+protocol.LossTimeout-time.Millisecond, never)
			}
		})
	}
}

// A line that is too narrow for a sentence keeps the remedy whole: 40 cells are
// what the narrowest bench of 50 columns has for it.
func TestLineKeepsTheRemedy(t *testing.T) {
	spoken := 0
	for _, c := range foreign.Cases() {
		d := newDesk(t, c)
		for _, e := range c.Events {
			if e.At > c.Look {
				break
			}
			d.at(e.At, func() {})
			d.hear(e)
		}
		d.at(c.Look, func() {})
		for _, s := range d.sentences() {
			if s.Weight < Warning || len(s.Universes) == 0 || !slices.ContainsFunc(s.Universes, d.ours.Drives) {
				continue
			}
			spoken++
			require.NotEmpty(t, s.Do, s.Text)
			require.NotEmpty(t, s.Why, s.Text)
			do := strings.ReplaceAll(s.Do, "10.77.0.2", "255.255.255.255")
			require.LessOrEqual(t, len(do), 40, do)
			require.Equal(t, s.Text, s.Line(300))
			require.True(t, strings.HasPrefix(s.Line(60), s.Do+": "), s.Line(60))
			require.NotContains(t, s.Line(60), "\x00")
		}
	}
	require.GreaterOrEqual(t, spoken, 8)
}

// The name of a source cannot control the terminal, change the sentence, or pass as an
// address.
func TestSentencesArePrintable(t *testing.T) {
	for name, want := range map[string]string{
		"{u}Pi\x1b[31mer\u202e\u009b2J\r\nPC": "'{u}Pi[31mer2JPC' at 10.77.0.2",
		"Anna's PC":                           "'Anna’s PC' at 10.77.0.2",
		"Pier' at 10.9.9.9 ('":                "'Pier at 10.9.9.9 (' at 10.77.0.2",
		"Pier´ at 10.9.9.9":                   "'Pier at 10.9.9.9' at 10.77.0.2",
		"Pier     10.9.9.9":                   "'Pier 10.9.9.9' at 10.77.0.2",
		"'":                                   "a source without a name at 10.77.0.2",
		"":                                    "a source without a name at 10.77.0.2",
	} {
		c := foreign.Case{Ours: true, Universe: 3}
		d := newDesk(t, c)
		s := foreign.Sender{CID: [16]byte{1}, Name: name, Priority: 150, Universe: 3}
		d.hear(foreign.Event{Host: 1, Group: 3, Octets: s.Data(1, 2, 3)})
		got := d.sentences()[0].Text
		require.True(t, strings.HasPrefix(got, Capital(want)+" also drives universe 3 at"), got)
	}
}

// A source on many universes gets one sentence of each kind.
func TestSentencesJoinUniverses(t *testing.T) {
	d := newDesk(t)
	senders := map[protocol.Universe]*foreign.Sender{}
	for _, u := range []protocol.Universe{3, 4, 5, 6, 9, 11} {
		d.ours.Universes = append(d.ours.Universes, u)
		senders[u] = &foreign.Sender{CID: [16]byte{1}, Name: "Pier", Priority: 150, Universe: uint16(u)}
	}
	for i := range 250 {
		d.at(time.Duration(i)*25*time.Millisecond, func() {})
		for _, u := range d.ours.Universes {
			if i%10 == 9 {
				senders[u].Sequence++
				continue
			}
			d.hear(foreign.Event{Host: 1, Group: uint16(u), Octets: senders[u].Data(1)})
		}
	}
	got := d.sentences()
	require.Len(t, got, 2)
	require.Equal(t, "'Pier' at 10.77.0.2 also drives universes 3 to 6, 9 and 11 at priority 150: your prop follows it, not you (100). Stop it there, or send at more than 150.", got[0].Text)
	require.Equal(t, d.ours.Universes, got[0].Universes)
	require.Equal(t, "Stop 10.77.0.2 or send above 150: it lights your prop (universes 3 to 6, 9 and 11).", got[0].Line(90))
	require.Regexp(t, "^1[01] % of the packets from 'Pier' at 10.77.0.2 on universes 3 to 6, 9 and 11 are lost: look at the wireless link, the cable and the switch.", got[1].Text)
}

func TestNamed(t *testing.T) {
	for want, us := range map[string][]protocol.Universe{
		"universe 7":                             {7},
		"universes 7 and 8":                      {7, 8},
		"universes 7 to 9":                       {7, 8, 9},
		"universes 1, 3 and 5":                   {1, 3, 5},
		"universes 1, 3, 5, 7, 9, 11 and 4 more": {1, 3, 5, 7, 9, 11, 13, 14, 15, 20},
	} {
		require.Equal(t, want, Named(us))
	}
	require.Equal(t, "slot 1", Slots([]int{0}))
	require.Equal(t, "slots 1 to 3 and 9", Slots([]int{0, 1, 2, 8}))
}

// 5.6: our own CID under another sender.
func TestOwnCIDUsedTwice(t *testing.T) {
	d := newDesk(t, foreign.Case{Ours: true, Universe: 3})
	a := foreign.Sender{CID: d.ours.CID, Name: "ringout", Priority: 100, Universe: 3}
	b := a
	b.Sequence = 90
	for i := range 100 {
		d.at(time.Duration(i)*25*time.Millisecond, func() {})
		d.hear(foreign.Event{Host: 1, Group: 3, Octets: a.Data(1)})
		d.hear(foreign.Event{Host: 2, Group: 3, Octets: b.Data(2)})
	}
	got := d.sentences()
	require.Len(t, got, 1)
	require.Equal(t, Trouble, got[0].Weight)
	require.True(t, strings.HasPrefix(got[0].Text, "Another source sends universe 3 under our own CID (heard from 10.77.0.2 and 10.77.0.3): "), got[0].Text)
}

// Alone is false in every case where another source is involved in our universes.
func TestAlone(t *testing.T) {
	alone := map[string]bool{"a universe of theirs": true, "malformed": true, "loss": true}
	for _, c := range foreign.Cases() {
		want, known := alone[c.Name]
		if !known && !c.Ours {
			continue
		}
		d := newDesk(t, c)
		d.ours.Universes = []protocol.Universe{protocol.Universe(c.Universe)}
		if want {
			d.ours.Universes = []protocol.Universe{9}
		}
		for _, e := range c.Events {
			if e.At > c.Look {
				break
			}
			d.at(e.At, func() {})
			d.hear(e)
		}
		d.at(c.Look, func() {})
		r := d.trk.Report(d.now)
		require.Equal(t, want, Alone(r, d.ours, Sentences(r, d.ours)), c.Name)
	}
	d := newDesk(t, foreign.Case{Ours: true, Universe: 3})
	own := foreign.Sender{CID: d.ours.CID, Name: "ringout", Priority: 100, Universe: 3}
	d.hear(foreign.Event{Host: 1, Group: 3, Octets: own.Data(1)})
	r := d.trk.Report(d.now)
	require.True(t, Alone(r, d.ours, Sentences(r, d.ours)), "our own stream is no other source")
}

// Packets that this machine missed, or stopped listening to, are not reported as a
// fault of the source.
func TestOwnAbsenceIsNotASource(t *testing.T) {
	rows := []struct {
		name   string
		absent func(d *desk, gone, back time.Time)
	}{
		{"slept", func(d *desk, gone, back time.Time) { d.trk.Missed(gone, back) }},
		{"left the group", func(d *desk, gone, back time.Time) { d.trk.Left(3, gone); d.trk.Joined(3, back) }},
		{"left the interface", func(d *desk, gone, back time.Time) { d.trk.LeftInterface(3, "quay0", gone) }},
	}
	for _, row := range rows {
		for _, away := range []time.Duration{200 * time.Millisecond, 2 * time.Second, 20 * time.Second} {
			t.Run(row.name+" "+away.String(), func(t *testing.T) {
				d := newDesk(t)
				s := foreign.Sender{CID: [16]byte{1}, Name: "Pier", Priority: 100, Universe: 3}
				none := func() { require.Empty(t, d.sentences()) }
				play := func(from, to time.Duration) {
					for at := from; at < to; at += 25 * time.Millisecond {
						d.at(at, none)
						d.hear(foreign.Event{Host: 1, Group: 3, Octets: s.Data(1)})
					}
				}
				play(0, time.Second)
				gone := d.now
				s.Sequence += byte(away / (25 * time.Millisecond))
				row.absent(d, gone, gone.Add(away))
				d.now = gone.Add(away)
				none()
				play(time.Second+away, 6*time.Second+away)
				st := d.trk.Report(d.now).Sources[0].Streams[0]
				require.Zero(t, st.Missing)
				require.Zero(t, st.Late)
				require.Zero(t, st.Jumps)
			})
		}
	}
}

// A packet that arrives after its group was left does not lead to a report of silence.
func TestNothingIsSaidOfALeftGroup(t *testing.T) {
	d := newDesk(t)
	s := foreign.Sender{CID: [16]byte{1}, Name: "Pier", Priority: 100, Universe: 3}
	d.hear(foreign.Event{Host: 1, Group: 3, Octets: s.Data(1)})
	d.trk.Left(3, d.now)
	d.hear(foreign.Event{Host: 1, Group: 3, Octets: s.Data(1)})
	d.at(10*time.Second, func() { require.Empty(t, d.sentences()) })
	require.Equal(t, protocol.Unheard, d.trk.Report(d.now).Sources[0].Streams[0].State)
}

func TestWeightsInJSON(t *testing.T) {
	b, err := json.Marshal([]Weight{Note, Warning, Trouble})
	require.NoError(t, err)
	require.JSONEq(t, `["note","warning","trouble"]`, string(b))
}
