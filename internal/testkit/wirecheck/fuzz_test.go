package wirecheck

import (
	"bytes"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Whatever a file holds is read or refused, and what is read can be written
// and read again.
func FuzzReadPcap(f *testing.F) {
	for _, name := range []string{"ringout", "sacn"} {
		b, err := os.ReadFile("../../../testdata/captures/" + name + ".pcap")
		require.NoError(f, err)
		f.Add(b[:1500])
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		packets, err := ReadPcap(bytes.NewReader(b))
		if err != nil {
			return
		}
		var file bytes.Buffer
		require.NoError(t, WritePcap(&file, packets))
		again, err := ReadPcap(&file)
		require.NoError(t, err)
		require.Len(t, again, len(packets))
		for i := range packets {
			require.True(t, bytes.Equal(packets[i].Octets, again[i].Octets))
			require.Equal(t, packets[i].To, again[i].To)
		}
	})
}

// Check returns for any packets: it reports a packet as faulty or can read all of it.
func FuzzCheck(f *testing.F) {
	f.Add(dataOctets(1, 0, 1, 2, 3), uint8(111), uint8(1))
	f.Add(syncOctets(7, 1), uint8(45), uint8(0))
	f.Add(listOctets(0, 0, 1, 2), uint8(119), uint8(3))
	f.Fuzz(func(t *testing.T, b []byte, at, value uint8) {
		other := bytes.Clone(b)
		if len(other) > int(at) {
			other[at] = value
		}
		begin := time.Unix(1700000000, 0)
		Check([]Packet{{At: begin, Octets: b}, {At: begin.Add(time.Second), Octets: other}, {At: begin.Add(2 * time.Second), Octets: b}},
			Want{Black: true, Discovery: true})
	})
}
