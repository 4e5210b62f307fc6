package protocol

import (
	"bytes"
	"fmt"
	"net/netip"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/wirecheck"
)

// tsharkFields are what tshark 4.0.17's dissector says of a data packet. It
// calls octets 109-110 reserved, as the 2009 edition did, and does not read
// synchronization and discovery packets.
var tsharkFields = []string{
	"acn.preamble_size", "acn.postamble_size", "acn.packet_identifier", "acn.pdu.flags", "acn.pdu.length", "acn.protocol_id",
	"acn.cid", "acn.dmx_vector", "acn.dmx.source_name", "acn.dmx.priority", "acn.dmx.reserved", "acn.dmx.seq_number",
	"acn.dmx.options", "acn.dmx.option_p", "acn.dmx.option_s", "acn.dmx.universe", "acn.dmp_vector", "acn.dmp_adt_v",
	"acn.dmp_adt_r", "acn.dmp_adt_d", "acn.dmp_adt_x", "acn.dmp_adt_a", "acn.dmx.first_property_address", "acn.dmx.increment",
	"acn.dmx.count", "acn.dmx.start_code2", "acn.dmx.data",
}

// tshark decodes a capture, a line a packet.
func tshark(t *testing.T, file string) string {
	t.Helper()
	path, err := exec.LookPath("tshark")
	if err != nil {
		if os.Getenv("RINGOUT_TOOLS") == "1" {
			t.Fatal("tshark is not installed, and RINGOUT_TOOLS=1 asks for it")
		}
		t.Skip("tshark is not installed; its recorded decode is checked by TestRecordedDecode")
	}
	cmd := exec.Command(path, wirecheck.DissectArgs(file, tsharkFields, "-E", "separator=/t")...)
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	require.NoError(t, err, complaints.String())
	return string(out)
}

// dissected is the line that tshark should write for d, by what d holds and
// the lengths of tables 4-1.
func dissected(d *Data) string {
	n := len(d.Levels())
	slots := d.Levels()
	if n < 6 { // the dissector's summary always reads six, and it gives up after it
		slots = nil
	}
	option := func(o Options) int {
		if d.Options&o != 0 {
			return 1
		}
		return 0
	}
	return strings.Join([]string{
		"16", "0", "ASC-E1.17", "0x70,0x70,0x70", fmt.Sprintf("%d,%d,%d", 110+n, 88+n, 11+n), "4",
		d.CID.String(), "2", d.Source.String(), fmt.Sprint(d.Priority), fmt.Sprint(uint16(d.SyncAddress)), fmt.Sprint(d.Sequence),
		fmt.Sprint(uint8(d.Options)), fmt.Sprint(option(Preview)), fmt.Sprint(option(Terminated)), fmt.Sprint(uint16(d.Universe)), "2", "1",
		"0", "2", "0", "1", "0", "1",
		fmt.Sprint(n + 1), fmt.Sprint(d.StartCode), fmt.Sprintf("%x", slots),
	}, "\t")
}

// slotLine is a line of tshark's table of slots: "001-020:  1  6  B .. | 5 ",
// where two dots stand for 0.
var slotLine = regexp.MustCompile(`\d{3}-\d{3}:([0-9A-F. |]*)`)

var zeroes = strings.NewReplacer("|", " ", "..", "00")

// normal turns the table of slots at the end of a line into plain hex digits.
func normal(line string) string {
	cut := strings.LastIndex(line, "\t")
	var slots strings.Builder
	for _, m := range slotLine.FindAllStringSubmatch(line[cut:], -1) {
		for _, v := range strings.Fields(zeroes.Replace(m[1])) {
			slots.WriteString(strings.ToLower(fmt.Sprintf("%02s", v)))
		}
	}
	return line[:cut+1] + slots.String()
}

func requireDissected(t *testing.T, want []Data, lines string) {
	t.Helper()
	got := strings.Split(strings.TrimSuffix(lines, "\n"), "\n")
	require.Len(t, got, len(want))
	for i := range want {
		require.Equal(t, dissected(&want[i]), normal(got[i]), "packet %d", i)
	}
}

// parseAll reads the packets of a capture.
func parseAll(t *testing.T, packets []wirecheck.Packet) []Data {
	t.Helper()
	ds := make([]Data, len(packets))
	for i, p := range packets {
		require.NoError(t, ParseData(p.Octets, &ds[i]))
	}
	return ds
}

