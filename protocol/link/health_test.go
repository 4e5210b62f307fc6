//go:build unix

package link

import (
	"context"
	"errors"
	"net/netip"
	"os"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// What happens on the way to a host, at milliseconds, and the state after it.
func TestHealth(t *testing.T) {
	type step struct {
		at   int
		do   string
		want State
	}
	far, near := netip.MustParseAddr("10.77.0.4"), netip.MustParseAddr("127.0.0.1")
	local := netip.MustParseAddr("10.77.0.1")
	tests := []struct {
		name, source string
		steps        []step
	}{
		{"sending", "", []step{{0, "", Starting}, {1, "sent", Sending}, {50, "sent", Sending}}},
		{"a few refusals among many packets", "measured: Linux answers six at once, then one a second", []step{
			{0, "sent", Sending}, {22, "refused", Refused}, {44, "sent", Refused}, {1020, "refused", Refused},
			{2000, "sent", Refused}, {4019, "sent", Refused}, {4021, "sent", Sending}}},
		{"every packet is refused on this machine", "measured: no limit on loopback", []step{
			{0, "refused near", Refused}, {1100, "sent", Refused}, {1201, "sent", Sending}}},
		{"no one answers to the address", "measured: a verdict after each three seconds of asking", []step{
			{3000, "silent", Unreachable}, {6400, "sent", Unreachable}, {6500, "silent", Unreachable}, {10045, "sent", Sending}}},
		{"a router says no, and says it rarely", "measured: two answers, then no more", []step{
			{0, "router", Unreachable}, {9000, "sent", Unreachable}, {10001, "sent", Sending}}},
		{"the send itself fails until it works", "", []step{
			{0, "sent", Sending}, {10, "failed", Unreachable}, {5000, "", Unreachable}, {5001, "sent", Sending}}},
		{"the cable is out, whatever leaves", "", []step{
			{0, "sent", Sending}, {10, "unplugged", NoInterface}, {20, "sent", NoInterface}, {30, "refused", NoInterface},
			{40, "failed", NoInterface}, {50, "plugged", Starting}, {51, "sent", Sending}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var h health
			start := time.Unix(1000, 0)
			for _, s := range tt.steps {
				now := start.Add(time.Duration(s.at) * time.Millisecond)
				was := h
				switch s.do {
				case "sent":
					h.sent(now)
				case "refused":
					h.answered(now, answer{state: Refused, err: syscall.ECONNREFUSED, from: far}, local, 22*time.Millisecond)
				case "refused near":
					h.answered(now, answer{state: Refused, err: syscall.ECONNREFUSED, from: near}, near, 22*time.Millisecond)
				case "silent":
					h.answered(now, answer{state: Unreachable, err: syscall.EHOSTUNREACH, from: local}, local, 22*time.Millisecond)
				case "router":
					h.answered(now, answer{state: Unreachable, err: syscall.EHOSTUNREACH, from: far}, local, 22*time.Millisecond)
				case "failed":
					h.failed(now, Unreachable, syscall.ENETUNREACH)
				case "unplugged":
					h.judge(now, NoInterface, errors.New("no link"))
				case "plugged":
					require.True(t, h.judge(now, Starting, nil))
				}
				require.Equal(t, s.want, h.state, "at %d ms after %q", s.at, s.do)
				if was.state != h.state {
					require.Equal(t, now, h.since)
				}
			}
		})
	}
}

// The sentence for each state, as the builder reads it.
func TestSentences(t *testing.T) {
	host := Target{Universe: 3, Host: "10.0.0.5", Port: 5568}
	dest := netip.MustParseAddrPort("10.0.0.5:5568")
	here, router := netip.MustParseAddr("10.0.0.2"), netip.MustParseAddr("10.0.0.1")
	named := Target{Universe: 3, Host: "bu\x1b[31moy", Port: 5568}
	_, lookup := resolve(t.Context(), "buoy", func(context.Context, string) ([]netip.Addr, error) { return nil, errors.New("timeout") })
	tests := []struct {
		status Status
		want   string
	}{
		{Status{Target: host}, "nothing sent to 10.0.0.5 yet"},
		{Status{Target: host, State: Sending}, "sending to 10.0.0.5"},
		{Status{Target: Target{Universe: 3, Interface: "quay0"}, State: Sending}, "sending to multicast on quay0"},
		{Status{Target: named, State: Sending, Dest: dest}, "sending to bu[31moy (10.0.0.5)"},
		{Status{Target: host, State: Refused, Dest: dest, Err: syscall.ECONNREFUSED, From: dest.Addr()},
			"no program listens at 10.0.0.5: the host answered port unreachable on port 5568"},
		{Status{Target: host, State: Unreachable, Err: syscall.EHOSTUNREACH, From: here, Local: here},
			"no answer from 10.0.0.5 at all: it is off, not on this network, or has another address"},
		{Status{Target: host, State: Unreachable, Err: syscall.EHOSTUNREACH, From: router, Local: here},
			"the router at 10.0.0.1 finds no way to 10.0.0.5: check the address"},
		{Status{Target: host, State: Unreachable, Err: os.NewSyscallError("sendmmsg", syscall.ENETUNREACH), Local: here},
			"this machine has no way to 10.0.0.5 (network is unreachable): check its cable, its wireless network and its own address"},
		{Status{Target: host, State: NoInterface, Err: &interfaceStateError{"quay0", "is switched off"}}, "interface quay0 is switched off"},
		{Status{Target: host, State: Unresolved, Err: lookup},
			`host "buoy" gives no address (timeout): give it as numbers, or try again when the network is there`},
		{Status{Target: host, State: Failed, Err: syscall.EPERM},
			"the system does not send to 10.0.0.5 (operation not permitted): look for a firewall on this machine, or try another interface"},
	}
	for _, tt := range tests {
		require.Equal(t, tt.want, tt.status.Sentence())
	}
}

// The newest events are kept, and the same words twice in a moment are one.
func TestEvents(t *testing.T) {
	var l events
	at := time.Date(2024, 11, 2, 10, 4, 5, 0, time.UTC)
	for i := range 100 {
		l.add(Event{at.Add(time.Duration(i) * 3 * time.Second), "the network came back"})
	}
	require.Len(t, l.all(), keptEvents)
	l = events{}
	l.add(Event{at, "the network came back"})
	l.add(Event{at.Add(time.Second), "something else"})
	l.add(Event{at.Add(time.Second), "the network came back"})
	require.Len(t, l.all(), 2)
	require.Equal(t, "10:04:05 the network came back", l.all()[0].String())
}
