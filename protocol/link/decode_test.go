package link

import (
	"bytes"
	"fmt"
	"net/netip"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/wirecheck"
)

// dissectorFields are what tshark 4.0.17 says of a data packet; it calls the
// synchronization address (octets 109-110) reserved, as the 2009 edition did.
var dissectorFields = []string{
	"udp.length", "acn.preamble_size", "acn.postamble_size", "acn.packet_identifier", "acn.pdu.flags", "acn.pdu.length", "acn.protocol_id",
	"acn.cid", "acn.dmx_vector", "acn.dmx.source_name", "acn.dmx.priority", "acn.dmx.reserved", "acn.dmx.seq_number",
	"acn.dmx.options", "acn.dmx.option_p", "acn.dmx.option_s", "acn.dmx.universe", "acn.dmp_vector", "acn.dmp_adt_v",
	"acn.dmp_adt_r", "acn.dmp_adt_d", "acn.dmp_adt_x", "acn.dmp_adt_a", "acn.dmx.first_property_address", "acn.dmx.increment",
	"acn.dmx.count", "acn.dmx.start_code2", "acn.dmx.data",
}

// scene is what the recorded sender is told to send, one Put after the other:
// universe 1 with six slots, universe 300 with all 512.
func scene() [][][]byte {
	ramp := make([]byte, 512)
	for i := range ramp {
		ramp[i] = byte(i * 3)
	}
	full := bytes.Repeat([]byte{255}, 512)
	return [][][]byte{{{255, 0, 0, 0, 255, 0}, ramp}, {{1, 2, 3, 4, 5, 6}, full}}
}

// perform plays the scene to a receiver and returns what arrived: each Put
// three times (6.2.2), then black, then three terminated packets (6.2.6).
func perform(t *testing.T) []wirecheck.Packet {
	t.Helper()
	r := receive(t, "127.0.0.1:0")
	cfg := config(to(r, 1), to(r, 300))
	cfg.Source, cfg.Priority, cfg.Sync, cfg.Preview = "Harbour bench é", 142, 7962, true
	s := open(t, cfg)
	var list []packet
	for _, slots := range scene() {
		s.Put(slots)
		for range 3 * 3 { // two universes and a synchronization packet, three times
			list = append(list, r.next(t))
		}
	}
	require.NoError(t, shut(t, s))
	return heardBy(r, append(list, r.termination(t, 2, 1)...)) // a synchronization is behind the last of them
}

// expected are the lines that tshark should write, by ANSI E1.31-2018 tables
// 4-1 and the scene: lengths are 110+n, 88+n and 11+n for n slots.
func expected() []string {
	var lines []string
	sequence := 0
	add := func(options int, slots [][]byte) {
		for i, u := range []int{1, 300} {
			n := len(slots[i])
			terminated := options >> 6 & 1
			lines = append(lines, strings.Join([]string{
				fmt.Sprint(8 + 126 + n), "16", "0", "ASC-E1.17", "0x70,0x70,0x70", fmt.Sprintf("%d,%d,%d", 110+n, 88+n, 11+n), "4",
				"5a010203-0405-4607-8809-0a0b0c0d0e0f", "2", "Harbour bench é", "142", "7962", fmt.Sprint(sequence),
				fmt.Sprint(options), "1", fmt.Sprint(terminated), fmt.Sprint(u), "2", "1",
				"0", "2", "0", "1", "0", "1", fmt.Sprint(n + 1), "0", fmt.Sprintf("%x", slots[i]),
			}, "\t"))
		}
		sequence++
	}
	for _, slots := range scene() {
		for range 3 {
			add(0x80, slots)
		}
	}
	black := [][]byte{make([]byte, 6), make([]byte, 512)}
	add(0x80, black)
	for range 3 {
		add(0xc0, black)
	}
	return lines
}

