package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/netip"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/traffic"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// listenFlags are the flags of "ringout listen".
type listenFlags struct {
	universes       []int
	interfaces      []string
	bind            string
	port, slots     int
	unicast, asJSON bool
	length, every   time.Duration
}

func newListen() *cobra.Command {
	var f listenFlags
	c := &cobra.Command{
		Use:   "listen",
		Short: "Who is sending, to which universe, and what is lost",
		Long: "Join the multicast groups of universes and tell who drives them: name, address,\n" +
			"priority, rate, loss, and in plain sentences what matters. Without --universe it joins\n" +
			"all that is announced by universe discovery. Nothing is sent but the joins.",
		Example: `  ringout listen
  ringout listen --universe 1,2,3 --interface eth0
  ringout listen --universe 7 --slots 7 --for 10s
  ringout listen --bind 127.0.0.1 --json`,
		Args: exactly(0, "no argument; choose universes with --universe"),
		RunE: func(c *cobra.Command, _ []string) error { return f.run(c) },
	}
	fl := c.Flags()
	fl.IntSliceVar(&f.universes, "universe", nil, "universes whose groups to join, such as 1,2,3")
	fl.StringSliceVar(&f.interfaces, "interface", nil, "network interfaces to join on; none means every one that is up")
	fl.StringVar(&f.bind, "bind", "", "hear only what is sent to this address of the machine; no groups are joined")
	fl.BoolVar(&f.unicast, "unicast", false, "hear also what is sent to this machine's own addresses; another program on the port then hears nothing")
	fl.IntVar(&f.port, "port", protocol.Port, "UDP port")
	fl.IntVar(&f.slots, "slots", 0, "show the levels of this universe")
	fl.DurationVar(&f.length, "for", 0, "how long, such as 10s; 0 until stopped")
	fl.DurationVar(&f.every, "every", 2*time.Second, "time between reports")
	fl.BoolVar(&f.asJSON, "json", false, "a JSON line for every report")
	return c
}

// config checks the flags and makes a listener's configuration of them.
func (f *listenFlags) config() (link.ListenConfig, error) {
	cfg := link.ListenConfig{Interfaces: f.interfaces, Unicast: f.unicast, Port: uint16(f.port), Every: f.every}
	for _, u := range append([]int{max(f.slots, 1)}, f.universes...) {
		if u < 1 || u > int(protocol.LastUniverse) {
			return cfg, fmt.Errorf("universe %d does not exist: give 1 to %d", u, protocol.LastUniverse)
		}
	}
	for _, u := range f.universes {
		cfg.Universes = append(cfg.Universes, protocol.Universe(u))
	}
	switch {
	case f.slots < 0:
		return cfg, fmt.Errorf("--slots %d: give a universe, 1 to %d", f.slots, protocol.LastUniverse)
	case f.port < 1 || f.port > 65535:
		return cfg, fmt.Errorf("--port %d does not exist: give 1 to 65535", f.port)
	case f.every < 100*time.Millisecond:
		return cfg, fmt.Errorf("--every %v is too often: give 100ms or more", f.every)
	case f.length < 0:
		return cfg, fmt.Errorf("--for %v: give a time from now on, such as 10s", f.length)
	}
	if f.slots > 0 && len(f.universes) == 0 {
		cfg.Universes = append(cfg.Universes, protocol.Universe(f.slots))
	}
	cfg.Discover = len(cfg.Universes) == 0
	if f.bind == "" {
		return cfg, nil
	}
	a, err := netip.ParseAddr(f.bind)
	if err != nil {
		return cfg, fmt.Errorf("--bind %q is no address: give one of this machine's own, such as 127.0.0.1", f.bind)
	}
	cfg.Bind = a
	return cfg, nil
}

func (f *listenFlags) run(c *cobra.Command) error {
	cfg, err := f.config()
	if err != nil {
		return wrong(c, err)
	}
	ctx := c.Context()
	if f.length > 0 {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, f.length)
		defer cancel()
	}
	l, err := link.Listen(ctx, cfg)
	var bad *link.ConfigError
	if errors.As(err, &bad) {
		return wrong(c, err)
	}
	if err != nil {
		return err
	}
	defer l.Close()
	t := reportPrinter{flags: f, listener: l, out: c.OutOrStdout(), notes: c.ErrOrStderr()}
	for r := range l.Reports() {
		if !t.print(r) {
			return nil // the reader has closed the pipe
		}
	}
	if !t.printed { // listening ended before the first report was due
		t.print(l.Report())
	}
	return nil
}

// A reportPrinter prints reports, and events of the network since the last one.
type reportPrinter struct {
	flags      *listenFlags
	listener   *link.Listener
	out, notes io.Writer
	printed    bool
	event      time.Time // time of the newest event printed
}

// print prints one report. It returns false when the reader has closed the output.
func (t *reportPrinter) print(r *protocol.Report) bool {
	s := traffic.Summarise(r, protocol.Ours{}, t.listener.Dropped(), protocol.Universe(t.flags.slots))
	var err error
	if t.flags.asJSON {
		err = json.NewEncoder(t.out).Encode(s)
	} else {
		_, err = fmt.Fprintln(t.out, s.Text()) // an empty line between two
	}
	for _, e := range t.listener.Events() {
		if e.At.After(t.event) {
			fmt.Fprintln(t.notes, e)
			t.event = e.At
		}
	}
	t.printed = true
	return err == nil
}
