//go:build linux

package cli

import (
	"fmt"
	"net"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/striptest"
)

// wired opens the bench in a pseudo-terminal on a prop whose address is a bare socket.
func wired(b *testing.B) (*terminal, *net.UDPConn) {
	b.Helper()
	conn, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(b, err)
	b.Cleanup(func() { conn.Close() })
	p := prop.Porthole()
	p.Address.Host, p.Address.Port = "127.0.0.1", uint16(conn.LocalAddr().(*net.UDPAddr).Port)
	return bench(b, p), conn
}

// BenchmarkKeyToPacket is the time from a key written to the pseudo-terminal
// to the datagram at the receiver, from rest: the keys come 120 ms apart.
func BenchmarkKeyToPacket(b *testing.B) {
	term, conn := wired(b)
	term.press("3") // single pixel
	buf := make([]byte, 1024)
	lit := func() int { // octet of the lit red, 126 being slot 1
		n, err := conn.Read(buf)
		require.NoError(b, err)
		return slices.IndexFunc(buf[126:n], func(v byte) bool { return v > 0 })
	}
	conn.SetReadDeadline(time.Now().Add(10 * time.Second))
	for lit() < 0 {
	}
	var took []time.Duration
	keys := []string{"\x1b[C", "\x1b[D"} // right, left
	b.ResetTimer()
	for i := range b.N {
		b.StopTimer()
		quiet(conn, buf, 120*time.Millisecond)
		was := 3 * (i % 2)
		b.StartTimer()
		conn.SetReadDeadline(time.Now().Add(5 * time.Second))
		began := time.Now()
		term.press(keys[i%2])
		for lit() == was {
		}
		took = append(took, time.Since(began))
	}
	b.StopTimer()
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds()), "p50-µs")
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds()), "p99-µs")
}

// quiet reads what comes for a while.
func quiet(conn *net.UDPConn, buf []byte, d time.Duration) {
	conn.SetReadDeadline(time.Now().Add(d))
	for {
		if _, err := conn.Read(buf); err != nil {
			return
		}
	}
}

// BenchmarkProcessorTime measures the use of one core by the whole bench, at rest and
// with a pattern that changes at every step.
func BenchmarkProcessorTime(b *testing.B) {
	for _, row := range []struct{ name, keys string }{{"rest", "8"}, {"chase at full speed", "1" + strings.Repeat("+", 12)}} {
		b.Run(row.name, func(b *testing.B) {
			n, p := startNode(b, prop.Porthole())
			term := bench(b, p)
			term.press(row.keys)
			time.Sleep(time.Second)
			before := ticks(b, term.cmd.Process.Pid)
			const span = 4 * time.Second
			for range b.N {
				time.Sleep(span)
			}
			used := ticks(b, term.cmd.Process.Pid) - before
			b.ReportMetric(100*used.Seconds()/(span.Seconds()*float64(b.N)), "%-core")
			term.press("q")
			require.NoError(b, term.left())
			striptest.WaitEnded(b, n)
		})
	}
}

// ticks is the processor time a process has used (proc(5): utime and stime, in
// hundredths of a second).
func ticks(b *testing.B, pid int) time.Duration {
	b.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	require.NoError(b, err)
	fields := strings.Fields(string(text[strings.LastIndexByte(string(text), ')')+2:]))
	var utime, stime int64
	fmt.Sscan(fields[11], &utime)
	fmt.Sscan(fields[12], &stime)
	return time.Duration(utime+stime) * 10 * time.Millisecond
}
