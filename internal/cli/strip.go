package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/netip"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/strip/node"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/simulated"
)

// stripFlags are the flags of "ringout strip".
type stripFlags struct {
	name, listen, iface string
	sim                 simFlags
	dark, json          bool
}

func newStrip() *cobra.Command {
	var f stripFlags
	c := &cobra.Command{
		Use:   "strip [FILE]",
		Short: "Run a simulated prop alone, for any E1.31 source",
		Long: "Run a simulated prop in this terminal. It listens on UDP as a controller would and\n" +
			"draws what it lights; any E1.31 source can drive it. With --json it writes a line\n" +
			"for every change instead.\n\nFaults that can be put in:\n" + faultList(),
		Example: `  ringout strip --listen 127.0.0.1:5568
  ringout strip porthole.toml --interface eth0
  ringout strip --prop pennant --fault "dead-channel pixel 97 colour blue"
  ringout strip --json --fault random --seed 7`,
		Args: atMostOne("prop file"),
		RunE: f.run,
	}
	fl := c.Flags()
	fl.StringVar(&f.name, "prop", "porthole", "demo prop when no file is given: "+strings.Join(demoNames(), ", "))
	f.sim.add(c)
	fl.StringVar(&f.listen, "listen", "", "address and port to listen on; without it 127.0.0.1 and the file's port, with --interface any address")
	fl.StringVar(&f.iface, "interface", "", "join the multicast groups of its universes on this interface")
	fl.BoolVar(&f.dark, "dark", false, "go dark when the stream ends, instead of holding the last look")
	fl.BoolVar(&f.json, "json", false, "a JSON line for every change of light, on standard output")
	return c
}

func faultList() string {
	var b strings.Builder
	for _, s := range strip.Samples() {
		fmt.Fprintf(&b, "  %s\n", s)
	}
	return b.String()
}

func (f *stripFlags) run(c *cobra.Command, args []string) error {
	p, err := f.prop(c, args)
	if err != nil {
		return err
	}
	faults, again, err := f.sim.faults(p)
	if err != nil {
		return wrong(c, err)
	}
	if err := f.checkListen(); err != nil {
		return wrong(c, err)
	}
	ctx, stop := context.WithCancel(c.Context())
	defer stop()
	n, err := node.Start(ctx, p, node.Options{Addr: f.listen, Interface: f.iface, Faults: faults, Dark: f.dark})
	if err != nil {
		return err
	}
	defer n.Close()
	if f.json {
		return shownAgain(c, again, writeLooks(ctx, n, c.OutOrStdout()))
	}
	return shownAgain(c, again, simulated.Run(ctx, n, fmt.Sprintf("%v, universe %d, slot %d on", n.Addr(), p.Address.Universe, p.Address.Slot+1)))
}

// checkListen refuses an address that receives no multicast: a socket bound to
// one address of the machine does not receive groups (ip(7)).
func (f *stripFlags) checkListen() error {
	at, err := netip.ParseAddrPort(f.listen)
	if f.iface == "" || err != nil || at.Addr().IsUnspecified() {
		return nil
	}
	return fmt.Errorf("--listen %s together with --interface hears no multicast: leave one out, or give 0.0.0.0 as the address", f.listen)
}

func (f *stripFlags) prop(c *cobra.Command, args []string) (*prop.Prop, error) {
	if len(args) == 0 {
		return demoProp(f.name)
	}
	p, _, err := load(c, args[0])
	return p, err
}

// A lookLine is one change of light. Pixels are written in hex, two digits a
// channel: red, green, blue, white, cool white.
type lookLine struct {
	Serial uint64              `json:"serial"`
	Listen string              `json:"listen"`
	Driven bool                `json:"driven"` // a source drives the prop
	Ended  bool                `json:"ended"`  // every universe has received three terminated packets and no source drives any
	Lit    int                 `json:"lit"`
	Light  map[string][]string `json:"light"` // run name to its pixels, counted from the data end
}

// writeLooks writes one line per look until ctx ends.
func writeLooks(ctx context.Context, n *node.Node, out io.Writer) error {
	enc := json.NewEncoder(out)
	for {
		look := n.Look()
		line := lookLine{Serial: look.Serial, Listen: n.Addr().String(), Driven: look.Driven, Lit: look.Light.Lit(),
			Ended: n.History().Ended(), Light: map[string][]string{}}
		for r, run := range look.Light {
			line.Light[n.Prop().Runs[r].Name] = hexPixels(run)
		}
		if err := enc.Encode(line); err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			return nil
		case <-n.Done():
			return nil
		case <-n.Updates():
		}
	}
}

func hexPixels(run []patterns.Colour) []string {
	out := make([]string, len(run))
	for i, c := range run {
		out[i] = fmt.Sprintf("%x", []byte{c.R, c.G, c.B, c.W, c.C})
	}
	return out
}
