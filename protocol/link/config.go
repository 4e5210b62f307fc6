package link

import (
	"context"
	"fmt"
	"net/netip"
	"strings"
	"time"

	"example.org/ringout/protocol"
)

// DefaultPriority is the standard's default (6.2.3).
const DefaultPriority = 100

// A Config gives the source, the way of sending and the targets.
type Config struct {
	CID      protocol.CID      // must be set, and stay the same for the life of the source (5.6)
	Source   string            // source name, 1 to 63 octets of UTF-8 (6.2.2)
	Priority uint8             // 0 to 200 (6.2.3); 0 is the lowest priority, not the default
	Preview  bool              // not for live output (6.2.6)
	Sync     protocol.Universe // synchronization address; 0 means none (6.2.4)
	Period   time.Duration     // shortest time between two packets of one universe; 0 means protocol.MinPeriod
	Steady   bool              // repeat unchanged data every Period, for hosts that lose packets, instead of keeping alive (6.6.2)
	TTL      int               // of multicast; 0 means 1, which stays on the link
	Targets  []Target

	// DiscoveryPort is for tests and closed networks; 0 means 5568 (9.1.1).
	DiscoveryPort uint16
	// Unannounced leaves universe discovery out, against 4.3: for tests that
	// must not multicast.
	Unannounced bool
	// Lookup resolves host names; nil means the system's resolver.
	Lookup func(ctx context.Context, host string) ([]netip.Addr, error) `json:"-"`
}

// A ConfigError names the part of a Config that cannot work, in one sentence
// that ends with what to do.
type ConfigError struct {
	Target int    // index in Targets, -1 when it is not about one
	Field  string // of Config or Target
	Text   string
}

// Error is the sentence.
func (e *ConfigError) Error() string { return e.Text }

// Check reports what is wrong with a target: the universe, or an interface that
// does not exist. A host name that does not resolve is no error here, since it
// may resolve later; Resolve tests that. The error is a *ConfigError.
func (t Target) Check() error { return t.check(-1) }

func (t Target) check(i int) error {
	if !t.Universe.Valid() {
		return &ConfigError{i, "Universe", fmt.Sprintf("universe %d cannot be sent: choose 1 to 63999", t.Universe)}
	}
	if strings.TrimSpace(t.Host) != t.Host {
		return &ConfigError{i, "Host", fmt.Sprintf("host %q has spaces around it: take them out", t.Host)}
	}
	if a, err := netip.ParseAddr(strings.Trim(t.Host, "[]")); err == nil {
		if err := hostAddr(a.Unmap()); err != nil {
			return &ConfigError{i, "Host", err.Error()}
		}
	}
	if t.Interface == "" {
		return nil
	}
	if _, err := interfaceByName(t.Interface); err != nil {
		return &ConfigError{i, "Interface", err.Error()}
	}
	return nil
}

// hostAddr refuses an address that no single host has.
func hostAddr(a netip.Addr) error {
	if a.IsMulticast() || a.IsUnspecified() {
		return fmt.Errorf("%s is no host's address: give the host's own, or none for multicast", a)
	}
	list, _ := Interfaces() // without a list the dialer finds a broadcast address later
	return broadcast(a, list)
}

// check fills in the defaults and refuses what cannot work.
func (c *Config) check() error {
	if c.CID == (protocol.CID{}) {
		return &ConfigError{-1, "CID", "the CID is all zero: give the source one of its own"}
	}
	if err := protocol.CheckName(c.Source); err != nil {
		return &ConfigError{-1, "Source", err.Error()}
	}
	if c.Priority > protocol.MaxPriority {
		return &ConfigError{-1, "Priority", fmt.Sprintf("priority %d is too high: choose 0 to 200", c.Priority)}
	}
	if c.Sync != 0 && !c.Sync.Valid() {
		return &ConfigError{-1, "Sync", fmt.Sprintf("synchronization address %d does not exist: choose 1 to 63999, or 0 for none", c.Sync)}
	}
	if c.Period == 0 {
		c.Period = protocol.MinPeriod
	}
	if c.Period < protocol.MinPeriod || c.Period > protocol.KeepAliveMin {
		return &ConfigError{-1, "Period", fmt.Sprintf("a packet every %v is outside the standard's rates: choose %v to %v", c.Period, protocol.MinPeriod, protocol.KeepAliveMin)}
	}
	if c.TTL < 0 || c.TTL > 255 {
		return &ConfigError{-1, "TTL", fmt.Sprintf("TTL %d does not exist: choose 1 to 255", c.TTL)}
	}
	c.TTL = max(c.TTL, 1)
	if c.DiscoveryPort == 0 {
		c.DiscoveryPort = protocol.Port
	}
	return c.checkTargets()
}

func (c *Config) checkTargets() error {
	if len(c.Targets) == 0 {
		return &ConfigError{-1, "Targets", "there is nothing to send to: give at least one universe"}
	}
	targets := append([]Target(nil), c.Targets...)
	seen := make(map[Target]bool, len(targets))
	known := make(map[string]bool) // interfaces already looked up
	for i := range targets {
		t := targets[i]
		if known[t.Interface] {
			t.Interface = ""
		}
		if err := t.check(i); err != nil {
			return err
		}
		t = targets[i]
		known[t.Interface] = true
		if t.Port == 0 {
			t.Port = protocol.Port
		}
		if seen[t] {
			return &ConfigError{i, "Targets", fmt.Sprintf("universe %d goes to %s twice: take one out", t.Universe, t.place())}
		}
		seen[t] = true
		targets[i] = t
	}
	c.Targets = targets
	return nil
}
