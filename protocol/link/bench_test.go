//go:build linux && !portable

package link

import (
	"fmt"
	"net"
	"net/netip"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/ipv4"
	"golang.org/x/sys/unix"

	"example.org/ringout/protocol"
)

// drain takes datagrams on loopback and throws them away.
func drain(b testing.TB) netip.AddrPort {
	b.Helper()
	udp, err := bind(netip.AddrPortFrom(local4, 0))
	require.NoError(b, err)
	udp.SetReadBuffer(readBuffer)
	r := newReader(&socket{udp: udp}, readBatch)
	done := make(chan struct{})
	go func() {
		defer close(done)
		raw, _ := udp.SyscallConn()
		for raw.Read(func(fd uintptr) bool {
			_, errno := r.read(fd)
			return errno != unix.EAGAIN
		}) == nil {
		}
	}()
	b.Cleanup(func() { udp.Close(); <-done })
	return udp.LocalAddr().(*net.UDPAddr).AddrPort()
}

// still is a sender without its goroutines: the benchmark calls tick itself.
func still(b testing.TB, to netip.AddrPort, universes int) *Sender {
	b.Helper()
	cfg := config()
	for u := range universes {
		cfg.Targets = append(cfg.Targets, Target{Universe: universe(u + 1), Host: to.Addr().String(), Port: to.Port()})
	}
	require.NoError(b, cfg.check())
	s := newSender(cfg)
	o, err := dial(b.Context(), to, Interface{})
	require.NoError(b, err)
	s.hosts[0].conn = o
	b.Cleanup(func() { o.close(); s.alarm.close(); s.changes.close() })
	return s
}

// BenchmarkSend is the sender's whole way from values to the socket (put, due,
// fill, batch, states) beside a bare loop of the same system call over packets
// that lie ready, in turns in the same run. ratio is bare time by ours: 1 means
// that the sender costs nothing above the call.
func BenchmarkSend(b *testing.B) {
	for _, n := range []int{1, 16, 100, 500} {
		b.Run(fmt.Sprintf("universes=%d", n), func(b *testing.B) {
			to := drain(b)
			s := still(b, to, n)
			slots := make([][]byte, n)
			for i := range slots {
				slots[i] = make([]byte, 512)
			}
			bare := bareLoop(b, to, n)
			now := time.Now()
			ours, theirs := time.Duration(0), time.Duration(0)
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				for u := range slots {
					slots[u][0]++
				}
				now = now.Add(protocol.MinPeriod)
				began := time.Now()
				s.Put(slots)
				s.paced.Store(false) // as Sender.loop does: a Put while it sleeps does not wake it
				s.take()
				s.paced.Store(s.mayNotSend(s.tick(now)))
				middle := time.Now()
				bare()
				ours += middle.Sub(began)
				theirs += time.Since(middle)
			}
			b.ReportMetric(float64(b.N*n)/ours.Seconds(), "packets/s")
			b.ReportMetric(float64(b.N*n)/theirs.Seconds(), "bare-packets/s")
			b.ReportMetric(theirs.Seconds()/ours.Seconds(), "ratio")
		})
	}
}

func bareLoop(b testing.TB, to netip.AddrPort, n int) func() {
	b.Helper()
	udp, err := net.DialUDP("udp4", nil, net.UDPAddrFromAddrPort(to))
	require.NoError(b, err)
	b.Cleanup(func() { udp.Close() })
	pc := ipv4.NewPacketConn(udp)
	msgs := make([]ipv4.Message, n)
	for i := range msgs {
		msgs[i].Buffers = [][]byte{make([]byte, 638)}
	}
	return func() {
		for at := 0; at < n; {
			m, err := pc.WriteBatch(msgs[at:min(at+batchLimit, n)], 0)
			if err != nil {
				b.Fatal(err)
			}
			at += m
		}
	}
}

// BenchmarkPace is the jitter of the clock at 44 Hz, beside a bare loop on a
// timerfd of the system without Go's poller.
func BenchmarkPace(b *testing.B) {
	ours := newAlarm() // the one that the sender sleeps by
	defer ours.close()
	var late []time.Duration
	began := time.Now()
	due, beats := began, 0
	for b.Loop() {
		due = due.Add(protocol.MinPeriod)
		ours.sleep(due)
		late = append(late, time.Since(due))
		beats++
	}
	passed := time.Since(began)
	bare := bareTimerfd(b, b.N)
	report := func(name string, list []time.Duration) {
		slices.Sort(list)
		b.ReportMetric(float64(list[len(list)/2].Microseconds()), name+"p50-us")
		b.ReportMetric(float64(list[len(list)*99/100].Microseconds()), name+"p99-us")
	}
	report("", late)
	report("bare-", bare)
	b.ReportMetric((passed.Seconds()/float64(beats)/protocol.MinPeriod.Seconds()-1)*100, "drift-%")
}

