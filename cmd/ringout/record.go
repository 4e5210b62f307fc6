package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
)

func newRecord() *cobra.Command {
	var note string
	var compare, asJSON bool
	c := &cobra.Command{
		Use:   "record FILE [ENTRY ENTRY]",
		Short: "The bench record of a prop: history, comparison, what is due",
		Long: "Show the bench record beside a prop file: every check-out and note, what is due for a\n" +
			"re-test, and what is the matter with the file. With --compare say what changed between\n" +
			"the last two check-outs, or between two entries by number.",
		Example: `  ringout record porthole.toml
  ringout record porthole.toml --compare
  ringout record porthole.toml --compare 1 4
  ringout record porthole.toml --note "resealed the outer ring"`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 1 || len(args) == 3 && compare {
				return nil
			}
			return wrong(c, errors.New("give one prop file, and after --compare the numbers of two entries or none"))
		},
		RunE: func(c *cobra.Command, args []string) error {
			p, doc, err := prop.Load(args[0])
			if err != nil {
				return err
			}
			file := record.Beside(args[0])
			if note != "" {
				return addNote(c.OutOrStdout(), file, p, note)
			}
			h, err := file.Read(p.Name)
			if err != nil {
				return err
			}
			switch {
			case compare:
				return writeCompare(c, h, args[1:], asJSON)
			case asJSON:
				return writeJSON(c.OutOrStdout(), h)
			}
			fmt.Fprint(c.OutOrStdout(), h.Text(doc.Text(), time.Now()))
			return nil
		},
	}
	c.Flags().StringVar(&note, "note", "", "add a note to the record")
	c.Flags().BoolVar(&compare, "compare", false, "what changed between two check-outs")
	c.Flags().BoolVar(&asJSON, "json", false, "as JSON")
	return c
}

func addNote(out io.Writer, file record.File, p *prop.Prop, note string) error {
	e := record.Entry{Kind: "note", At: time.Now().Truncate(time.Second), Prop: p.Name, Ringout: versionText(), Notes: note}
	if err := file.Append(e); err != nil {
		return err
	}
	fmt.Fprintln(out, "Recorded in "+file.Path)
	return nil
}

func writeJSON(out io.Writer, v any) error {
	enc := json.NewEncoder(out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

func writeCompare(c *cobra.Command, h record.History, numbers []string, asJSON bool) error {
	from, to, err := h.LastTwo()
	if len(numbers) == 2 {
		from, err = pick(h, numbers[0])
		if err == nil {
			to, err = pick(h, numbers[1])
		}
	}
	if err != nil {
		return err
	}
	changes := record.Compare(from, to)
	if asJSON {
		return writeJSON(c.OutOrStdout(), changes)
	}
	out := c.OutOrStdout()
	fmt.Fprintf(out, "From %s to %s:\n", from.At.Format("2 January 2006 15:04"), to.At.Format("2 January 2006 15:04"))
	for _, ch := range changes {
		mark := "  "
		if ch.Worse {
			mark = "! "
		}
		fmt.Fprintln(out, mark+ch.Text)
	}
	if len(changes) == 0 {
		fmt.Fprintln(out, "  nothing changed in what both of them checked")
	}
	return nil
}

func pick(h record.History, number string) (record.Entry, error) {
	n, err := strconv.Atoi(number)
	if err != nil || n < 1 {
		return record.Entry{}, fmt.Errorf("%q is not the number of an entry: give one as \"ringout record\" lists them", number)
	}
	return h.Pick(n)
}
