package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"runtime/debug"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"example.org/ringout/internal/plan"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/settings"
)

// planFlags are the flags of "ringout plan".
type planFlags struct {
	level             float64
	json, csv, asList bool
	prices            string
	sign              routeFlags
}

func newPlan() *cobra.Command {
	var f planFlags
	c := &cobra.Command{
		Use:   "plan FILE...",
		Short: "Counts, cuts, addresses and power of props, before anything is soldered",
		Long: "Work out what a prop file leads to: how many pixels fit, what to cut from which\n" +
			"reel, where to drill, joints and wire, the universe and slot of every run, the\n" +
			"current, the fuses, and how low the voltage falls. With several files also\n" +
			"collisions between them and the next free slot. Colour is full white.\n\n" +
			"For a sign (a plate of holes for a string of pixels) also which hole gets which\n" +
			"number: on the screen, with --route written into the file, with --pages drawn true\n" +
			"to scale from the front and from the back, to print and tape to the plate.",
		Example: `  ringout plan porthole.toml
  ringout plan *.toml --csv > addresses.csv
  ringout plan porthole.toml --level 30 --json
  ringout plan *.toml --list
  ringout plan moorings.toml --route --pages`,
		Args: atLeastOne("prop file"),
		RunE: f.run,
	}
	c.Flags().Float64Var(&f.level, "level", 100, "level in percent at which power is worked out")
	c.Flags().BoolVar(&f.json, "json", false, "everything as JSON; lengths in metres")
	c.Flags().BoolVar(&f.csv, "csv", false, "the address table as CSV (RFC 4180)")
	c.Flags().BoolVar(&f.asList, "list", false, "one shopping list over all props instead; also with --csv and --json")
	c.Flags().StringVar(&f.prices, "prices", "", "file with a price each for the list")
	f.sign.add(c.Flags())
	return c
}

func (f *planFlags) run(c *cobra.Command, args []string) error {
	if err := onlyOne(c, "json", "csv"); err != nil {
		return err
	}
	err := refuse(c,
		flagConflict{!(f.level >= 0 && f.level <= 100), fmt.Sprintf("--level %g: give 0 to 100 percent", f.level)},
		flagConflict{f.prices != "" && !f.asList, "--prices is for the shopping list: give --list as well"})
	if err != nil {
		return err
	}
	debug.SetGCPercent(400) // the program ends after one plan: this saves a tenth of the time on 50,000 runs
	props, err := f.sign.load(c, once(c, args))
	if err != nil {
		return err
	}
	if f.asList {
		return printList(c, props, f.prices, f.json, f.csv)
	}
	together := plan.Together(props)
	switch {
	case f.csv:
		err = together.WriteCSV(c.OutOrStdout(), props)
	case f.json:
		err = planJSON(c, props, together, f.level/100, f.sign.laid)
	default:
		err = planText(c, props, together, f.level/100, f.sign.laid)
	}
	if err == nil && together.Collide() {
		return errors.New("props collide: two of them use the same slots of one host; move one of them")
	}
	return err
}

// loadAll reads every file and reports the problems of all of them, and their
// unsaved changes.
func loadAll(c *cobra.Command, paths []string) ([]*prop.Prop, error) {
	return loadEach(c, paths, func(_ string, p *prop.Prop, _ *prop.Document, err error) (*prop.Prop, error) { return p, err })
}

// loadEach is loadAll with a function for each file: take returns the prop to
// use.
func loadEach(c *cobra.Command, paths []string, take func(string, *prop.Prop, *prop.Document, error) (*prop.Prop, error)) ([]*prop.Prop, error) {
	var props []*prop.Prop
	var errs []error
	folder, _ := settings.Default() // without one, unsaved changes are beside the files
	for _, path := range paths {
		if u := prop.FindUnsaved(path, string(folder)); u != nil {
			fmt.Fprintf(c.ErrOrStderr(), "ringout: changes of %s were not saved and are not in this: they wait in %s, and ringout %s offers them\n",
				u.At.Format("2 January 15:04"), u.File, path)
		}
		p, doc, err := load(c, path)
		if p, err = take(path, p, doc, err); err != nil {
			errs = append(errs, err)
			continue
		}
		for _, d := range doc.Doubts() {
			fmt.Fprintln(c.ErrOrStderr(), "ringout: doubtful: "+d.Error())
		}
		props = append(props, p)
	}
	return props, errors.Join(errs...)
}

func planText(c *cobra.Command, props []*prop.Prop, together plan.PropSet, level float64, laid map[*prop.Prop]*plan.StringPlan) error {
	width := 100
	if w, _, err := term.GetSize(int(os.Stdout.Fd())); err == nil && w > 0 {
		width = min(w, 120)
	}
	for _, p := range props {
		pl, err := plan.For(p, level, power.FullWhite())
		if err != nil {
			return fmt.Errorf("%s: %w", p.Name, err)
		}
		pl.String = laid[p]
		fmt.Fprintln(c.OutOrStdout(), pl.Text(width))
	}
	if len(props) > 1 {
		fmt.Fprint(c.OutOrStdout(), together.Text(width))
	}
	return nil
}

func planJSON(c *cobra.Command, props []*prop.Prop, together plan.PropSet, level float64, laid map[*prop.Prop]*plan.StringPlan) error {
	out := struct {
		Props []plan.JSON `json:"props"`
		plan.PropSet
	}{PropSet: together}
	for _, p := range props {
		pl, err := plan.For(p, level, power.FullWhite())
		if err != nil {
			return fmt.Errorf("%s: %w", p.Name, err)
		}
		pl.String = laid[p]
		out.Props = append(out.Props, pl.JSON())
	}
	enc := json.NewEncoder(c.OutOrStdout())
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(out)
}

// atLeastOne wants one argument or more.
func atLeastOne(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) == 0 {
			return wrong(c, fmt.Errorf("no %s given: give one or more", what))
		}
		return nil
	}
}