// bareTimerfd blocks a thread in read(2) of a periodic timerfd.
func bareTimerfd(b *testing.B, n int) []time.Duration {
	fd, err := unix.TimerfdCreate(unix.CLOCK_MONOTONIC, unix.TFD_CLOEXEC)
	require.NoError(b, err)
	defer unix.Close(fd)
	period := unix.NsecToTimespec(int64(protocol.MinPeriod))
	began := time.Now()
	require.NoError(b, unix.TimerfdSettime(fd, 0, &unix.ItimerSpec{Interval: period, Value: period}, nil))
	var late []time.Duration
	var buf [8]byte
	beat := 0
	for range n {
		unix.Read(fd, buf[:])
		beat += int(buf[0])
		late = append(late, time.Since(began)-time.Duration(beat)*protocol.MinPeriod)
	}
	return late
}

// BenchmarkShow is 500 universes at 44 Hz, sent and tracked in one process:
// share of one core, jitter of a universe's packets as they arrive, packets
// lost by us, and how far the mean rate is from the one wanted.
func BenchmarkShow(b *testing.B) {
	for _, n := range []int{16, 100, 500} {
		b.Run(fmt.Sprintf("universes=%d", n), func(b *testing.B) {
			port := freePort(b, "127.0.0.1")
			l, err := Listen(b.Context(), ListenConfig{Bind: local4, Port: port})
			require.NoError(b, err)
			defer l.Close()
			cfg := config()
			for u := range n {
				cfg.Targets = append(cfg.Targets, universeAt(u+1, "127.0.0.1", port))
			}
			s := open(b, cfg)
			slots := make([][]byte, n)
			for i := range slots {
				slots[i] = make([]byte, 512)
			}
			clock := newAlarm()
			defer clock.close()
			due := time.Now()
			cpu, began, beats := cpuTime(), time.Now(), 0
			for b.Loop() {
				due = due.Add(protocol.MinPeriod)
				clock.sleep(due)
				for u := range slots {
					slots[u][0]++
				}
				s.Put(slots)
				beats++
			}
			passed, used := time.Since(began), cpuTime()-cpu
			r := l.Report()
			src := r.Source(testCID)
			if src == nil {
				return // too short a run
			}
			var jitter []time.Duration
			var missing, packets uint64
			for i := range src.Streams {
				jitter = append(jitter, src.Streams[i].Jitter)
				missing += src.Streams[i].Missing
				packets += src.Streams[i].Packets
			}
			slices.Sort(jitter)
			b.ReportMetric(used.Seconds()/passed.Seconds()*100, "core-%")
			b.ReportMetric(float64(jitter[len(jitter)*99/100].Microseconds()), "jitter-p99-us")
			b.ReportMetric(float64(missing), "lost")
			b.ReportMetric(float64(packets)/float64(n)/passed.Seconds(), "Hz")
		})
	}
}

// BenchmarkChange is the time from Put to the packet at a receiver, from rest:
// the sender was asleep and the rate allows the packet at once. It stands
// beside a bare write and read of the same socket pair.
func BenchmarkChange(b *testing.B) {
	udp, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(b, err)
	defer udp.Close()
	at := udp.LocalAddr().(*net.UDPAddr).AddrPort()
	s := open(b, config(universeAt(1, "127.0.0.1", at.Port())))
	bare, err := net.DialUDP("udp4", nil, net.UDPAddrFromAddrPort(at))
	require.NoError(b, err)
	defer bare.Close()
	slots := [][]byte{make([]byte, 512)}
	var buf [1024]byte
	var ours, theirs []time.Duration
	took := make(chan time.Time)
	read := func() {
		for {
			n, err := udp.Read(buf[:])
			if err != nil {
				return
			}
			if n == 638 && buf[octetSlots] != slots[0][0] {
				continue // a repeat of the one before
			}
			took <- time.Now()
		}
	}
	go read()
	for b.Loop() {
		time.Sleep(100 * time.Millisecond) // the repeats are over
		slots[0][0]++
		began := time.Now()
		s.Put(slots)
		ours = append(ours, (<-took).Sub(began))
		for range 2 {
			<-took // its repeats
		}
		time.Sleep(50 * time.Millisecond)
		began = time.Now()
		bare.Write(slots[0][:8])
		theirs = append(theirs, (<-took).Sub(began))
	}
	for name, list := range map[string][]time.Duration{"": ours, "bare-": theirs} {
		slices.Sort(list)
		b.ReportMetric(float64(list[len(list)/2].Microseconds()), name+"p50-us")
		b.ReportMetric(float64(list[len(list)*99/100].Microseconds()), name+"p99-us")
	}
}

func cpuTime() time.Duration {
	var u unix.Rusage
	unix.Getrusage(unix.RUSAGE_SELF, &u)
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
