package advice

import (
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/protocol"
)

// one is a report of one source on universe 3, made by hand.
func one(st protocol.StreamReport) *protocol.Report {
	st.Universe = 3
	if st.StartCodes == nil {
		st.StartCodes = []protocol.StartCount{{Code: protocol.StartLevels}}
	}
	return &protocol.Report{At: evening, Sources: []protocol.SourceReport{{CID: protocol.CID{1}, From: netip.MustParseAddrPort("10.0.0.7:5568"), First: evening,
		Streams: []protocol.StreamReport{st}}}}
}

// Figures in sentences are those of the report. Each is reported from its threshold on
// and not below it.
func TestFiguresAndThresholds(t *testing.T) {
	for _, row := range []struct {
		name string
		st   protocol.StreamReport
		want []string
	}{
		{"loss", protocol.StreamReport{Judged: 20, Loss: 0.25}, []string{"25 % of the packets from a source without a name at 10.0.0.7 on universe 3 are lost: look at the wireless link, the cable and the switch."}},
		{"just enough loss", protocol.StreamReport{Judged: 20, Loss: 0.01}, []string{"1 % of the packets from a source without a name at 10.0.0.7 on universe 3 are lost: look at the wireless link, the cable and the switch."}},
		{"too little loss", protocol.StreamReport{Judged: 20, Loss: 0.0099}, nil},
		{"too few packets", protocol.StreamReport{Judged: 19, Loss: 0.5, Reordered: 0.5, Doubled: 1}, nil},
		{"out of order", protocol.StreamReport{Judged: 20, Reordered: 0.5}, []string{"50 % of the packets from a source without a name at 10.0.0.7 on universe 3 come after a later one: receivers drop them. They take two ways, or something on the way holds some back. Leave one cable or one wireless link between you."}},
		{"twice", protocol.StreamReport{Judged: 20, Doubled: 1}, []string{"100 % of the packets from a source without a name at 10.0.0.7 on universe 3 come twice: it reaches here by two ways."}},
		{"hardly any twice", protocol.StreamReport{Judged: 20, Doubled: 0.19}, nil},
		{"fast", protocol.StreamReport{Judged: 45, Rate: 60}, []string{"A source without a name at 10.0.0.7 sends universe 3 60 times a second; the standard allows 44, and slow receivers may stumble."}},
		{"a burst", protocol.StreamReport{Judged: 44, Rate: 60}, nil},
		{"at the ceiling", protocol.StreamReport{Judged: 200, Rate: 45.9}, nil},
		{"one CID used twice", protocol.StreamReport{Judged: 200, Loss: 0.5, Rate: 90, Shared: true}, []string{"Two senders at  use one CID on universe 3 (01000000-0000-0000-0000-000000000000): receivers take them for one source and drop packets of both. Give one of them a CID of its own."}},
		{"ended a minute ago", protocol.StreamReport{State: protocol.Finished, Since: evening.Add(-time.Minute)}, []string{"60 s ago, a source without a name at 10.0.0.7 ended universe 3."}},
		{"ended longer ago", protocol.StreamReport{State: protocol.Finished, Since: evening.Add(-time.Minute - 1)}, nil},
		{"just ended", protocol.StreamReport{State: protocol.Finished, Since: evening.Add(-400 * time.Millisecond)}, []string{"Just now, a source without a name at 10.0.0.7 ended universe 3."}},
		{"not listened to", protocol.StreamReport{State: protocol.Unheard, Since: evening}, nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			var got []string
			for _, s := range Sentences(one(row.st), protocol.Ours{}) {
				got = append(got, s.Text)
			}
			require.Equal(t, row.want, got)
		})
	}
}

// 0 means that the source does not drive the slot, 1 to 200 are priorities, higher
// values are invalid (values of START code 0xdd from memory).
func TestSlotsTaken(t *testing.T) {
	p := [protocol.MaxSlots]byte{0, 1, 99, 100, 101, 200, 201, 255, 150}
	st := &protocol.StreamReport{Slots: 8, SlotPriority: &p}
	taken, tied := SlotsTaken(st, 100)
	require.Equal(t, []int{4, 5}, taken)
	require.Equal(t, []int{3}, tied)
	taken, tied = SlotsTaken(st, 0)
	require.Equal(t, []int{1, 2, 3, 4, 5}, taken)
	require.Empty(t, tied, "a slot that is not driven ties with no one")
	taken, tied = SlotsTaken(&protocol.StreamReport{Slots: 8}, 100)
	require.Empty(t, append(taken, tied...))
}

func TestPlainNames(t *testing.T) {
	for name, want := range map[string]string{"'Tis": "Tis", "Piers'": "Piers", "Anna's": "Anna’s", "a 'b' c": "a b c", "x'1": "x1", "1'x": "1x", " a  b ": "a b"} {
		require.Equal(t, want, Plain(name), name)
	}
	for in, want := range map[string]string{"": "", "a": "A", "z": "Z", "Pier": "Pier", "'a'": "'a'", "{": "{", "10": "10"} {
		require.Equal(t, want, Capital(in))
	}
}
