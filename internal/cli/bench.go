package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/settings"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/strip/node"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui"
	"example.org/ringout/tui/setup"
)

// benchFlags are those of "ringout FILE".
type benchFlags struct {
	own      *identity
	simulate bool
	version  bool
	sim      simFlags
}

func (f *benchFlags) add(c *cobra.Command) {
	c.Flags().BoolVar(&f.simulate, "simulate", false, "put a simulated prop under the file, with its faults, meter and flicker; nothing is recorded")
	// The library's own flag would link text/template, and with it every exported method.
	c.Flags().BoolVar(&f.version, "version", false, "version for ringout")
	f.sim.add(c)
}

// open is "ringout" and "ringout FILE".
func (f *benchFlags) open(c *cobra.Command, args []string) error {
	if f.version {
		_, err := fmt.Fprintln(c.OutOrStdout(), "ringout "+versionText())
		return err
	}
	cfg := f.own.benchConfig()
	if len(args) == 1 {
		if err := openFile(c, &cfg, args[0]); err != nil {
			return err
		}
	}
	switch {
	case f.simulate && cfg.Prop == nil:
		return wrong(c, errors.New("--simulate without a prop file: give one, or open ringout demo"))
	case f.simulate:
		b, again, err := f.sim.bench(f.own, cfg.Prop)
		if err != nil {
			return wrong(c, err)
		}
		return runSimulated(c, cfg, b, again)
	case f.sim.fault != "" || f.sim.seed != 0:
		return wrong(c, errors.New("--fault and --seed are for a simulated prop: add --simulate"))
	}
	b := &demoBench{own: f.own, whole: cfg.Prop}
	b.serve(&cfg)
	cfg.Simulate, cfg.Listen = b.turn, listenToAll
	return tui.Run(c.Context(), cfg)
}

// openFile opens the prop of a file on the bench.
func openFile(c *cobra.Command, cfg *tui.Config, path string) (err error) {
	cfg.Path = path
	cfg.Prop, cfg.Document, err = load(c, path)
	return err
}

// benchConfig is the configuration that both benches, real and demo, share.
func (own *identity) benchConfig() tui.Config {
	cfg := tui.Config{Version: versionText(), Notify: func(s string) { fmt.Fprintln(os.Stderr, "ringout: "+s) }, Resolve: func(ctx context.Context, host string) error {
		_, err := link.Resolve(ctx, host)
		return err
	}}
	if list, err := link.Interfaces(); err == nil { // without a list the form accepts any name
		for _, i := range list {
			cfg.Interfaces = append(cfg.Interfaces, i.Name)
		}
	}
	cfg.Source, cfg.Rename = own.sourceName(), own.rename
	folder, err := settings.Default()
	if err != nil {
		return cfg
	}
	cfg.Setup, cfg.Folder, cfg.Spare = lastSetup(folder), string(folder), string(folder)
	cfg.Seen, cfg.See = folder.Mark("cautions-read"), func() { _ = folder.SetMark("cautions-read", true) } // if this fails, the cautions are shown again next time
	cfg.Still, cfg.SetStill = folder.Mark("no-motion"), func(still bool) { _ = folder.SetMark("no-motion", still) }
	cfg.SaveSetup = func(v setup.Values) error {
		text, err := json.MarshalIndent(v, "", "  ")
		if err != nil {
			return err
		}
		return folder.Write("setup.json", append(text, '\n'))
	}
	return cfg
}

// lastSetup reads the last values of the form. If the file can't be read the
// form starts with its defaults.
func lastSetup(folder settings.Folder) (v setup.Values) {
	text, err := folder.Read("setup.json")
	if errors.Is(err, fs.ErrNotExist) || json.Unmarshal(text, &v) != nil {
		return setup.Values{}
	}
	return v
}

// listenToAll listens to the announced universes, for the Traffic page of a
// bench without a prop.
func listenToAll(ctx context.Context) (*link.Listener, error) {
	return link.Listen(ctx, link.ListenConfig{Discover: true})
}

// connectReal drives a prop over the network.
func (own *identity) connectReal(ctx context.Context, p *prop.Prop) (tui.Show, error) {
	return own.connect(ctx, p, nil)
}

// connect starts the show of a prop. node, when not nil, is the simulated
// prop; it is closed after the show.
func (own *identity) connect(ctx context.Context, p *prop.Prop, node *node.Node) (tui.Show, error) {
	sender, err := own.open(p, sending{})
	if err != nil {
		return nil, err
	}
	s, err := show.New(show.Config{Prop: p, Out: sender})
	if err != nil {
		return nil, errors.Join(err, sender.Close(ctx))
	}
	if node == nil {
		return tui.WithTraffic(tui.Start(s, nil, nil), sender), nil
	}
	return tui.WithTraffic(tui.Start(s, node.Updates(), node.Close), sender), nil
}

// simulate starts a simulated prop on a free port of 127.0.0.1 and moves the
// prop's address there.
func simulate(ctx context.Context, p *prop.Prop, faults []strip.Fault) (*prop.Prop, *node.Node, error) {
	moved := *p
	moved.Address.Host, moved.Address.Interface = "127.0.0.1", ""
	node, err := node.Start(ctx, &moved, node.Options{Addr: "127.0.0.1:0", Faults: faults})
	if err != nil {
		return nil, nil, fmt.Errorf("the simulated prop can't listen: %w", err)
	}
	moved.Address.Port = node.Port()
	return &moved, node, nil
}
