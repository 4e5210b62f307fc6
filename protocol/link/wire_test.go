package link

import (
	"net"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/lateness"
	"example.org/ringout/internal/testkit/wirecheck"
)

// heardBy turns what a receiver got into a capture.
func heardBy(r *receiver, list []packet) []wirecheck.Packet {
	to := r.conn.LocalAddr().(*net.UDPAddr).AddrPort()
	var capture []wirecheck.Packet
	for _, p := range list {
		capture = append(capture, wirecheck.Packet{At: p.at, To: netip.AddrPortFrom(to.Addr().Unmap(), to.Port()), Octets: p.b})
	}
	return capture
}

// What the sender puts on the wire, from the first packet to the last, keeps
// every rule of ANSI E1.31-2018 that binds a source; package wirecheck reads
// it by the standard's octet numbers.
func TestWireRules(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name   string
		change func(*Config)
		want   wirecheck.Want
	}{
		{"plain", func(*Config) {}, wirecheck.Want{Black: true}},
		{"steady", func(c *Config) { c.Steady = true }, wirecheck.Want{Black: true, Steady: true}},
		{"synchronised", func(c *Config) { c.Sync = 7962 }, wirecheck.Want{Black: true}},
		{"preview, lowest priority", func(c *Config) { c.Preview, c.Priority = true, 0 }, wirecheck.Want{Black: true}},
		{"slow", func(c *Config) { c.Period = 40 * time.Millisecond }, wirecheck.Want{Black: true, MaxRate: 25}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			r := receive(t, "127.0.0.1:0")
			late := lateness.Watch(t)
			cfg := config(to(r, 1), to(r, 300), to(r, 63999))
			tt.change(&cfg)
			s := open(t, cfg)
			for n := range 70 { // faster than the rate allows, then slower
				s.Put([][]byte{{byte(n)}, {byte(n), 0, 9}, make([]byte, 512)})
				time.Sleep(time.Duration(5+n/2) * time.Millisecond)
			}
			time.Sleep(2200 * time.Millisecond)
			require.NoError(t, shut(t, s))
			// Arrival is timed by this process, which a busy machine may hold up;
			// captures stamped by the kernel are checked more strictly.
			behind := 0
			if cfg.Sync != 0 {
				behind = 1 // a synchronization
			}
			capture := heardBy(r, r.termination(t, 3, behind))
			tt.want.Tolerance = 60*time.Millisecond + late.Worst()
			require.Greater(t, len(capture), 100)
			for _, f := range wirecheck.Check(capture, tt.want) {
				t.Error(f)
			}
		})
	}
}
