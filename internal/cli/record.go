package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
)

// recordFlags are the flags of "ringout record".
type recordFlags struct {
	note          string
	entry         int
	adding, whole bool // the flags of that name were given
	compare, json bool
}

func newRecord() *cobra.Command {
	var f recordFlags
	c := &cobra.Command{
		Use:   "record FILE [ENTRY ENTRY]",
		Short: "The bench record of a prop: history, comparison, what is due",
		Long: "Show the bench record beside a prop file: every check-out and note, what is due for a\n" +
			"re-test, and what is the matter with the file. With --compare say what changed between\n" +
			"the last two check-outs, or between two of them by number; with --entry show one whole.",
		Example: `  ringout record porthole.toml
  ringout record porthole.toml --compare
  ringout record porthole.toml --compare 1 4
  ringout record porthole.toml --entry 4
  ringout record porthole.toml --note "resealed the outer ring"`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 1 || len(args) == 3 && f.compare {
				return nil
			}
			return wrong(c, errors.New("give one prop file, and after --compare the numbers of two entries or none"))
		},
		RunE: f.run,
	}
	c.Flags().StringVar(&f.note, "note", "", "add a note to the record")
	c.Flags().IntVar(&f.entry, "entry", 0, "show the entry of this number whole; 0 is the last")
	c.Flags().BoolVar(&f.compare, "compare", false, "what changed between two check-outs")
	c.Flags().BoolVar(&f.json, "json", false, "as JSON")
	return c
}

// check refuses flags that do not go together.
func (f *recordFlags) check(c *cobra.Command, path string) error {
	f.adding, f.whole = c.Flags().Changed("note"), c.Flags().Changed("entry")
	if prop, is := strings.CutSuffix(path, ".bench.jsonl"); is {
		return fmt.Errorf("%s is the bench record itself: name the prop file beside it, such as %s.toml", path, prop)
	}
	asked := 0
	for _, is := range []bool{f.adding, f.whole, f.compare} {
		if is {
			asked++
		}
	}
	switch {
	case asked > 1:
		return errors.New("give one of --note, --entry and --compare, not several")
	case f.adding && f.json:
		return errors.New("--note adds to the record and shows nothing: leave out --json")
	case f.adding && strings.TrimSpace(f.note) == "":
		return errors.New("the note is empty: write it after --note, in quotes")
	}
	return nil
}

func (f *recordFlags) run(c *cobra.Command, args []string) error {
	if err := f.check(c, args[0]); err != nil {
		return wrong(c, err)
	}
	p, doc, err := load(c, args[0])
	if err != nil {
		return err
	}
	file, out := record.Beside(args[0]), c.OutOrStdout()
	if f.adding {
		return addNote(c, file, p, f.note)
	}
	h, err := file.Read(p.Name)
	switch {
	case err != nil:
		return err
	case f.compare:
		return writeCompare(out, h, args[1:], f.json)
	case f.whole:
		return f.writeEntry(out, h)
	case f.json:
		return writeJSON(out, h)
	}
	_, err = fmt.Fprint(out, h.Text(doc.Text(), time.Now()))
	return err
}

func (f *recordFlags) writeEntry(out io.Writer, h record.History) error {
	e, err := h.Pick(f.entry)
	if err != nil {
		return err
	}
	if f.json {
		return writeJSON(out, e)
	}
	_, err = io.WriteString(out, e.WholeText())
	return err
}

func addNote(c *cobra.Command, file record.File, p *prop.Prop, note string) error {
	e := record.Entry{Kind: "note", At: time.Now().Truncate(time.Second), Prop: p.Name, Ringout: versionText(), Notes: note}
	if err := appendTo(c, file, e); err != nil {
		return err
	}
	_, err := fmt.Fprintln(c.OutOrStdout(), "Recorded in "+file.Path)
	return err
}

func writeJSON(out io.Writer, v any) error {
	enc := json.NewEncoder(out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// writeCompare says what changed from the earlier to the later of two
// check-outs.
func writeCompare(out io.Writer, h record.History, numbers []string, asJSON bool) error {
	from, to, err := h.LastTwo()
	if len(numbers) == 2 {
		from, to, err = pickTwo(h, numbers[0], numbers[1])
	}
	if err != nil {
		return err
	}
	if asJSON {
		return writeJSON(out, record.Compare(from, to))
	}
	_, err = io.WriteString(out, record.CompareText(from, to))
	return err
}

// pickTwo finds two check-outs by number, the earlier one first.
func pickTwo(h record.History, a, b string) (from, to record.Entry, err error) {
	var n [2]int
	for i, text := range []string{a, b} {
		if n[i], err = strconv.Atoi(text); err != nil || n[i] < 1 {
			return from, to, fmt.Errorf("%q is not the number of an entry: give one as \"ringout record\" lists them", text)
		}
		e, err := h.Pick(n[i])
		if err != nil {
			return from, to, err
		}
		if e.Kind != "check-out" {
			return from, to, fmt.Errorf("entry %d is a note: only check-outs can be compared", n[i])
		}
	}
	if n[0] == n[1] {
		return from, to, fmt.Errorf("entry %d was given twice: give two different check-outs", n[0])
	}
	from, err = h.Pick(min(n[0], n[1]))
	if err != nil {
		return from, to, err
	}
	to, err = h.Pick(max(n[0], n[1]))
	return from, to, err
}
