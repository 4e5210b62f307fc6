//go:build linux

package main

import (
	"encoding/binary"
	"errors"
	"fmt"
	"net"
	"os"
	"slices"
	"time"

	"golang.org/x/net/bpf"
	"golang.org/x/net/ipv4"
	"golang.org/x/sys/unix"
)

// A sink is a UDP socket on 127.0.0.1 with arrival times from the kernel. A
// socket filter passes only packets of universe 1, so that receiving the rest
// costs little processor time.
type sink struct{ conn *net.UDPConn }

func newSink() (*sink, error) {
	conn, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	if err != nil {
		return nil, err
	}
	filter, err := bpf.Assemble([]bpf.Instruction{
		bpf.LoadAbsolute{Off: 8 + 113, Size: 2}, // after the UDP header: the universe (E1.31 table 6-1)
		bpf.JumpIf{Cond: bpf.JumpEqual, Val: 1, SkipFalse: 1},
		bpf.RetConstant{Val: 65535},
		bpf.RetConstant{Val: 0},
	})
	if err != nil {
		return nil, err
	}
	raw, err := conn.SyscallConn()
	if err != nil {
		return nil, err
	}
	var stamp error
	err = raw.Control(func(fd uintptr) { stamp = unix.SetsockoptInt(int(fd), unix.SOL_SOCKET, unix.SO_TIMESTAMPNS, 1) })
	return &sink{conn}, errors.Join(err, stamp, ipv4.NewPacketConn(conn).SetBPF(filter))
}

func (s *sink) port() int { return s.conn.LocalAddr().(*net.UDPAddr).Port }

// arrivals returns the kernel's arrival times during a span.
func (s *sink) arrivals(span time.Duration) ([]time.Time, error) {
	if err := s.conn.SetReadDeadline(time.Now().Add(span)); err != nil {
		return nil, err
	}
	var times []time.Time
	b, oob := make([]byte, 1500), make([]byte, 128)
	for {
		_, n, _, _, err := s.conn.ReadMsgUDPAddrPort(b, oob)
		if errors.Is(err, os.ErrDeadlineExceeded) {
			return times, nil
		}
		if err != nil {
			return nil, err
		}
		messages, err := unix.ParseSocketControlMessage(oob[:n])
		if err != nil {
			return nil, err
		}
		for _, m := range messages {
			if m.Header.Type == unix.SO_TIMESTAMPNS && len(m.Data) >= 16 {
				sec, nsec := binary.NativeEndian.Uint64(m.Data), binary.NativeEndian.Uint64(m.Data[8:]) // struct timespec, 64 bits
				times = append(times, time.Unix(int64(sec), int64(nsec)))
			}
		}
	}
}

// drain discards the packets that wait in the socket.
func (s *sink) drain() error {
	_, err := s.arrivals(time.Millisecond)
	return err
}

// brightest waits for a packet whose highest slot value is as wanted, and returns
// that value.
func (s *sink) brightest(wanted func(byte) bool) (byte, error) {
	if err := s.conn.SetReadDeadline(time.Now().Add(5 * time.Second)); err != nil {
		return 0, err
	}
	b := make([]byte, 1500)
	for {
		n, err := s.conn.Read(b)
		if err != nil || n < 127 {
			return 0, errors.Join(err, fmt.Errorf("a packet of %d octets", n))
		}
		if v := slices.Max(b[126:n]); wanted(v) {
			return v, nil
		}
	}
}
