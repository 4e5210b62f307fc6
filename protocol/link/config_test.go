package link

import (
	"context"
	"errors"
	"net"
	"net/netip"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/protocol"
)

// Bad input gets one sentence: what is wrong and what to do.
func TestOpenRefuses(t *testing.T) {
	good := Target{Universe: 1, Host: "127.0.0.1"}
	tests := []struct {
		name   string
		change func(*Config)
		target int
		want   string
	}{
		{"universe 0", func(c *Config) { c.Targets = []Target{good, {Universe: 0}} }, 1, "universe 0 cannot be sent: choose 1 to 63999"},
		{"universe 64000", func(c *Config) { c.Targets[0].Universe = 64000 }, 0, "universe 64000 cannot be sent: choose 1 to 63999"},
		{"no CID", func(c *Config) { c.CID = protocol.CID{} }, -1, "the CID is all zero: give the source one of its own"},
		{"no name", func(c *Config) { c.Source = "" }, -1, "the source name is empty: give one of 1 to 63 bytes, such as \"ringout bench\""},
		{"a name of 64 octets", func(c *Config) { c.Source = strings.Repeat("灯", 21) + "x" }, -1, "the source name has 64 bytes and at most 63 fit: shorten it (letters beyond plain English take 2 to 4 bytes each)"},
		{"priority 201", func(c *Config) { c.Priority = 201 }, -1, "priority 201 is too high: choose 0 to 200"},
		{"no target", func(c *Config) { c.Targets = nil }, -1, "there is nothing to send to: give at least one universe"},
		{"twice", func(c *Config) { c.Targets = []Target{good, good} }, 1, "universe 1 goes to 127.0.0.1 twice: take one out"},
		{"twice by default port", func(c *Config) {
			c.Targets = []Target{good, {Universe: 1, Host: "127.0.0.1", Port: 5568}}
		}, 1, "universe 1 goes to 127.0.0.1 twice: take one out"},
		{"sync address", func(c *Config) { c.Sync = 64000 }, -1, "synchronization address 64000 does not exist: choose 1 to 63999, or 0 for none"},
		{"too fast", func(c *Config) { c.Period = time.Millisecond }, -1, "a packet every 1ms is outside the standard's rates: choose 22.728ms to 800ms"},
		{"TTL", func(c *Config) { c.TTL = 256 }, -1, "TTL 256 does not exist: choose 1 to 255"},
		{"spaces", func(c *Config) { c.Targets[0].Host = " lamp" }, 0, `host " lamp" has spaces around it: take them out`},
		{"group as host", func(c *Config) { c.Targets[0].Host = "239.255.0.1" }, 0, "239.255.0.1 is no host's address: give the host's own, or none for multicast"},
		{"no host as host", func(c *Config) { c.Targets[0].Host = "0.0.0.0" }, 0, "0.0.0.0 is no host's address: give the host's own, or none for multicast"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			cfg := config(good)
			tt.change(&cfg)
			s, err := Open(cfg)
			require.Nil(t, s)
			var ce *ConfigError
			require.ErrorAs(t, err, &ce)
			require.Equal(t, tt.want, err.Error())
			require.Equal(t, tt.target, ce.Target)
			require.Equal(t, err, cfg.check())
		})
	}
}

// A missing interface is named together with the ones there are.
func TestOpenNamesTheInterfaces(t *testing.T) {
	_, err := Open(config(Target{Universe: 1, Interface: "quay9"}))
	var ce *ConfigError
	require.ErrorAs(t, err, &ce)
	require.Equal(t, "Interface", ce.Field)
	all, lerr := net.Interfaces()
	require.NoError(t, lerr)
	for _, i := range all {
		require.Contains(t, err.Error(), i.Name)
	}
	require.NotContains(t, Target{Universe: 1, Interface: "q\x1b[2J"}.Check().Error(), "\x1b")
}

// fakeNames is a name server that can be told what to say.
type fakeNames struct{ answer atomic.Pointer[netip.Addr] }

func (f *fakeNames) lookup(context.Context, string) ([]netip.Addr, error) {
	if a := f.answer.Load(); a != nil {
		return []netip.Addr{*a}, nil
	}
	return nil, errors.New("the name server does not answer")
}

func (f *fakeNames) say(s string) {
	if s == "" {
		f.answer.Store(nil)
		return
	}
	a := netip.MustParseAddr(s)
	f.answer.Store(&a)
}

