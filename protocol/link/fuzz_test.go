//go:build linux && !portable

package link

import (
	"encoding/binary"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"example.org/ringout/protocol"
)

// control lays out one control message as cmsg(3) has it.
func control(level, kind int32, data []byte) []byte {
	b := make([]byte, unix.CmsgSpace(len(data)))
	binary.NativeEndian.PutUint64(b, uint64(unix.CmsgLen(len(data))))
	binary.NativeEndian.PutUint32(b[8:], uint32(level))
	binary.NativeEndian.PutUint32(b[12:], uint32(kind))
	copy(b[unix.CmsgLen(0):], data)
	return b
}

// extended lays out a sock_extended_err with the address of who said so (ip(7)).
func extended(errno unix.Errno, from netip.Addr) []byte {
	b := make([]byte, 16+16)
	binary.NativeEndian.PutUint32(b, uint32(errno))
	b[4] = 2 // SO_EE_ORIGIN_ICMP
	binary.NativeEndian.PutUint16(b[16:], unix.AF_INET)
	a := from.As4()
	copy(b[20:], a[:])
	return b
}

func TestParseAnswer(t *testing.T) {
	router := netip.MustParseAddr("10.77.0.4")
	a, ok := parseAnswer(control(unix.IPPROTO_IP, unix.IP_RECVERR, extended(unix.ECONNREFUSED, router)))
	require.True(t, ok)
	require.Equal(t, Refused, a.state)
	require.Equal(t, router, a.from)
	_, ok = parseAnswer(control(unix.IPPROTO_IP, unix.IP_RECVERR, extended(unix.EMSGSIZE, router)))
	require.False(t, ok, "it is about the path")
}

func FuzzParseAnswer(f *testing.F) {
	f.Add(control(unix.IPPROTO_IP, unix.IP_RECVERR, extended(unix.EHOSTUNREACH, local4)))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, oob []byte) {
		if a, ok := parseAnswer(oob); ok && (a.err == nil || a.state == Starting || a.state == Sending) {
			t.Fatalf("an answer that says nothing: %+v", a)
		}
	})
}

// What the system tells about a datagram, by the structures of ip(7) and
// socket(7).
func TestFacts(t *testing.T) {
	now := time.Now()
	info := make([]byte, 12) // in_pktinfo: index, local address, address in the header
	binary.NativeEndian.PutUint32(info, 1)
	copy(info[8:], []byte{239, 255, 0, 7})
	lost := binary.NativeEndian.AppendUint32(nil, 5)
	stamp := binary.NativeEndian.AppendUint64(nil, uint64(now.Add(-time.Millisecond).Unix()))
	stamp = binary.NativeEndian.AppendUint64(stamp, uint64(now.Add(-time.Millisecond).Nanosecond()))
	oob := append(control(unix.IPPROTO_IP, unix.IP_PKTINFO, info), control(unix.SOL_SOCKET, unix.SO_RXQ_OVFL, lost)...)
	oob = append(oob, control(unix.SOL_SOCKET, unix.SO_TIMESTAMPNS, stamp)...)
	l := Listener{tracker: protocol.NewTracker()}
	var h protocol.Datagram
	newReader(&socket{}, 1).facts(&h, oob, now, &l)
	require.Equal(t, netip.MustParseAddr("239.255.0.7"), h.Group)
	require.Equal(t, "lo", h.Interface)
	require.Equal(t, uint64(5), l.Dropped())
	require.Equal(t, time.Millisecond, now.Sub(h.At))

	require.Equal(t, now, arrival(make([]byte, 16), now), "a stamp from 1970 is not used")
}

func FuzzFacts(f *testing.F) {
	f.Add(control(unix.IPPROTO_IP, unix.IP_PKTINFO, make([]byte, 12)))
	f.Add(control(unix.SOL_SOCKET, unix.SO_TIMESTAMPNS, make([]byte, 16)))
	r := newReader(&socket{}, 1)
	f.Fuzz(func(t *testing.T, oob []byte) {
		l := Listener{tracker: protocol.NewTracker()}
		now := time.Now()
		h := protocol.Datagram{At: now}
		r.facts(&h, oob, now, &l)
		if h.At.After(now) || now.Sub(h.At) > time.Second {
			t.Fatalf("arrived at %v, read at %v", h.At, now)
		}
		if h.Group.IsValid() && !h.Group.IsMulticast() {
			t.Fatalf("%v is no group", h.Group)
		}
	})
}
