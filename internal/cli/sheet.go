package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/words"
)

// sheetFlags are the flags of "ringout sheet".
type sheetFlags struct {
	out, paper                  string
	csv, json, markdown, labels bool
}

func newSheet() *cobra.Command {
	var f sheetFlags
	c := &cobra.Command{
		Use:   "sheet FILE...",
		Short: "The bench sheet to hand over: drawing, addresses, power, verdict",
		Long: "Make a sheet a prop, its drawing and addresses in front, supply, verdict, labels and what\n" +
			"to buy on the back: as HTML that prints on A4 or Letter (several props get a page of\n" +
			"contents and one shopping list for all), as Markdown, as a plain table (CSV by RFC 4180,\n" +
			"or JSON), or as a label text for every run. The last check-out comes from the bench\n" +
			"record beside the prop file.",
		Example: `  ringout sheet porthole.toml
  ringout sheet *.toml --out harbour.html --paper letter
  ringout sheet *.toml --csv --out addresses.csv
  ringout sheet porthole.toml --labels --out -`,
		Args: atLeastOne("prop file"),
		RunE: f.run,
	}
	fl := c.Flags()
	fl.StringVar(&f.out, "out", "", "file to write, or - for standard output; empty names it after the prop")
	fl.StringVar(&f.paper, "paper", "", "a4 or letter; empty leaves it to the printer")
	fl.BoolVar(&f.markdown, "markdown", false, "Markdown instead of HTML")
	fl.BoolVar(&f.csv, "csv", false, "the address and run table as CSV")
	fl.BoolVar(&f.json, "json", false, "the address and run table as JSON")
	fl.BoolVar(&f.labels, "labels", false, "a label text for every run, a line each")
	return c
}

func (f *sheetFlags) run(c *cobra.Command, args []string) error {
	paper, err := paperOf(f.paper)
	if err != nil {
		return wrong(c, err)
	}
	if f.forms() > 1 {
		return wrong(c, errors.New("give one of --markdown, --csv, --json and --labels, not several"))
	}
	args = once(c, args)
	pages, missing, failed := f.read(c, args)
	if len(pages) == 0 {
		return errors.Join(failed...)
	}
	if err := f.give(c, paper, args, pages, missing); err != nil {
		return errors.Join(append(failed, err)...)
	}
	if n := len(failed); n > 0 {
		failed = append(failed, fmt.Errorf("%d of %s %s not in what was written: correct what stands above, then make it again",
			n, words.Count(len(args), "prop file"), words.Plural(n, "is", "are")))
	}
	return errors.Join(failed...)
}

// read reads every prop file. One that has a problem is left out, with its name and an error for it; the
// others are there.
func (f *sheetFlags) read(c *cobra.Command, paths []string) (out []record.Page, missing []string, failed []error) {
	for _, path := range paths {
		pg, err := f.page(c, path)
		if err != nil {
			missing, failed = append(missing, filepath.Base(path)), append(failed, err)
			continue
		}
		out = append(out, pg)
	}
	return out, missing, failed
}

// page is what the sheet has of a prop file; a table has its addresses only.
func (f *sheetFlags) page(c *cobra.Command, path string) (record.Page, error) {
	props, err := loadAll(c, []string{path})
	if err != nil {
		return record.Page{}, err
	}
	p := props[0]
	if f.table() {
		rows, err := prop.RowsFor(p)
		return record.Page{Prop: p, Rows: rows}, err
	}
	h, err := record.Beside(path).Read(p.Name)
	if err != nil {
		return record.Page{}, err
	}
	pg, err := record.NewPage(p, h, time.Now(), versionText())
	if err != nil {
		return pg, fmt.Errorf("%s: %w", path, err)
	}
	return pg, nil
}

// table reports whether addresses and runs alone are asked for.
func (f *sheetFlags) table() bool { return f.csv || f.json || f.labels }

// give writes what was asked for to where it was asked for.
func (f *sheetFlags) give(c *cobra.Command, paper record.Paper, args []string, pages []record.Page, missing []string) error {
	sayCollisions(c, propsOf(pages))
	var text bytes.Buffer
	if err := f.write(&text, paper, record.Season{Pages: pages, Missing: missing}); err != nil {
		return err
	}
	out := f.out
	if out == "" && f.table() {
		out = "-"
	}
	if out == "-" {
		_, err := c.OutOrStdout().Write(text.Bytes())
		return err
	}
	if out == "" {
		out = f.name(args)
	}
	if err := prop.WriteFile(out, text.Bytes()); err != nil {
		return fmt.Errorf("the sheet can't be written: %w", err)
	}
	fmt.Fprintln(c.OutOrStdout(), "Wrote "+out)
	return nil
}

// sayCollisions warns of props that use the same slots, whatever form the sheets have.
func sayCollisions(c *cobra.Command, props []*prop.Prop) {
	all := prop.Collisions(props)
	if len(all) == 0 {
		return
	}
	more := ""
	if n := len(all) - 1; n > 0 {
		more = fmt.Sprintf("; %d more like it: ringout plan with these files names them all", n)
	}
	fmt.Fprintf(c.ErrOrStderr(), "ringout: %s%s\n", all[0].Say(props), more)
}

// forms counts the formats other than HTML that were asked for.
func (f *sheetFlags) forms() (n int) {
	for _, is := range []bool{f.markdown, f.csv, f.json, f.labels} {
		if is {
			n++
		}
	}
	return n
}

// name is the default name of the sheet's file.
func (f *sheetFlags) name(args []string) string {
	out := record.SheetBeside(args[0])
	if len(args) > 1 {
		out = filepath.Join(filepath.Dir(args[0]), "bench.sheet.html")
	}
	if f.markdown {
		out = strings.TrimSuffix(out, ".html") + ".md"
	}
	return out
}

func paperOf(s string) (record.Paper, error) {
	switch strings.ToLower(s) {
	case "":
		return record.AnyPaper, nil
	case "a4":
		return record.A4, nil
	case "letter":
		return record.Letter, nil
	}
	return "", fmt.Errorf("--paper %q is not known: give a4 or letter", s)
}

func propsOf(pages []record.Page) (out []*prop.Prop) {
	for _, pg := range pages {
		out = append(out, pg.Prop)
	}
	return out
}

func (f *sheetFlags) write(w io.Writer, paper record.Paper, season record.Season) error {
	switch {
	case f.table():
		return f.writeTable(w, season.Pages)
	case f.markdown:
		_, err := io.WriteString(w, season.Markdown())
		return err
	}
	return season.WriteHTML(w, paper)
}

func (f *sheetFlags) writeTable(w io.Writer, pages []record.Page) error {
	var rows []prop.Row
	bulbs := map[string]bool{}
	for _, pg := range pages {
		rows = append(rows, pg.Rows...)
		bulbs[pg.Prop.Name] = pg.Prop.Bulb()
	}
	switch {
	case f.csv:
		return prop.WriteCSV(w, rows)
	case f.json:
		return prop.WriteJSON(w, rows)
	}
	for _, r := range rows {
		fmt.Fprintln(w, record.Label(r, bulbs[r.Prop]))
	}
	return nil
}
