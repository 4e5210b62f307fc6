package protocol

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// worked is the CID of the worked packets.
var worked = CID{0x00, 0x11, 0x22, 0x33, 0x44, 0x55, 0x66, 0x77, 0x88, 0x99, 0xaa, 0xbb, 0xcc, 0xdd, 0xee, 0xff}

// The worked packets, field by field here and whole in testdata/packets, where
// an independent script laid them out from tables 4-1 to 4-3; those marked
// tshark were also decoded by tshark 4.0.17 without a complaint.
const (
	front = "001000004153432d45312e3137000000"
	cid   = "00112233445566778899aabbccddeeff"
	bench = "62656e6368" // "bench"
)

var nameField = bench + strings.Repeat("00", 59)

var golden = []struct {
	name, source, octets string
	packet               Packet
}{
	{
		name: "one", source: "table 4-1; tshark",
		octets: front + "7074" + "00000004" + cid + "705e" + "00000002" + nameField + "64" + "0000" + "00" + "00" + "0001" +
			"7011" + "02" + "a1" + "0000" + "0001" + "0007" + "00" + "ff000000ff00",
		packet: six(0, 0, 0),
	},
	{
		name: "terminated", source: "table 4-1, 6.2.6; tshark",
		octets: front + "7074" + "00000004" + cid + "705e" + "00000002" + nameField + "64" + "0000" + "07" + "40" + "0001" +
			"7011" + "02" + "a1" + "0000" + "0001" + "0007" + "00" + "ff000000ff00",
		packet: six(7, Terminated, 0),
	},
	{
		name: "synced", source: "table 4-1, 6.2.4, 6.2.6; tshark",
		octets: front + "7074" + "00000004" + cid + "705e" + "00000002" + nameField + "64" + "1f1a" + "01" + "20" + "0001" +
			"7011" + "02" + "a1" + "0000" + "0001" + "0007" + "00" + "ff000000ff00",
		packet: six(1, ForceSync, 7962),
	},
	{
		name: "sync", source: "table 4-2; dissector source",
		octets: front + "7021" + "00000008" + cid + "700b" + "00000001" + "00" + "1f1a" + "0000",
		packet: &Sync{CID: worked, Address: 7962},
	},
	{
		name: "discovery", source: "table 4-3; dissector source",
		octets: front + "706e" + "00000008" + cid + "7058" + "00000002" + nameField + "00000000" +
			"700e" + "00000001" + "00" + "00" + "0001" + "0002" + "1f1a",
		packet: listing(1, 2, 7962),
	},
}

// packetFile reads a packet of testdata.
func packetFile(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile("../testdata/packets/" + name + ".hex")
	require.NoError(t, err)
	octets, err := hex.DecodeString(strings.Join(strings.Fields(string(text)), ""))
	require.NoError(t, err)
	return octets
}

// six is the worked data packet: two pixels, red then green.
func six(sequence uint8, o Options, sync Universe) *Data {
	d := &Data{CID: worked, Source: NameOf("bench"), Priority: 100, SyncAddress: sync, Sequence: sequence, Options: o, Universe: 1}
	d.SetLevels([]byte{255, 0, 0, 0, 255, 0})
	return d
}

func listing(us ...Universe) *Discovery {
	d := &Discovery{CID: worked, Source: NameOf("bench")}
	d.SetList(us)
	return d
}

func TestGoldenPackets(t *testing.T) {
	for _, row := range golden {
		t.Run(row.name, func(t *testing.T) {
			want := packetFile(t, row.name)
			require.Equal(t, row.octets, hex.EncodeToString(want))
			before := []byte("before")
			got := row.packet.Append(bytes.Clone(before))
			require.Equal(t, before, got[:len(before)], "what stood there survives")
			require.Equal(t, row.octets, hex.EncodeToString(got[len(before):]), row.source)
			require.NoError(t, row.packet.Check())
			require.Equal(t, row.packet.Kind(), KindOf(want))

			back, err := Parse(want)
			require.NoError(t, err)
			require.Equal(t, row.packet, back)
		})
	}
}

