package protocol

import (
	"encoding/binary"
	"errors"
	"net/netip"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A field of the standard's tables 4-1, 4-2 and 4-3 that has one value only:
// where it starts, how long it is, and what must stand there.
type fixedField struct {
	name   string
	at     int
	size   int
	clause string
	value  uint32
}

var rootFields = []fixedField{{"Preamble Size", 0, 2, "5.1", 0x0010}, {"Post-amble Size", 2, 2, "5.2", 0}}

// Every octet of a field that has one value only is refused by the name, the
// clause and the place of that field when it is another, and the error says what
// was found and what was wanted; with that the packet is read.
func TestRefusalsNameTheField(t *testing.T) {
	d := Data{CID: CID{1}, Source: NameOf("bench"), Priority: 100, Universe: 1}
	d.SetLevels([]byte{1, 2, 3})
	l := Discovery{CID: CID{1}, Source: NameOf("bench")}
	l.SetList([]Universe{3, 4})
	for name, row := range map[string]struct {
		octets []byte
		parse  func(b []byte) error
		fields []fixedField
	}{
		"data": {AppendData(nil, &d), func(b []byte) error { return ParseData(b, new(Data)) }, []fixedField{{"Root Vector", 18, 4, "5.5", 4}, {"Framing Vector", 40, 4, "6.2.1", 2}, {"DMP Vector", 117, 1, "7.2", 2},
			{"Address Type and Data Type", 118, 1, "7.3", 0xa1}, {"First Property Address", 119, 2, "7.4", 0}, {"Address Increment", 121, 2, "7.5", 1}}},
		"synchronization": {AppendSync(nil, Sync{CID: CID{1}, Address: 7}), func(b []byte) error { _, err := ParseSync(b); return err }, []fixedField{{"Root Vector", 18, 4, "5.5", 8}, {"Framing Vector", 40, 4, "6.3.1", 1}}},
		"discovery": {AppendDiscovery(nil, &l), func(b []byte) error { return ParseDiscovery(b, new(Discovery)) }, []fixedField{{"Root Vector", 18, 4, "5.5", 8}, {"Framing Vector", 40, 4, "6.4.1", 2},
			{"Universe Discovery Vector", 114, 4, "8.2", 1}}},
	} {
		require.NoError(t, row.parse(row.octets), name)
		for _, f := range append(rootFields, row.fields...) {
			for k := range f.size {
				b := append([]byte(nil), row.octets...)
				b[f.at+k] ^= 0x40
				err := row.parse(b)
				var e *FieldError
				require.True(t, errors.As(err, &e), "%s, %s", name, f.name)
				assert.Equal(t, []any{f.clause, f.at}, []any{e.Clause, e.Octet}, "%s, %s: %v", name, f.name, e)
				assert.True(t, strings.Contains(strings.ToLower(e.Field), strings.ToLower(strings.Fields(f.name)[0])), "%s, not %s", e.Field, f.name)
				assert.EqualValues(t, f.value, e.Want, "%s, %s: %v", name, f.name, e)
				assert.EqualValues(t, whole(b[f.at:f.at+f.size]), e.Got, "%s, %s: %v", name, f.name, e)
			}
		}
	}
}

func whole(b []byte) (v uint32) {
	for _, x := range b {
		v = v<<8 | uint32(x)
	}
	return v
}

// The kind stands in octets 18 to 21 and 40 to 43: a packet of 43 has none.
func TestKindNeedsBothVectors(t *testing.T) {
	b := AppendSync(nil, Sync{CID: CID{1}, Address: 7})
	for n := range len(b) + 1 {
		want := KindUnknown
		if n >= 44 {
			want = KindSync
		}
		require.Equal(t, want, KindOf(b[:n]), "%d octets", n)
		var d Decoder
		_, err := d.Decode(b[:n])
		require.Equal(t, n == len(b), err == nil, "%d octets: %v", n, err)
		if n >= 38 && n < 44 { // the root layer's own length says more than is there
			require.ErrorContains(t, err, "octet 16")
		}
	}
	d := Data{CID: CID{1}, Source: NameOf("bench"), Priority: 100, Universe: 1}
	data := AppendData(nil, &d)
	binary.BigEndian.PutUint32(data[18:], 9)
	var dec Decoder
	_, err := dec.Decode(data)
	require.ErrorContains(t, err, "Root Vector at octet 18 is 9, want 4 or 8")
	binary.BigEndian.PutUint32(data[18:], 8)
	binary.BigEndian.PutUint32(data[40:], 3)
	_, err = dec.Decode(data)
	require.ErrorContains(t, err, "Framing Vector at octet 40 is 3, want 1 or 2")
	assert.Equal(t, []string{"data", "synchronization", "universe discovery", "unknown"}, []string{KindData.String(), KindSync.String(), KindDiscovery.String(), KindUnknown.String()})
	short := append([]byte(nil), b[:40]...)
	binary.BigEndian.PutUint16(short[16:], 0x7000|24)
	_, err = dec.Decode(short)
	require.ErrorContains(t, err, "at least 44 octets")
}

// 8.1 and 8.4: 512 universes a page, an empty list is one page.
func TestPagesOfAList(t *testing.T) {
	for n, want := range map[int]int{0: 1, 1: 1, 511: 1, 512: 1, 513: 2, 1024: 2, 1025: 3, 63999: 125} {
		assert.Equal(t, want, Pages(n), "%d", n)
	}
	d := Discovery{CID: CID{1}, Source: NameOf("bench")}
	var all []Universe
	for u := range Universe(512) {
		all = append(all, u+1)
	}
	d.SetList(all)
	require.NoError(t, d.Check())
	assert.Len(t, AppendDiscovery(nil, &d), MaxDiscovery)
	d.Count = 513
	require.ErrorContains(t, d.Check(), "513, want 0 to 512 universes")
	d.SetList([]Universe{4, 4})
	require.ErrorContains(t, d.Check(), "octet 122 is 4, want more than 4, at most 63999")
	d.SetList([]Universe{0})
	require.ErrorContains(t, d.Check(), "octet 120 is 0, want more than 0")
	d.SetList([]Universe{63999})
	require.NoError(t, d.Check())
	d.SetList([]Universe{64000})
	require.Error(t, d.Check())
	d.SetList(nil)
	for page, last := range map[uint8]uint8{0: 0, 3: 3, 2: 3} {
		d.Page, d.Last = page, last
		require.NoError(t, d.Check())
		require.NoError(t, ParseDiscovery(AppendDiscovery(nil, &d), new(Discovery)))
	}
	d.Page, d.Last = 4, 3
	require.ErrorContains(t, d.Check(), "want 0 to the last page, 3")
	require.Error(t, ParseDiscovery(AppendDiscovery(nil, &d), new(Discovery)))
	odd := append(AppendDiscovery(nil, &Discovery{CID: CID{1}, Source: NameOf("b")}), 0)
	for _, at := range []int{16, 38, 112} {
		binary.BigEndian.PutUint16(odd[at:], 0x7000|uint16(len(odd)-at))
	}
	require.ErrorContains(t, ParseDiscovery(odd, new(Discovery)), "1 octets, want an even number")
}

// How much is kept at most is what the memory was reckoned with: 4096 universes,
// 127 sources of one (Owner has seven bits for them), 512 synchronization
// addresses of 8 sources.
func TestHowMuchIsKept(t *testing.T) {
	assert.Equal(t, []int{4096, 127, 512, 8}, []int{maxTables, maxSources, maxSyncs, maxSyncSources})
	assert.Less(t, maxSources, 1<<7, "an int8 has to hold them")
}

// A listener's own absence: since when a group is heard, what was left, what it
// missed.
func TestWhatTheListenerSays(t *testing.T) {
	now := time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)
	trk := NewTracker()
	trk.Joined(3, now)
	trk.Joined(3, now.Add(time.Hour)) // again: it has been heard all the time
	r := trk.Report(now.Add(10 * time.Second))
	assert.True(t, r.HearsSince(3, 10*time.Second))
	assert.False(t, r.HearsSince(3, 10*time.Second+1))
	assert.False(t, r.HearsSince(4, 0))
	trk.Left(3, now)
	assert.False(t, trk.Report(now).HearsSince(3, 0))

	from := netip.MustParseAddrPort("10.0.0.7:5568")
	d := Data{CID: CID{1}, Source: NameOf("Pier"), Priority: 100, Universe: 3, SyncAddress: 9}
	d.SetLevels([]byte{1})
	hear := func(trk *Tracker, at time.Time, group Universe) {
		h := Datagram{At: at, From: from, Interface: "quay0", Octets: AppendData(nil, &d)}
		if group > 0 {
			h.Group = group.Group()
		}
		trk.Hear(h)
		d.Sequence++
	}
	trk = NewTracker()
	hear(trk, now, 3)
	assert.Equal(t, []Universe{3}, trk.Heard(now))
	assert.Equal(t, []Universe{9}, trk.SyncAddresses(now))
	assert.Empty(t, trk.Heard(now.Add(LossTimeout)), "lost")
	assert.Empty(t, trk.SyncAddresses(now.Add(LossTimeout)))
	state := func(trk *Tracker, at time.Time) StreamState { return trk.Report(at).Sources[0].Streams[0].State }
	trk.LeftInterface(3, "other", now)
	assert.Equal(t, Live, state(trk, now))
	trk.LeftInterface(4, "quay0", now)
	assert.Equal(t, Live, state(trk, now))
	trk.LeftInterface(3, "quay0", now)
	assert.Equal(t, Unheard, state(trk, now))
	trk = NewTracker()
	hear(trk, now, 0)
	assert.Empty(t, trk.Heard(now), "what comes straight needs no group")
	trk.Left(3, now)
	assert.Equal(t, Live, state(trk, now), "nor is it lost with the group")
	assert.False(t, trk.Report(now).Sources[0].Streams[0].Multicast)

	// Slept from 1 s on for 20 s: it was live, so its silence counts from the end.
	trk = NewTracker()
	hear(trk, now, 3)
	trk.Missed(now.Add(time.Second), now.Add(21*time.Second))
	assert.Equal(t, Live, state(trk, now.Add(23*time.Second)))
	assert.Equal(t, Lost, state(trk, now.Add(21*time.Second+LossTimeout)))
	// It was silent for 2.5 s before that: that it was lost stays so.
	trk = NewTracker()
	hear(trk, now, 3)
	trk.Missed(now.Add(LossTimeout), now.Add(21*time.Second))
	assert.Equal(t, Lost, state(trk, now.Add(21*time.Second)))
}

