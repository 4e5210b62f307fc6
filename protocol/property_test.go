package protocol

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// anyData draws a packet that a source may send.
func anyData(t *rapid.T) Data {
	var random [16]byte
	copy(random[:], rapid.SliceOfN(rapid.Byte(), 16, 16).Draw(t, "random"))
	d := Data{
		CID:         NewCID(random),
		Source:      NameOf(rapid.String().Draw(t, "name")),
		Priority:    rapid.Uint8Range(0, MaxPriority).Draw(t, "priority"),
		SyncAddress: Universe(rapid.Uint16Range(0, 63999).Draw(t, "sync")),
		Sequence:    rapid.Uint8().Draw(t, "sequence"),
		Options:     Options(rapid.Uint8().Draw(t, "options")) & knownOptions,
		Universe:    Universe(rapid.Uint16Range(1, 63999).Draw(t, "universe")),
		StartCode:   rapid.Uint8().Draw(t, "START code"),
	}
	d.SetLevels(rapid.SliceOfN(rapid.Byte(), 0, MaxSlots).Draw(t, "slots"))
	return d
}

// What Check lets pass, a receiver takes, and it takes what was meant.
func TestWhatMayBeSentIsRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyData(t)
		require.NoError(t, d.Check())
		octets := AppendData(nil, &d)
		require.Len(t, octets, 126+int(d.Count))
		got, err := Parse(octets)
		require.NoError(t, err)
		require.True(t, d == *got.(*Data))
		require.Equal(t, octets, NewTemplate(six(0, 0, 0)).like(&d))
	})
}

// like makes a template of another packet say what d says.
func (t *Template) like(d *Data) []byte {
	fresh := *d
	fresh.SetLevels(nil)
	*t = *NewTemplate(&fresh)
	t.SetSlots(d.Levels())
	return t.Next(d.Sequence, d.Options)
}

func TestListsThatMayBeSentAreRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		us := rapid.SliceOfNDistinct(rapid.Uint16Range(1, 63999), 0, 600, rapid.ID).Draw(t, "universes")
		pages := Pages(len(us))
		require.Equal(t, max(1, (len(us)+511)/512), pages)
		trk := NewTracker()
		sorted := sortedUniverses(us)
		for page := range pages {
			d := Discovery{CID: worked, Page: uint8(page), Last: uint8(pages - 1)}
			d.SetList(sorted[page*PageSize : min(len(sorted), (page+1)*PageSize)])
			require.NoError(t, d.Check())
			got, err := Parse(AppendDiscovery(nil, &d))
			require.NoError(t, err)
			require.True(t, d == *got.(*Discovery))
			trk.Hear(Datagram{At: start, From: hostA, Octets: AppendDiscovery(nil, &d)})
		}
		s := trk.Report(start).Sources[0]
		require.True(t, s.ListComplete)
		require.Equal(t, len(sorted), len(s.Listed))
		for i := range sorted {
			require.Equal(t, sorted[i], s.Listed[i])
		}
	})
}

func sortedUniverses(us []uint16) []Universe {
	seen := [65536]bool{}
	for _, u := range us {
		seen[u] = true
	}
	var sorted []Universe
	for u, ok := range seen {
		if ok {
			sorted = append(sorted, Universe(u))
		}
	}
	return sorted
}

// An event is one packet of a source, or time that passes.
type event struct {
	id       byte
	sequence uint8
	priority uint8
	level    byte
	options  Options
	wait     time.Duration
}

// A slowReceiver tells the receiver's rules again, the slow way: who counts at the
// end is worked out by going through everything that happened to each source.
func slowReceiver(events []event) (level byte, driven bool) {
	now := time.Duration(0)
	type last struct {
		at    time.Duration
		e     event
		there bool
	}
	sources := map[byte]last{}
	for _, e := range events {
		now += e.wait
		l := sources[e.id]
		if l.there && now-l.at >= 2500*time.Millisecond {
			l.there = false
		}
		back := (int(l.e.sequence) - int(e.sequence) + 256) % 256 // 0 to 19 back is dropped (6.7.2)
		switch {
		case l.there && back <= 19:
			continue
		case e.options == Terminated:
			l.there = false
		default:
			l = last{at: now, e: e, there: true}
		}
		sources[e.id] = l
	}
	best := -1
	for _, l := range sources {
		if !l.there || now-l.at >= 2500*time.Millisecond || l.e.options == Preview {
			continue
		}
		switch p := int(l.e.priority); {
		case p > best:
			best, level = p, l.e.level
		case p == best:
			level = max(level, l.e.level)
		}
	}
	return level, best >= 0
}

func TestReceiverAgreesWithItsStory(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) event {
			return event{
				id:       rapid.ByteRange(1, 4).Draw(t, "source"),
				sequence: rapid.Uint8Range(0, 60).Draw(t, "sequence") * 4,
				priority: rapid.Uint8Range(99, 101).Draw(t, "priority"),
				level:    rapid.Byte().Draw(t, "level"),
				options:  rapid.SampledFrom([]Options{0, 0, 0, 0, Preview, Terminated}).Draw(t, "options"),
				wait:     time.Duration(rapid.IntRange(0, 13).Draw(t, "wait")) * 100 * time.Millisecond,
			}
		}), 1, 60).Draw(t, "events")
		rx, now := NewReceiver(), start
		for i, e := range events {
			now = now.Add(e.wait)
			d := Data{CID: CID{e.id}, Priority: e.priority, Sequence: e.sequence, Options: e.options, Universe: 1}
			d.SetLevels([]byte{e.level})
			rx.HearData(now, &d)
			rx.Tick(now)
			level, driven := slowReceiver(events[:i+1])
			require.Equal(t, driven, rx.Output(1).Driven())
			if driven {
				require.Equal(t, level, rx.Output(1).Slots[0])
			}
		}
	})
}
