package wirecheck

import (
	"bytes"
	"net/netip"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// What is written is read back. Files of another program are read in package
// protocol's tests of recorded captures, and tshark reads ours there.
func TestPcapThereAndBack(t *testing.T) {
	want := []Packet{
		{At: time.Unix(1700000000, 123456000), From: netip.MustParseAddrPort("10.0.0.7:1024"),
			To: netip.MustParseAddrPort("239.255.0.1:5568"), Octets: dataOctets(1, 0, 1, 2, 3)},
		{At: time.Unix(1700000001, 0), From: netip.MustParseAddrPort("127.0.0.1:5568"),
			To: netip.MustParseAddrPort("127.0.0.1:5568"), Octets: syncOctets(2, 9)},
	}
	var file bytes.Buffer
	require.NoError(t, WritePcap(&file, want))
	got, err := ReadPcap(&file)
	require.NoError(t, err)
	require.Equal(t, want, got)
}

// A capture of dumpcap 4.0.17 on loopback: Ethernet frames.
func TestPcapOfAnotherProgram(t *testing.T) {
	f, err := os.Open("../../../testdata/captures/sacn.pcap")
	require.NoError(t, err)
	defer f.Close()
	packets, err := ReadPcap(f)
	require.NoError(t, err)
	require.Len(t, packets, 24)
	require.Len(t, packets[0].Octets, 638)
	require.Equal(t, "127.0.0.1", packets[0].To.Addr().String())
}

func TestPcapRefusesWhatIsNone(t *testing.T) {
	for _, b := range [][]byte{nil, make([]byte, 24), append([]byte{0xd4, 0xc3, 0xb2, 0xa1}, make([]byte, 10)...)} {
		_, err := ReadPcap(bytes.NewReader(b))
		require.Error(t, err)
	}
	var file bytes.Buffer
	require.NoError(t, WritePcap(&file, []Packet{{Octets: syncOctets(2, 9)}}))
	_, err := ReadPcap(bytes.NewReader(file.Bytes()[:file.Len()-1]))
	require.Error(t, err)
}