// Held and frozen are said of live data that waits for synchronization only.
func TestHeldIsOfWhatIsSynchronized(t *testing.T) {
	now := time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)
	for _, address := range []Universe{0, 1, 7} {
		trk := NewTracker()
		d := Data{CID: CID{1}, Source: NameOf("Pier"), Priority: 100, Universe: 3, SyncAddress: address}
		d.SetLevels([]byte{1})
		from := netip.MustParseAddrPort("10.0.0.7:5568")
		if address > 0 {
			trk.Hear(Datagram{At: now, From: from, Octets: AppendSync(nil, Sync{CID: CID{1}, Address: address})})
		}
		trk.Hear(Datagram{At: now, From: from, Octets: AppendData(nil, &d)})
		st := trk.Report(now).Sources[0].Streams[0]
		assert.Equal(t, address > 0, st.Held, "address %d (6.2.4.1: 0 is none)", address)
		trk.Tick(now.Add(LossTimeout))
		st = trk.Report(now.Add(LossTimeout)).Sources[0].Streams[0]
		assert.False(t, st.Held || st.Frozen, "what is lost waits for nothing")
	}
}

// Figures of made-up tallies, by hand.
func TestFiguresByHand(t *testing.T) {
	r := StreamReport{}
	r.judge(tally{packets: 90, late: 10, missing: 30, twice: 25}, 5, 10)
	assert.Equal(t, 100, r.Judged)
	assert.InDelta(t, 20.0/(100-5+20), r.Loss, 1e-12, "ten may still come")
	assert.InDelta(t, 0.1, r.Reordered, 1e-12)
	assert.InDelta(t, 0.25, r.Doubled, 1e-12)
	r = StreamReport{}
	r.judge(tally{packets: 5, missing: 3}, 5, 3)
	assert.Zero(t, r.Loss)
	r.judge(tally{missing: 3}, 0, 0)
	assert.Zero(t, r.Judged)
	st := stats{seen: 0b1011, reach: 3}
	came, out := st.newest()
	assert.Equal(t, []int{3, 1}, []int{came, out})
	st = stats{seen: 0b1, reach: 0}
	came, out = st.newest()
	assert.Equal(t, []int{1, 0}, []int{came, out})
	st = stats{seen: 0xffffffff, reach: 31}
	came, out = st.newest()
	assert.Equal(t, []int{9, 0}, []int{came, out}, "eight back and the newest")
	a := &account{}
	start := time.Unix(1000, 0)
	a.start(start)
	a.state = Live
	at := func(seconds float64) time.Time { return start.Add(time.Duration(seconds * float64(time.Second))) }
	a.last = at(2)
	// 81 packets in 2 s at 40 a second: 80 gaps, since the first of the run is among them.
	assert.InDelta(t, 40, a.rate(tally{packets: 80, late: 1}, 2*time.Second, at(2)), 1e-9)
	assert.InDelta(t, 80/2.06, a.rate(tally{packets: 81}, 2060*time.Millisecond, at(2.06)), 1e-9, "a silence longer than two gaps counts")
	a.last = at(1)
	assert.InDelta(t, 1, a.rate(tally{packets: 2}, time.Second, at(1)), 1e-9, "two packets have one gap")
	assert.Zero(t, a.rate(tally{packets: 1}, time.Second, at(1)), "one has none")
	a.last = at(10)
	assert.InDelta(t, 44, a.rate(tally{packets: 220}, 5*time.Second, at(10)), 1e-9)
	assert.InDelta(t, 180/4.0, a.rate(tally{packets: 180}, 4*time.Second, at(10)), 1e-9, "four seconds of five are whole")
	assert.Zero(t, a.rate(tally{}, 5*time.Second, at(10)))
	assert.Zero(t, a.rate(tally{packets: 220}, 5*time.Second, at(12.5)), "lost")
	st = stats{gap: 10 * time.Millisecond, jitter: 16e6}
	st.time(step{numbers: 1, gap: 42 * time.Millisecond})
	assert.InDelta(t, 16e6+(32e6-16e6)/16, st.jitter, 1e-3, "RFC 3550 6.4.1")
	st.time(step{numbers: 2, gap: time.Second})
	assert.InDelta(t, 17e6, st.jitter, 1e-3, "a gap over a missing packet says nothing")
	assert.Zero(t, st.gap)
}

