package cli

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/tui"
)

func newDemo() *cobra.Command {
	var name, fault string
	c := &cobra.Command{
		Use:   "demo",
		Short: "The bench on a simulated prop, no hardware needed",
		Long: "Open the bench on a simulated prop that really listens on 127.0.0.1: what it would\n" +
			"light is drawn beside what it should. With --fault something is wrong with it, and\n" +
			"the check-out can be tried on it: all of it, the flex test, the load test with a\n" +
			"voltmeter that reads the simulated copper, and a run or part alone. A fault such as\n" +
			"\"resistance run 2 by 1000\" is one for the load test.",
		Example: `  ringout demo
  ringout demo --prop pennant
  ringout demo --fault "open-joint pixel 37"
  ringout demo --prop pennant --fault "resistance run 2 by 800"
  ringout demo --fault random`,
		Args: exactly(0, "no argument; choose the prop with --prop"),
		RunE: func(c *cobra.Command, _ []string) error {
			p, err := demoProp(name)
			if err != nil {
				return wrong(c, err)
			}
			faults, err := demoFault(p, fault, 0)
			if err != nil {
				return wrong(c, err)
			}
			cfg := benchConfig(c.Context())
			cfg.SaveSetup = nil // the demo's address is no one's last set-up
			cfg.Prop, cfg.Folder = p, ""
			cfg.Hidden, cfg.Faulty = faults, true
			_, cfg.Document, _ = prop.Parse([]byte(prop.DemoFile(strings.ReplaceAll(typed(p.Name), "-", ""))), p.Name)
			b := &demoBench{whole: p, faults: faults}
			cfg.Mend, cfg.Lay, cfg.Connect = b.mend, b.lay, b.connect
			return tui.Run(c.Context(), cfg)
		},
	}
	c.Flags().StringVar(&name, "prop", "porthole", "simulated prop: "+strings.Join(demoNames(), ", "))
	c.Flags().StringVar(&fault, "fault", "", "fault to put into it, or \"random\"; see ringout strip --help for the list")
	return c
}

// demoNames are the demo props as typed: lower case, dashes for spaces.
func demoNames() (names []string) {
	for _, p := range prop.Demos() {
		names = append(names, typed(p.Name))
	}
	return names
}

func typed(name string) string { return strings.ReplaceAll(strings.ToLower(name), " ", "-") }

func demoProp(name string) (*prop.Prop, error) {
	props := prop.Demos()
	i := slices.IndexFunc(props, func(p *prop.Prop) bool { return typed(p.Name) == typed(name) })
	if i < 0 {
		return nil, fmt.Errorf("--prop %q is not a demo prop: give one of %s", name, strings.Join(demoNames(), ", "))
	}
	return props[i], nil
}

// demoFault reads a fault as typed; none when text is empty. Seed 0 draws a
// random one by the clock.
func demoFault(p *prop.Prop, text string, seed uint64) ([]strip.Fault, error) {
	switch text {
	case "":
		return nil, nil
	case "random":
		if seed == 0 {
			seed = uint64(time.Now().UnixNano())
		}
		return []strip.Fault{strip.Random(p, seed)}, nil
	}
	f, err := strip.ParseFault(text, p)
	if err != nil {
		return nil, fmt.Errorf("--fault: %w", err)
	}
	return []strip.Fault{f}, nil
}
