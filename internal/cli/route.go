package cli

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"example.org/ringout/internal/plan"
	"example.org/ringout/internal/prop"
)

// routeFlags are the flags of "ringout plan" for the string of a sign, and the
// routes found.
type routeFlags struct {
	write, replace bool
	pages, paper   string
	laid           map[*prop.Prop]*plan.StringPlan
}

func (f *routeFlags) add(fl *pflag.FlagSet) {
	fl.BoolVar(&f.write, "route", false, "write the route of a sign's string into its file, as run and parts")
	fl.BoolVar(&f.replace, "replace", false, "with --route and --pages: in place of what was written before")
	fl.StringVar(&f.pages, "pages", "", "write the sign true to scale, front and back, to print: to this file or beside the prop file")
	fl.Lookup("pages").NoOptDefVal = besideTheFile
	fl.StringVar(&f.paper, "paper", "", "paper of --pages: a4 or letter; empty fits both")
}

// besideTheFile is the value of --pages without a name.
const besideTheFile = "NAME.route.html"

// load reads every file and finds the route of each sign's string. Nothing is
// written if any file has a problem.
func (f *routeFlags) load(c *cobra.Command, paths []string) ([]*prop.Prop, error) {
	paper, err := paperOf(f.paper)
	if err != nil {
		return nil, wrong(c, err)
	}
	err = refuse(c,
		flagConflict{f.replace && !f.write && f.pages == "", "--replace alone replaces nothing: give it with --route or --pages"},
		flagConflict{f.pages != "" && f.pages != besideTheFile && len(paths) > 1, "--pages names one file for several props: leave the name out"})
	if err != nil {
		return nil, err
	}
	f.laid = map[*prop.Prop]*plan.StringPlan{}
	var writes []func() error
	props, err := loadEach(c, paths, func(path string, p *prop.Prop, doc *prop.Document, err error) (*prop.Prop, error) {
		sp, routed, err := f.lay(p, doc, err)
		if err != nil || sp == nil {
			return p, err
		}
		f.laid[sp.Prop] = sp
		if f.write {
			writes = append(writes, func() error { return saveRoute(c, path, routed) })
		} else if !sp.InFile {
			fmt.Fprintf(c.ErrOrStderr(), "ringout: the route of %s is not in the file yet: \"ringout plan %s --route\" writes it\n", path, path)
		}
		if f.pages != "" {
			writes = append(writes, func() error { return f.savePages(c, path, string(paper), sp) })
		}
		return sp.Prop, nil
	})
	if err != nil {
		return nil, err
	}
	for _, w := range writes {
		if err := w(); err != nil {
			return nil, err
		}
	}
	return props, nil
}

// lay finds the route of a file's string. It returns nil for a file without a
// sign, and for one whose run is not a route of the sign, unless a route is
// asked for.
func (f *routeFlags) lay(p *prop.Prop, doc *prop.Document, err error) (*plan.StringPlan, *prop.Document, error) {
	asked := f.write || f.pages != ""
	if err = prop.ButForTheRoute(err); doc == nil || doc.Sign() == nil {
		if err == nil && asked {
			err = fmt.Errorf("%s has no [sign], so there is no route to find: leave --route and --pages out", doc.Name())
		}
		return nil, nil, err
	}
	if p != nil && !f.write {
		if _, ok := prop.RouteOf(p); !ok {
			return nil, nil, strayRun(doc, asked)
		}
	}
	sp, routed, layErr := plan.LayString(doc, f.write && f.replace)
	if err != nil {
		return nil, nil, errors.Join(err, onlyProblems(layErr))
	}
	if layErr == nil && f.write && sp.InFile && !f.replace {
		_, layErr = doc.WithRoute(sp.Route, false) // its error says that the run stays
	}
	return sp, routed, layErr
}

// strayRun refuses to draw a route that the file does not have. Without --pages
// the file's own warning is enough.
func strayRun(doc *prop.Document, asked bool) error {
	if !asked {
		return nil
	}
	return fmt.Errorf("%s: its run is not the route of its sign, so there is nothing to draw: add --route --replace for a new one", doc.Name())
}

// onlyProblems removes from an error what follows from problems that the file
// has anyway.
func onlyProblems(err error) error {
	var p prop.Problems
	if errors.As(err, &p) && len(p) == 1 && strings.HasPrefix(p[0].Key, "sign") {
		return p
	}
	return nil
}

func saveRoute(c *cobra.Command, path string, doc *prop.Document) error {
	if err := doc.Save(path); err != nil {
		return err
	}
	fmt.Fprintf(c.ErrOrStderr(), "ringout: wrote the route into %s\n", path)
	return nil
}

// savePages writes the drawings. An existing file of that name that ringout did
// not write stays unchanged.
func (f *routeFlags) savePages(c *cobra.Command, path, paper string, sp *plan.StringPlan) error {
	out := f.pages
	if out == besideTheFile {
		out = strings.TrimSuffix(path, filepath.Ext(path)) + ".route.html"
	}
	var b bytes.Buffer
	if err := sp.WritePages(&b, paper); err != nil {
		return err
	}
	if out == "-" {
		_, err := c.OutOrStdout().Write(b.Bytes())
		return err
	}
	if old, err := os.ReadFile(out); err == nil && !f.replace && !bytes.Contains(old, []byte(plan.PagesMark)) {
		return fmt.Errorf("%s is there already and holds something else, so it stays: name another file, or add --replace", out)
	}
	if err := prop.WriteFile(out, b.Bytes()); err != nil {
		return fmt.Errorf("the drawings cannot be written: %w", err)
	}
	fmt.Fprintf(c.ErrOrStderr(), "ringout: wrote %s\n", out)
	return nil
}