// A name that does not resolve is a state, not an error: sending starts within
// two seconds of the name server's first answer, goes on when the name server
// goes away, and follows the host to another address.
func TestNamesComeLateAndMove(t *testing.T) {
	t.Parallel()
	r := receive(t, "127.0.0.1:0")
	var names fakeNames
	cfg := config(Target{Universe: 1, Host: "buoy.invalid", Port: r.port()})
	cfg.Lookup = names.lookup
	s := open(t, cfg)
	s.Put([][]byte{{7}})
	eventually(t, time.Second, "unresolved", func() bool { return s.Status()[0].State == Unresolved })
	require.Equal(t, `host "buoy.invalid" gives no address (the name server does not answer): give it as numbers, or try again when the network is there`, s.Status()[0].Sentence())
	names.say("127.0.0.1")
	began := time.Now()
	r.next(t)
	require.Less(t, time.Since(began), recoverWithin)
	names.say("")
	time.Sleep(1500 * time.Millisecond)
	s.Put([][]byte{{8}})
	r.during(10 * time.Millisecond)
	require.Equal(t, Sending, s.Status()[0].State)

	// The host gets another address; nothing answers at the old one.
	port := r.port()
	r.conn.Close()
	moved := receive(t, netip.AddrPortFrom(netip.MustParseAddr("127.0.0.4"), port).String())
	names.say("127.0.0.4")
	began = time.Now()
	for n := range 100 {
		s.Put([][]byte{{byte(n)}})
		time.Sleep(25 * time.Millisecond)
		if len(moved.ch) > 0 {
			break
		}
	}
	moved.next(t)
	t.Logf("followed after %v", time.Since(began))
	eventually(t, time.Second, "sending", func() bool { return s.Status()[0].State == Sending })
	require.True(t, anyContains(texts(s.Events()), "buoy.invalid moved from 127.0.0.1 to 127.0.0.4"))
}

const recoverWithin = 2 * time.Second

func texts(list []Event) (out []string) {
	for _, e := range list {
		out = append(out, e.String())
	}
	return out
}

// Addresses need no name server; IPv4 goes before IPv6.
func TestResolve(t *testing.T) {
	for in, want := range map[string]string{"10.0.0.5": "10.0.0.5", "fd00::1": "fd00::1", "[fd00::1]": "fd00::1", "fe80::1%quay0": "fe80::1%quay0", "::ffff:10.0.0.5": "10.0.0.5"} {
		a, err := Resolve(t.Context(), in)
		require.NoError(t, err)
		require.Equal(t, want, a.String())
	}
	both := func(context.Context, string) ([]netip.Addr, error) {
		return []netip.Addr{netip.MustParseAddr("fd00::1"), netip.MustParseAddr("10.0.0.5")}, nil
	}
	a, err := resolve(t.Context(), "lamp", both)
	require.NoError(t, err)
	require.Equal(t, "10.0.0.5", a.String())
	none := func(context.Context, string) ([]netip.Addr, error) { return nil, nil }
	_, err = resolve(t.Context(), "la\x07mp", none)
	var re *ResolveError
	require.ErrorAs(t, err, &re)
	require.Equal(t, `host "lamp" is not known here: check the spelling, or give its address as numbers`, err.Error())
}

// Addresses of every host are refused, those of this machine's networks too (RFC
// 1122 3.2.1.3). The prefixes are worked by hand.
func TestBroadcastIsNoHost(t *testing.T) {
	nets := []Interface{{Name: "quay0", Addrs: []netip.Prefix{netip.MustParsePrefix("10.77.0.5/24"), netip.MustParsePrefix("fd77::5/64")}},
		{Name: "mole0", Addrs: []netip.Prefix{netip.MustParsePrefix("192.0.2.65/26"), netip.MustParsePrefix("198.51.100.2/31"), netip.MustParsePrefix("203.0.113.9/32")}}}
	for _, r := range []struct {
		addr, want string // want is empty for a host's address
	}{
		{"255.255.255.255", "255.255.255.255 is the address of every host, not of one"},
		{"10.77.0.255", "10.77.0.255 is the address of every host of 10.77.0.0/24, not of one"},
		{"10.77.0.0", "every host of 10.77.0.0/24"},
		{"192.0.2.127", "every host of 192.0.2.64/26"},
		{"192.0.2.64", "every host of 192.0.2.64/26"},
		{"10.77.0.254", ""}, {"10.77.1.255", ""}, {"192.0.2.128", ""}, {"192.0.2.255", ""},
		{"198.51.100.3", ""}, {"203.0.113.9", ""}, {"fd77::ffff", ""}, {"0.0.0.255", ""},
	} {
		err := broadcast(netip.MustParseAddr(r.addr), nets)
		if r.want == "" {
			require.NoError(t, err, r.addr)
		} else {
			require.ErrorContains(t, err, r.want)
		}
	}
	for _, host := range []string{"255.255.255.255", "127.255.255.255", "127.0.0.0"} {
		_, err := Open(config(Target{Universe: 1, Host: host}))
		var bad *ConfigError
		require.ErrorAs(t, err, &bad, host)
		require.Equal(t, "Host", bad.Field)
	}
}

// A name that leads to such an address sends nothing.
func TestANameOfEveryHost(t *testing.T) {
	r := receive(t, "0.0.0.0:0")
	var names fakeNames
	names.say("127.255.255.255")
	cfg := config(Target{Universe: 1, Host: "all.invalid", Port: r.port()})
	cfg.Lookup = names.lookup
	s := open(t, cfg)
	s.Put([][]byte{{7}})
	eventually(t, patience, "it is said", func() bool { return s.Status()[0].State == Unresolved })
	require.Equal(t, "127.255.255.255 is the address of every host of 127.0.0.0/8, not of one: give the host's own, or none for multicast", s.Status()[0].Sentence())
	require.Zero(t, s.Status()[0].Packets)
	names.say("127.0.0.1")
	r.next(t)
}
