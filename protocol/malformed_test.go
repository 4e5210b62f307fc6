package protocol

import (
	"encoding/hex"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

type malformedRow struct {
	name, field, clause string
	octet               int
	octets              []byte
}

// malformedRows reads testdata/packets/malformed.tsv.
func malformedRows(t testing.TB) []malformedRow {
	t.Helper()
	table, err := os.ReadFile("../testdata/packets/malformed.tsv")
	require.NoError(t, err)
	var rows []malformedRow
	for _, line := range strings.Split(strings.TrimSpace(string(table)), "\n")[1:] {
		cols := strings.Split(line, "\t")
		require.Len(t, cols, 6, line)
		octet, err := strconv.Atoi(cols[4])
		require.NoError(t, err)
		rows = append(rows, malformedRow{name: cols[0], field: cols[3], octet: octet, clause: cols[5],
			octets: change(t, packetFile(t, cols[1]), cols[2])})
	}
	return rows
}

// change applies what testdata/packets/README.md describes.
func change(t testing.TB, b []byte, changes string) []byte {
	t.Helper()
	for _, c := range strings.Fields(changes) {
		where, what, _ := strings.Cut(c, "=")
		n, _ := strconv.Atoi(what)
		switch where {
		case "length":
			b = b[:n]
		case "fill":
			b = append(b, make([]byte, n-len(b))...)
		default:
			octets, err := hex.DecodeString(what)
			require.NoError(t, err)
			if where == "append" {
				b = append(b, octets...)
				continue
			}
			at, err := strconv.Atoi(where)
			require.NoError(t, err)
			copy(b[at:], octets)
		}
	}
	return b
}

// Every refusal names the field, the octet and the clause, through each way in.
func TestMalformedPackets(t *testing.T) {
	for _, row := range malformedRows(t) {
		t.Run(row.name, func(t *testing.T) {
			p, err := Parse(row.octets)
			require.Nil(t, p)
			var field *FieldError
			require.ErrorAs(t, err, &field)
			require.Equal(t, row.field, field.Field)
			require.Equal(t, row.octet, field.Octet)
			require.Equal(t, row.clause, field.Clause)
			require.NotEqual(t, field.Got, field.Want)

			rx := NewReceiver()
			_, err = rx.Hear(start, row.octets)
			require.Error(t, err)
			trk := NewTracker()
			trk.Hear(Datagram{At: start, From: hostA, Octets: row.octets})
			require.EqualValues(t, 1, trk.Report(start).Counts.Malformed)
			require.Empty(t, trk.Report(start).Sources)
		})
	}
}

// A refusal leaves the value as it was: whole or not at all.
func TestRefusalLeavesTheValueAlone(t *testing.T) {
	before := *six(9, Preview, 5)
	list := *listing(3, 4)
	for _, row := range malformedRows(t) {
		d, l := before, list
		require.Error(t, ParseData(row.octets, &d), row.name)
		require.Equal(t, before, d, row.name)
		require.Error(t, ParseDiscovery(row.octets, &l), row.name)
		require.Equal(t, list, l, row.name)
		s, err := ParseSync(row.octets)
		require.Error(t, err, row.name)
		require.Zero(t, s, row.name)
	}
}

// Octets after the end that the root length gives are no part of the packet
// (5.4); they are counted.
func TestTrailingOctetsAreIgnored(t *testing.T) {
	for _, row := range golden {
		p, err := Parse(append(packetFile(t, row.name), 1, 2, 3))
		require.NoError(t, err)
		require.Equal(t, row.packet, p)
	}
	trk := NewTracker()
	trk.Hear(Datagram{At: start, From: hostA, Octets: append(packetFile(t, "one"), 0)})
	require.EqualValues(t, 1, trk.Report(start).Sources[0].Streams[0].Trailing)
}

// What the standard tells a receiver to ignore does not matter: reserved
// option bits (6.2.6), reserved fields (6.3.4, 6.4.3).
func TestIgnoredOnReceipt(t *testing.T) {
	for _, row := range []struct {
		name, change string
	}{
		{"one", "112=1f"},
		{"sync", "47=ffff"},
		{"discovery", "108=ffffffff"},
	} {
		want, err := Parse(packetFile(t, row.name))
		require.NoError(t, err)
		got, err := Parse(change(t, packetFile(t, row.name), row.change))
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
}

// A packet of each START code parses and is told apart (7.7), also with no
// slot or all of them.
func TestStartCodesAndCounts(t *testing.T) {
	for code := range 256 {
		for _, n := range []int{0, 1, 511, 512} {
			d := *six(0, 0, 0)
			d.StartCode = uint8(code)
			d.SetLevels(ramp(n))
			var got Data
			require.NoError(t, ParseData(AppendData(nil, &d), &got))
			require.True(t, d == got, "START code %d, %d slots", code, n)
		}
	}
}

// What must not be sent is named before it is.
func TestCheck(t *testing.T) {
	data := func(f func(d *Data)) Packet { d := six(0, 0, 0); f(d); return d }
	list := func(f func(d *Discovery)) Packet { d := listing(1, 2); f(d); return d }
	for _, row := range []struct {
		field, clause string
		packet        Packet
	}{
		{"CID", "5.6", data(func(d *Data) { d.CID = CID{} })},
		{"Source Name", "6.2.2", data(func(d *Data) { d.Source[63] = 'x' })},
		{"Source Name", "6.2.2", data(func(d *Data) { d.Source[2] = 0xff })},
		{"Priority", "6.2.3", data(func(d *Data) { d.Priority = 201 })},
		{"Synchronization Address", "6.2.4", data(func(d *Data) { d.SyncAddress = 64000 })},
		{"Options", "6.2.6", data(func(d *Data) { d.Options = 0x10 })},
		{"Universe", "6.2.7", data(func(d *Data) { d.Universe = 0 })},
		{"Universe", "6.2.7", data(func(d *Data) { d.Universe = DiscoveryGroup })},
		{"Property value count", "7.6", data(func(d *Data) { d.Count = 513 })},
		{"CID", "5.6", &Sync{Address: 1}},
		{"Synchronization Address", "6.3.3", &Sync{CID: worked}},
		{"Synchronization Address", "6.3.3", &Sync{CID: worked, Address: 64000}},
		{"CID", "5.6", list(func(d *Discovery) { d.CID = CID{} })},
		{"Page", "8.3", list(func(d *Discovery) { d.Page = 1 })},
		{"List of Universes", "8.1", list(func(d *Discovery) { d.Count = 513 })},
		{"List of Universes", "8.5", list(func(d *Discovery) { d.Universes[1] = 1 })},
		{"List of Universes", "8.5", list(func(d *Discovery) { d.Universes[1] = 64000 })},
	} {
		var field *FieldError
		require.ErrorAs(t, row.packet.Check(), &field, row.field)
		require.Equal(t, row.field, field.Field)
		require.Equal(t, row.clause, field.Clause)
	}
}
