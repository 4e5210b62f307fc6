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

// simFlags are the flags of a simulated prop.
type simFlags struct {
	fault string
	seed  uint64
}

func (f *simFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&f.fault, "fault", "", "fault to put into the simulated prop, several with commas between, or \"random\"; ringout strip --help has the list")
	c.Flags().Uint64Var(&f.seed, "seed", 0, "seed of the random fault; 0 takes the clock, and the end says which it was")
}

// bench makes the simulated bench of a prop, and the two lines for its end.
func (f *simFlags) bench(own *identity, p *prop.Prop) (b *demoBench, again string, err error) {
	faults, again, err := f.faults(p)
	if err != nil {
		return nil, "", err
	}
	return &demoBench{own: own, whole: p, faults: faults}, again, nil
}

// faults are those put into a prop, with two lines that say how a random one is shown again.
func (f *simFlags) faults(p *prop.Prop) (faults []strip.Fault, again string, err error) {
	switch f.fault {
	case "":
		return nil, "", nil
	case "random":
		if f.seed == 0 {
			f.seed = uint64(time.Now().UnixNano())%seeds + 1
		}
		fault := strip.Random(p, f.seed)
		return []strip.Fault{fault}, fmt.Sprintf("the random fault was %v\n--fault random --seed %d shows it again", fault, f.seed), nil
	}
	if faults, err = strip.ParseFaults(f.fault, p); err != nil {
		return nil, "", fmt.Errorf("--fault: %w", err)
	}
	return faults, "", nil
}

// seeds limits random seeds to six digits, short enough to type.
const seeds = 1_000_000

func newDemo(own *identity) *cobra.Command {
	var name string
	var f simFlags
	c := &cobra.Command{
		Use:   "demo",
		Short: "The bench on a simulated prop, no hardware needed",
		Long: "Open the bench on a simulated prop that really listens on 127.0.0.1: what it would\n" +
			"light is drawn beside what it should. With --fault something is wrong with it, and\n" +
			"the check-out can be tried on it: all of it, the flex test, the load test with a\n" +
			"voltmeter that reads the simulated copper, and a run or part alone. A fault such as\n" +
			"\"resistance run 2 by 1000\" is one for the load test. ringout FILE --simulate does\n" +
			"the same with a prop file of yours.",
		Example: `  ringout demo
  ringout demo --prop pennant
  ringout demo --fault "open-joint pixel 37"
  ringout demo --prop pennant --fault "resistance run 2 by 800"
  ringout demo --fault random --seed 7`,
		Args: exactly(0, "no argument; choose the prop with --prop"),
		RunE: func(c *cobra.Command, _ []string) error {
			p, err := demoProp(name)
			if err != nil {
				return wrong(c, err)
			}
			b, again, err := f.bench(own, p)
			if err != nil {
				return wrong(c, err)
			}
			cfg := own.benchConfig()
			cfg.Folder = ""
			_, cfg.Document, _ = prop.Parse([]byte(prop.DemoFile(strings.ReplaceAll(typed(p.Name), "-", ""))), p.Name)
			cfg.Prop = p
			return runSimulated(c, cfg, b, again)
		},
	}
	c.Flags().StringVar(&name, "prop", "porthole", "simulated prop: "+strings.Join(demoNames(), ", "))
	f.add(c)
	return c
}

// runSimulated opens the bench on a simulated prop. Nothing is saved: neither
// its address as the last set-up nor its check-out in the prop's record.
func runSimulated(c *cobra.Command, cfg tui.Config, b *demoBench, again string) error {
	b.on = true
	b.serve(&cfg)
	cfg.SaveSetup, cfg.Path, cfg.Folder = nil, "", ""
	cfg.Hidden, cfg.Faulty = b.faults, true
	err := tui.Run(c.Context(), cfg)
	return shownAgain(c, again, err)
}

// shownAgain says at an end without an error how a random fault is shown again.
func shownAgain(c *cobra.Command, again string, err error) error {
	if err == nil && again != "" {
		fmt.Fprintln(c.ErrOrStderr(), "ringout: "+again)
	}
	return err
}

// demoNames lists the demo props as typed: lower case, dashes for spaces.
func demoNames() (names []string) {
	for _, n := range prop.DemoNames() {
		names = append(names, typed(n))
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
