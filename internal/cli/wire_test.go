package cli

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"net"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/strip/node"
	"example.org/ringout/internal/testkit/striptest"
)

// startNode runs a simulated prop and returns the prop with its address.
func startNode(t testing.TB, p *prop.Prop, faults ...strip.Fault) (*node.Node, *prop.Prop) {
	t.Helper()
	n := striptest.Start(t, p, faults...)
	return n, striptest.At(p, n)
}

// packets receives everything on a free port of 127.0.0.1 until the stream has been
// terminated three times.
func packets(t *testing.T) (port string, heard func() [][]byte) {
	t.Helper()
	conn, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	t.Cleanup(func() { conn.Close() })
	done := make(chan [][]byte, 1)
	go func() {
		var all [][]byte
		ended := 0
		for ended < 3 {
			b := make([]byte, 2048)
			conn.SetReadDeadline(time.Now().Add(10 * time.Second))
			n, err := conn.Read(b)
			if err != nil {
				break
			}
			all = append(all, b[:n])
			if n > 112 && b[112]&0x40 != 0 { // Stream_Terminated, 6.2.6
				ended++
			}
		}
		done <- all
	}()
	return strconv.Itoa(conn.LocalAddr().(*net.UDPAddr).Port), func() [][]byte { return <-done }
}

// The wire is read here by the octet numbers of ANSI E1.31-2018 table 4-1, not
// with our own parser.
func TestSendOnTheWire(t *testing.T) {
	port, heard := packets(t)
	code, out, errs := command(t, "", "send", "single", "--step", "3", "--to", "127.0.0.1", "--port", port,
		"--universe", "7962", "--slot", "10", "--pixels", "5", "--order", "BGR", "--colour", "red", "--level", "100",
		"--priority", "150", "--for", "1200ms", "--json")
	require.Zero(t, code, errs)
	all := heard()
	require.Greater(t, len(all), 6)
	for i, p := range all {
		require.Len(t, p, 126+9+15, "slots up to the last one driven")
		assert.Equal(t, "ASC-E1.17\x00\x00\x00", string(p[4:16]))
		assert.Equal(t, uint16(0x7000|len(p)-16), binary.BigEndian.Uint16(p[16:]))
		assert.Equal(t, all[0][22:38], p[22:38], "one CID")
		assert.Equal(t, "ringout bench", strings.TrimRight(string(p[44:108]), "\x00"))
		assert.Equal(t, byte(150), p[108])
		assert.Equal(t, all[0][111]+byte(i), p[111], "sequence")
		assert.Equal(t, uint16(7962), binary.BigEndian.Uint16(p[113:]))
		assert.Equal(t, byte(0), p[125], "START code")
	}
	// Pixel 3 begins at slot 10 + 6; BGR puts red third: slot 18, octet 125 + 18.
	lit := all[0]
	for i, v := range lit[126:] {
		want := byte(0)
		if 126+i == 125+18 {
			want = 255
		}
		assert.Equal(t, want, v, "slot %d", i+1)
	}
	// At the end black, then three terminated packets.
	last := all[len(all)-4:]
	assert.Zero(t, last[0][112])
	for _, p := range last {
		assert.Equal(t, make([]byte, 24), p[126:], "black")
	}
	for _, p := range last[1:] {
		assert.Equal(t, byte(0x40), p[112])
	}

	var line statusLine
	require.NoError(t, json.Unmarshal([]byte(strings.SplitN(out, "\n", 2)[0]), &line))
	assert.Equal(t, 3, line.Step)
	assert.Equal(t, 7962, line.Links[0].Universe)
	assert.Equal(t, "sending", line.Links[0].State)
}

func TestSendLightsTheSimulatedProp(t *testing.T) {
	n, p := startNode(t, prop.Porthole())
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	go func() {
		striptest.Wait(t, n, "an even light", func(l strip.Look) bool { return l.Light.Lit() == 144 })
		stop()
	}()
	code := run(ctx, []string{"send", "even", "--to", "127.0.0.1", "--port", strconv.Itoa(int(p.Address.Port)), "--pixels", "144", "--for", "20s"},
		streams{strings.NewReader(""), &strings.Builder{}, &strings.Builder{}})
	assert.Zero(t, code)
	striptest.WaitEnded(t, n)
}

// A universe without a pixel of ours gets no packet: its slots belong to others.
func TestSendLeavesAUniverseWithoutAPixelAlone(t *testing.T) {
	for _, slot := range []string{"511", "512"} {
		port, heard := packets(t)
		code, _, errs := command(t, "", "send", "even", "--to", "127.0.0.1", "--port", port, "--universe", "7", "--slot", slot, "--pixels", "5", "--for", "300ms")
		require.Zero(t, code, errs)
		all := heard()
		require.NotEmpty(t, all)
		for _, p := range all {
			assert.Equal(t, uint16(8), binary.BigEndian.Uint16(p[113:]), "octets 113 and 114")
			assert.Len(t, p, 126+15)
		}
		assert.Positive(t, all[0][126], "pixel 1 is lit at slot 1 of universe 8")
		assert.Contains(t, errs, "slot "+slot+" of universe 7 leaves no room for a whole pixel of 3 slots: pixel 1 is at universe 8 slot 1")
	}
}

// After SIGKILL, which cannot be caught, a strip holds its last look. The command that
// turns it off needs only host and universe, and reaches all 512 slots.
func TestSendBlackNeedsHostAndUniverseAlone(t *testing.T) {
	port, heard := packets(t)
	code, _, errs := command(t, "", "send", "black", "--to", "127.0.0.1", "--port", port, "--universe", "9", "--for", "100ms")
	require.Zero(t, code, errs)
	all := heard()
	require.Greater(t, len(all), 3)
	for _, p := range all {
		assert.Equal(t, uint16(9), binary.BigEndian.Uint16(p[113:]))
		require.Len(t, p, 126+512)
		assert.Equal(t, make([]byte, 512), p[126:])
	}
}

// A supply for another chip is refused as in a prop file, and a step that the pattern does
// not have: another pixel would light than the one asked for.
func TestSendRefusesAnotherSupplyAndAStepTooFar(t *testing.T) {
	for _, row := range []struct{ args, says string }{
		{"even --volts 12", "--volts 12 would harm WS2812B, which takes 5 V"},
		{"even --chip WS2815 --volts 5", "--volts 5 is too little for WS2815, which needs 9 V"},
		{"single --step 11", "--step 11: single has 10 steps here: give 1 to 10"},
		{"colours --order GRBW --step 5", "--step 5: colours has 4 steps here: give 1 to 4"},
	} {
		code, _, errs := command(t, "", append([]string{"send", "--to", "127.0.0.1", "--pixels", "10", "--for", "1ms"}, strings.Fields(row.args)...)...)
		assert.NotZero(t, code, row.args)
		assert.Contains(t, errs, row.says)
	}
}