// Every field of what the sender really puts on 127.0.0.1, as an independent
// dissector reads it: its recorded decode belongs to the recorded packets, and
// today's sender puts out the very same ones.
func TestRecordedDecode(t *testing.T) {
	t.Parallel()
	file, err := os.Open("testdata/sender.pcap")
	require.NoError(t, err)
	defer file.Close()
	recorded, err := wirecheck.ReadPcap(file)
	require.NoError(t, err)
	lines, err := os.ReadFile("testdata/sender.tshark.tsv")
	require.NoError(t, err)
	requireDecode(t, string(lines))
	today := perform(t)
	require.Len(t, today, len(recorded))
	for i := range today {
		require.Equal(t, recorded[i].Octets, today[i].Octets, "packet %d", i)
	}
}

// requireDecode compares data packets; synchronization packets, which tshark
// 4.0.17 does not read, have no protocol vector in their lines.
func requireDecode(t *testing.T, lines string) {
	t.Helper()
	var got []string
	for _, line := range strings.Split(strings.TrimSuffix(lines, "\n"), "\n") {
		if f := strings.Split(line, "\t"); len(f) == len(dissectorFields) && f[6] == "4" {
			got = append(got, plainSlots(line))
		}
	}
	want := expected()
	require.Len(t, got, len(want))
	for i := range want {
		require.Equal(t, want[i], got[i], "data packet %d", i)
	}
}

// slotLine is a line of tshark's table of slots: "001-020:  1  6  B .. | 5 ",
// where two dots stand for 0.
var (
	slotLine = regexp.MustCompile(`\d{3}-\d{3}:([0-9A-F. |]*)`)
	zeroes   = strings.NewReplacer("|", " ", "..", "00")
)

// plainSlots turns the table of slots at the end of a line into hex digits.
func plainSlots(line string) string {
	cut := strings.LastIndex(line, "\t")
	var slots strings.Builder
	for _, m := range slotLine.FindAllStringSubmatch(line[cut:], -1) {
		for _, v := range strings.Fields(zeroes.Replace(m[1])) {
			slots.WriteString(strings.ToLower(fmt.Sprintf("%02s", v)))
		}
	}
	return line[:cut+1] + slots.String()
}

// needTool finds an outside program, skips without it, or fails where it is
// demanded.
func needTool(t *testing.T, name, instead string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err == nil {
		return path
	}
	if os.Getenv("RINGOUT_TOOLS") == "1" {
		require.FailNow(t, name+" is not installed, and RINGOUT_TOOLS=1 asks for it")
	}
	t.Skipf("%s is not installed; %s", name, instead)
	return ""
}

func dissect(t *testing.T, capture string) string {
	t.Helper()
	path := needTool(t, "tshark", "its recorded decode is checked by TestRecordedDecode")
	var complaints bytes.Buffer
	cmd := exec.Command(path, wirecheck.DissectArgs(capture, dissectorFields, "-E", "separator=/t")...)
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	require.NoError(t, err, complaints.String())
	return string(out)
}

// Live: what the sender puts out now, read by tshark now. With
// RINGOUT_RECORD=1 it becomes the recorded one.
func TestLiveDecode(t *testing.T) {
	t.Parallel()
	long(t)
	needTool(t, "tshark", "its recorded decode is checked by TestRecordedDecode")
	packets := perform(t)
	for i := range packets {
		packets[i].From = netip.MustParseAddrPort("127.0.0.1:50000") // as a capture of loopback has it
	}
	path := t.TempDir() + "/sender.pcap"
	if os.Getenv("RINGOUT_RECORD") == "1" {
		path = "testdata/sender.pcap"
		require.NoError(t, os.MkdirAll("testdata", 0o755))
	}
	file, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, wirecheck.WritePcap(file, packets))
	require.NoError(t, file.Close())
	lines := dissect(t, path)
	requireDecode(t, lines)
	if os.Getenv("RINGOUT_RECORD") == "1" {
		require.NoError(t, os.WriteFile("testdata/sender.tshark.tsv", []byte(lines), 0o644))
	}
}