// A run that begins again begins its figures again.
func TestJitterBeginsAgain(t *testing.T) {
	st := stats{jitter: 5e6, gap: time.Second}
	d := Data{}
	st.hear(Datagram{At: time.Unix(1000, 0), From: netip.MustParseAddrPort("10.0.0.7:5568")}, &d, step{first: true}, Acted)
	assert.Zero(t, st.jitter)
	assert.Zero(t, st.gap)
}

// Options, priority and synchronization address are those of packets with
// levels; a source that sends no levels is known by what it does send.
func TestWhoseOptionsCount(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 150)
	k.d.StartCode, k.d.Options = StartPriority, ForceSync
	k.say()
	st := w.stream(1, 1)
	require.EqualValues(t, 150, st.Priority, "of the only packets there are")
	require.True(t, st.ForceSync)
	require.False(t, st.Preview)
	k.d.StartCode, k.d.Options, k.d.Priority = StartLevels, Preview, 90
	k.say()
	k.d.StartCode, k.d.Options, k.d.Priority = 0x17, ForceSync, 180
	k.say()
	st = w.stream(1, 1)
	require.EqualValues(t, 90, st.Priority)
	require.True(t, st.Preview)
	require.False(t, st.ForceSync)
}

// Two addresses that take turns three times within five seconds are two senders;
// twice may be a program that was started again.
func TestTurnsOfTwoAddresses(t *testing.T) {
	for turns, want := range map[int]bool{2: false, 3: true} {
		w := newWire(t)
		a, b := w.talker(1, "Pier PC", hostA, 3, 100), w.talker(1, "Quay PC", hostB, 3, 100)
		b.d.Sequence = 90
		w.play(5, a)
		for i := range turns {
			if i%2 == 0 {
				w.play(1, b)
			} else {
				w.play(1, a)
			}
		}
		require.Equal(t, want, w.stream(1, 3).Shared, "%d turns", turns)
	}
}

// A page of a list counts until it was not repeated for two and a half intervals
// of ten seconds (12.2; the half is our choice).
func TestPagesAreForgotten(t *testing.T) {
	for wait, want := range map[time.Duration]int{25*time.Second - 1: 1, 25 * time.Second: 0} {
		w := newWire(t)
		d := Discovery{CID: CID{1}, Source: NameOf("Pier PC")}
		d.SetList([]Universe{4})
		w.hear(hostA, AppendDiscovery(nil, &d))
		w.wait(wait)
		require.Len(t, w.trk.Announced(), want, "after %v", wait)
	}
}

// The identifier that is wanted is the standard's, all twelve octets of it (5.3),
// and what was found is quoted whole.
func TestIdentifierIsQuotedWhole(t *testing.T) {
	b := AppendSync(nil, Sync{CID: CID{1}, Address: 7})
	b[4], b[15] = 'X', 'Y'
	_, err := ParseSync(b)
	var e *FieldError
	require.True(t, errors.As(err, &e))
	require.Equal(t, "41"+"53432d45312e3137000000", e.Want)
	require.Equal(t, "58"+"53432d45312e31370000"+"59", e.Got)
}