// spread are data packets with every field at its ends. Fewer than six slots
// are left out: the dissector's summary always reads six.
func spread() []Data {
	var ds []Data
	add := func(change func(d *Data)) {
		d := *six(uint8(len(ds)), 0, 0)
		change(&d)
		ds = append(ds, d)
	}
	add(func(*Data) {})
	add(func(d *Data) { d.Options = Terminated })
	add(func(d *Data) { d.Options, d.SyncAddress = ForceSync, 7962 })
	add(func(d *Data) { d.Options, d.SyncAddress = Preview|Terminated|ForceSync, LastUniverse })
	add(func(d *Data) { d.Universe, d.Priority, d.Sequence = LastUniverse, MaxPriority, 255 })
	add(func(d *Data) { d.Universe, d.Priority = 256, 0 })
	add(func(d *Data) { d.Source = NameOf(strings.Repeat("x", 80)) })
	add(func(d *Data) { d.Source = NameOf("Fähre 灯") })
	add(func(d *Data) { d.CID = NewCID([16]byte{0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff}) })
	add(func(d *Data) { d.StartCode = StartPriority })
	add(func(d *Data) { d.SetLevels(make([]byte, 512)) })
	add(func(d *Data) { d.SetLevels(ramp(510)) })
	add(func(d *Data) { d.SetLevels(ramp(512)) })
	return ds
}

func ramp(n int) []byte {
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(i)
	}
	return b
}

// A committed capture of what AppendData writes, and tshark's recorded decode
// of it: both must still say what spread says.
func TestRecordedDecode(t *testing.T) {
	for _, name := range []string{"ringout", "sacn", "e131"} {
		packets := readCapture(t, name)
		want := parseAll(t, packets)
		if name == "ringout" {
			require.Equal(t, spread(), want)
			for i := range want {
				require.Equal(t, packets[i].Octets, AppendData(nil, &want[i]))
			}
		}
		lines, err := os.ReadFile("../testdata/captures/" + name + ".tshark.tsv")
		require.NoError(t, err)
		requireDissected(t, want, string(lines))
	}
}

// tshark reads what AppendData writes now, and the recorded captures.
func TestTsharkDecodes(t *testing.T) {
	var packets []wirecheck.Packet
	for _, d := range spread() {
		packets = append(packets, wirecheck.Packet{At: time.Unix(1770000000, 0), Octets: AppendData(nil, &d)})
	}
	var capture bytes.Buffer
	require.NoError(t, wirecheck.WritePcap(&capture, packets))
	file := filepath.Join(t.TempDir(), "ringout.pcap")
	require.NoError(t, os.WriteFile(file, capture.Bytes(), 0o600))
	requireDissected(t, spread(), tshark(t, file))
	for _, name := range []string{"sacn", "e131"} {
		requireDissected(t, parseAll(t, readCapture(t, name)), tshark(t, "../testdata/captures/"+name+".pcap"))
	}
}

// TestRecordDecodes writes the committed capture and the recorded decodes again:
// RINGOUT_RECORD=1 go test -run TestRecordDecodes ./protocol
func TestRecordDecodes(t *testing.T) {
	if os.Getenv("RINGOUT_RECORD") != "1" {
		t.Skip("set RINGOUT_RECORD=1 to record tshark's decodes again")
	}
	var packets []wirecheck.Packet
	for _, d := range spread() {
		packets = append(packets, wirecheck.Packet{At: time.Unix(1770000000, 0), Octets: AppendData(nil, &d)})
	}
	var capture bytes.Buffer
	require.NoError(t, wirecheck.WritePcap(&capture, packets))
	require.NoError(t, os.WriteFile("../testdata/captures/ringout.pcap", capture.Bytes(), 0o644))
	for _, name := range []string{"ringout", "sacn", "e131"} {
		lines := tshark(t, "../testdata/captures/"+name+".pcap")
		require.NoError(t, os.WriteFile("../testdata/captures/"+name+".tshark.tsv", []byte(lines), 0o644))
	}
}

// A source may come from any port, also from one that tshark knows by number
// for another protocol (44818 and 37008 are two).
func TestDissectorReadsEveryPort(t *testing.T) {
	packets := readCapture(t, "ringout")
	want := tshark(t, "../testdata/captures/ringout.pcap")
	for _, port := range []uint16{44818, 37008} {
		for i := range packets {
			packets[i].From = netip.AddrPortFrom(packets[i].From.Addr(), port)
		}
		file := filepath.Join(t.TempDir(), "port.pcap")
		out, err := os.Create(file)
		require.NoError(t, err)
		require.NoError(t, wirecheck.WritePcap(out, packets))
		require.NoError(t, out.Close())
		require.Equal(t, want, tshark(t, file), "from port %d", port)
	}
}
