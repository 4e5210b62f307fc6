package protocol

import (
	"encoding/hex"
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/wirecheck"
)

// request is what a sending script asked a library for: testdata/captures/README.md.
type request struct {
	Universe, Priority, Sequence, Options int
	Name, CID, Slots                      string
}

// readCapture reads a recorded capture of testdata.
func readCapture(t testing.TB, name string) []wirecheck.Packet {
	t.Helper()
	f, err := os.Open("../testdata/captures/" + name + ".pcap")
	require.NoError(t, err)
	defer f.Close()
	packets, err := wirecheck.ReadPcap(f)
	require.NoError(t, err)
	require.NotEmpty(t, packets)
	return packets
}

// Captures of two libraries that ringout has nothing to do with: every packet
// parses, says what the script asked for, and re-encodes to its octets.
func TestCapturesOfOtherLibraries(t *testing.T) {
	for _, name := range []string{"sacn", "e131"} {
		t.Run(name, func(t *testing.T) {
			var wants []request
			book, err := os.ReadFile("../testdata/captures/" + name + ".asked.json")
			require.NoError(t, err)
			require.NoError(t, json.Unmarshal(book, &wants))
			packets := readCapture(t, name)
			require.Len(t, packets, len(wants))
			for i, p := range packets {
				want := wants[i]
				var got Data
				require.NoError(t, ParseData(p.Octets, &got))
				require.Equal(t, want, request{
					Universe: int(got.Universe), Priority: int(got.Priority), Sequence: int(got.Sequence), Options: int(got.Options),
					Name: got.Source.String(), CID: hex.EncodeToString(got.CID[:]), Slots: hex.EncodeToString(got.Levels()),
				}, "packet %d", i)
				require.Zero(t, got.StartCode)
				require.Zero(t, got.SyncAddress)
				require.NoError(t, got.Check())
				require.Equal(t, p.Octets, AppendData(nil, &got))
			}
		})
	}
}

// The same captures through the tracker: nothing lost, nothing out of turn.
func TestTrackerOnCaptures(t *testing.T) {
	trk := NewTracker()
	var last wirecheck.Packet
	for _, name := range []string{"sacn", "e131"} {
		for _, p := range readCapture(t, name) {
			trk.Hear(Datagram{At: p.At, From: p.From, Octets: p.Octets})
			last = p
		}
	}
	r := trk.Report(last.At)
	require.EqualValues(t, 24+279, r.Counts.Data)
	require.Zero(t, r.Counts.Malformed)
	total := uint64(0)
	for _, s := range r.Sources {
		for _, st := range s.Streams {
			total += st.Packets
			require.Zero(t, st.Missing+st.Twice+st.Late+st.Jumps)
		}
	}
	// the second and third terminated packets end nothing more
	require.EqualValues(t, 24+279-2, total)
	pennant := r.Source(CID{0x00, 0x11, 0x22, 0x33, 0x44, 0x55, 0x66, 0x77, 0x88, 0x99, 0xaa, 0xbb, 0xcc, 0xdd, 0xee, 0xff}).Stream(7)
	require.Equal(t, Finished, pennant.State)
	buoy := r.Source(CID{0xff, 0xee, 0xdd, 0xcc, 0xbb, 0xaa, 0x49, 0x98, 0x88, 0x77, 0x66, 0x55, 0x44, 0x33, 0x22, 0x11}).Stream(256)
	require.True(t, buoy.Preview)
}

// wirecheck reads the same octets by number, and finds the libraries' own
// breaches where the script made or let them: it agrees that the rest is right.
func TestWirecheckOnCaptures(t *testing.T) {
	packets := readCapture(t, "e131")
	first := packets[:270] // one source, one universe, values that change
	require.Empty(t, wirecheck.Check(first, wirecheck.Want{Unended: true}))
	require.Equal(t, []string{"termination"}, wirecheck.Names(wirecheck.Check(first, wirecheck.Want{})))
}
