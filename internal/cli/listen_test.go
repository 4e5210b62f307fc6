package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"net"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/lateness"
	"example.org/ringout/internal/testkit/wirecheck"
)

// freePort returns a free port of 127.0.0.1.
func freePort(t *testing.T) string {
	t.Helper()
	c, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	defer c.Close()
	return strconv.Itoa(c.LocalAddr().(*net.UDPAddr).Port)
}

// heardLine is one line of "ringout listen --json", by the names that other
// programs read.
type heardLine struct {
	Datagrams int `json:"datagrams"`
	Streams   []struct {
		Source   string  `json:"source"`
		Address  string  `json:"address"`
		Universe int     `json:"universe"`
		State    string  `json:"state"`
		Priority int     `json:"priority"`
		Wins     bool    `json:"wins"`
		Followed string  `json:"followed"`
		Slots    int     `json:"slots"`
		Rate     float64 `json:"packets_per_second"`
		Loss     float64 `json:"loss"`
		Via      string  `json:"via"`
		CID      string  `json:"cid"`
		Missing  int     `json:"missing"`
	} `json:"streams"`
	Sentences []struct {
		Weight string `json:"weight"`
		Text   string `json:"text"`
	} `json:"sentences"`
	Slots []int `json:"slots"`
}

func heardLines(t *testing.T, out string) (lines []heardLine) {
	t.Helper()
	d := json.NewDecoder(strings.NewReader(out))
	for d.More() {
		var l heardLine
		require.NoError(t, d.Decode(&l))
		lines = append(lines, l)
	}
	require.NotEmpty(t, lines)
	return lines
}

// One process sends to 127.0.0.1, another receives it there.
func TestListenHearsSend(t *testing.T) {
	port := freePort(t)
	ctx, stop := context.WithCancel(context.Background())
	sent := make(chan int, 1)
	go func() {
		sent <- run(ctx, []string{"send", "even", "--colour", "red", "--to", "127.0.0.1", "--port", port, "--universe", "77", "--slot", "4",
			"--pixels", "5", "--order", "RGB", "--level", "100", "--priority", "121", "--steady"}, streams{strings.NewReader(""), &strings.Builder{}, &strings.Builder{}})
	}()
	defer func() { stop(); assert.Zero(t, <-sent) }()
	late := lateness.Watch(t)
	code, out, errs := command(t, "", "listen", "--bind", "127.0.0.1", "--port", port, "--json", "--slots", "77", "--every", "500ms", "--for", "2300ms")
	require.Zero(t, code, errs)
	lines := heardLines(t, out)
	assert.GreaterOrEqual(t, len(lines), 3, "a line each half second")
	last := lines[len(lines)-1]
	require.Len(t, last.Streams, 1, out)
	s := last.Streams[0]
	assert.Equal(t, "ringout bench", s.Source)
	assert.Equal(t, "127.0.0.1", s.Address)
	assert.Equal(t, 77, s.Universe)
	assert.Equal(t, "live", s.State)
	assert.Equal(t, 121, s.Priority)
	assert.True(t, s.Wins)
	assert.Equal(t, "followed", s.Followed)
	assert.Equal(t, 18, s.Slots, "3 before the first, then 5 times 3")
	assert.InDelta(t, 44, s.Rate, 6+44*late.Total().Seconds()/2, "steady is the full rate, of two seconds at least")
	assert.Zero(t, s.Loss)
	assert.Equal(t, "unicast", s.Via)
	require.Len(t, last.Slots, 18)
	assert.Equal(t, []int{0, 0, 0, 255, 0, 0, 255, 0, 0}, last.Slots[:9])

	code, out, errs = command(t, "", "listen", "--bind", "127.0.0.1", "--port", port, "--for", "1s")
	require.Zero(t, code, errs)
	assert.Regexp(t, `(?m)^  ringout bench +127\.0\.0\.1 +77 +121 .* live, followed$`, out, "a report even when the time is short")
}