// Whole packets by hash, made by the same independent script and decoded by
// tshark 4.0.17: 512 slots of 0, and a ramp with every other field at its end.
func TestFullPackets(t *testing.T) {
	zero := six(0, 0, 0)
	zero.SetLevels(make([]byte, 512))
	requireHash(t, "db103617c69b7306777ac9b52966429b947799633cad76b7f8ad7478fd3bb3d6", zero)

	ramp := six(255, 0, 0)
	ramp.Universe, ramp.Priority = 63999, 200
	slots := make([]byte, 512)
	for i := range slots {
		slots[i] = byte(i)
	}
	ramp.SetLevels(slots)
	requireHash(t, "99d51f923ffb7bf76e83282544a8d0976b97e9566c5bf4f7b33c16be3c49e70a", ramp)
}

func requireHash(t *testing.T, want string, d *Data) {
	t.Helper()
	octets := AppendData(nil, d)
	sum := sha256.Sum256(octets)
	require.Equal(t, want, hex.EncodeToString(sum[:]))
	require.Len(t, octets, 638)
	// The three lengths of a full packet: 622, 600 and 523 (tshark agrees).
	require.Equal(t, "726e", hex.EncodeToString(octets[16:18]))
	require.Equal(t, "7258", hex.EncodeToString(octets[38:40]))
	require.Equal(t, "720b", hex.EncodeToString(octets[115:117]))
}

// A template filled again and again gives the octets of a packet laid out again.
func TestTemplateFillsInPlace(t *testing.T) {
	first := six(0, 0, 0)
	tpl := NewTemplate(first)
	for i, n := range []int{6, 512, 0, 170, 171, 512, 600} {
		slots := bytes.Repeat([]byte{byte(i + 1)}, n)
		want := *first
		want.Sequence, want.Options = uint8(i), Preview
		want.SetLevels(slots)
		tpl.SetSlots(slots)
		require.Equal(t, AppendData(nil, &want), tpl.Next(uint8(i), Preview), "%d slots", n)
		require.Equal(t, want.Levels(), tpl.Slots())
	}
}

var copyFrom, copyTo = make([]byte, MaxDataSize), make([]byte, MaxDataSize)

// BenchmarkBareCopy is the yardstick: 638 octets moved once. Figures on a busy
// machine are worth reading only beside it.
func BenchmarkBareCopy(b *testing.B) {
	for b.Loop() {
		copy(copyTo, copyFrom)
	}
}

func BenchmarkAppendData(b *testing.B) {
	d := six(0, 0, 0)
	d.SetLevels(make([]byte, 512))
	buf := make([]byte, 0, MaxDataSize)
	b.ReportAllocs()
	for b.Loop() {
		d.Sequence++
		buf = AppendData(buf[:0], d)
	}
}

func BenchmarkTemplateFill(b *testing.B) {
	tpl := NewTemplate(six(0, 0, 0))
	slots := make([]byte, 512)
	tpl.Next(0, 0)
	b.ReportAllocs()
	var sequence uint8
	for b.Loop() {
		sequence++
		tpl.SetSlots(slots)
		tpl.Next(sequence, 0)
	}
}

func BenchmarkParseData(b *testing.B) {
	d := six(0, 0, 0)
	d.SetLevels(make([]byte, 512))
	octets := AppendData(nil, d)
	var into Data
	b.ReportAllocs()
	for b.Loop() {
		if err := ParseData(octets, &into); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkParseDiscovery(b *testing.B) {
	us := make([]Universe, 512)
	for i := range us {
		us[i] = Universe(i + 1)
	}
	octets := AppendDiscovery(nil, listing(us...))
	var into Discovery
	b.ReportAllocs()
	for b.Loop() {
		if err := ParseDiscovery(octets, &into); err != nil {
			b.Fatal(err)
		}
	}
}