func TestListenToNobody(t *testing.T) {
	code, out, errs := command(t, "", "listen", "--bind", "127.0.0.1", "--port", freePort(t), "--for", "200ms")
	require.Zero(t, code, errs)
	assert.Contains(t, out, "0 packets heard\n  no data is heard\n")
}

// Recorded packets of two independent libraries are reported with the names,
// universes and priorities that their sending scripts set
// (testdata/captures/README.md).
func TestListenHearsOtherLibraries(t *testing.T) {
	for _, name := range []string{"sacn", "e131"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			port := freePort(t)
			want := map[string]int{} // priority of the newest packet of each stream
			for _, a := range replay(t, name, port) {
				want[fmt.Sprintf("%s %s %d", a.CID, a.Name, a.Universe)] = a.Priority
			}
			code, out, errs := command(t, "", "listen", "--bind", "127.0.0.1", "--port", port, "--json", "--for", "3500ms", "--every", "3400ms")
			require.Zero(t, code, errs)
			got := map[string]int{}
			for _, s := range heardLines(t, out)[0].Streams {
				got[fmt.Sprintf("%s %s %d", strings.ReplaceAll(s.CID, "-", ""), s.Source, s.Universe)] = s.Priority
				assert.Zero(t, s.Missing, "nothing was left out: %+v", s)
			}
			assert.Equal(t, want, got)
		})
	}
}

// A request is what a sending script set in a library.
type request struct {
	Universe, Priority int
	Name, CID          string
}

// replay sends a recorded capture to a port of 127.0.0.1 after a short delay.
func replay(t *testing.T, name, port string) (list []request) {
	t.Helper()
	book, err := os.ReadFile("../../testdata/captures/" + name + ".asked.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(book, &list))
	f, err := os.Open("../../testdata/captures/" + name + ".pcap")
	require.NoError(t, err)
	defer f.Close()
	packets, err := wirecheck.ReadPcap(f)
	require.NoError(t, err)
	c, err := net.Dial("udp4", "127.0.0.1:"+port)
	require.NoError(t, err)
	done := make(chan struct{})
	t.Cleanup(func() { <-done; c.Close() })
	go func() {
		defer close(done)
		time.Sleep(time.Second)
		for _, p := range packets {
			c.Write(p.Octets)
			time.Sleep(time.Millisecond)
		}
	}()
	return list
}

// A port that another program uses exclusively is reported in one sentence.
func TestListenPortTaken(t *testing.T) {
	c, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	defer c.Close()
	port := strconv.Itoa(c.LocalAddr().(*net.UDPAddr).Port)
	code, _, errs := command(t, "", "listen", "--bind", "127.0.0.1", "--port", port, "--for", "1s")
	assert.Equal(t, 1, code)
	assert.Equal(t, "ringout: port "+port+" is taken by another program on this machine: close that program, or listen on another port\n", errs)
}

func TestListenBadInput(t *testing.T) {
	for _, row := range []struct{ args, want string }{
		{"--universe 0", "universe 0 does not exist: give 1 to 63999"},
		{"--universe 5,64000", "universe 64000 does not exist: give 1 to 63999"},
		{"--slots -3", "--slots -3: give a universe, 1 to 63999"},
		{"--port 0", "--port 0 does not exist: give 1 to 65535"},
		{"--port 70000", "--port 70000 does not exist: give 1 to 65535"},
		{"--every 1ms", "--every 1ms is too often: give 100ms or more"},
		{"--for -1s", "--for -1s: give a time from now on, such as 10s"},
		{"--bind nowhere", `--bind "nowhere" is no address: give one of this machine's own, such as 127.0.0.1`},
		{"--bind 192.0.2.1 --port 45568", "192.0.2.1 is not an address of this machine: give one of its own, such as 127.0.0.1"},
		{"here", "1 argument given: give no argument; choose universes with --universe"},
	} {
		code, _, errs := command(t, "", append([]string{"listen"}, strings.Fields(row.args)...)...)
		assert.Equal(t, 2, code, row.args)
		assert.Contains(t, errs, row.want)
	}
}
