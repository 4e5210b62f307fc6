package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
)

// takeOver shows where a check-out contradicts the prop file, and changes the
// file on request. Where another cause looks the same, the user has to write it.
func (f *checkFlags) takeOver(c *cobra.Command, path string, doc *prop.Document, built single.AsBuilt) error {
	next, err := doc.TakeOver(built.Found)
	if err != nil {
		return fmt.Errorf("what was found can't be written into %s: %w", path, err)
	}
	if next.Text() == doc.Text() {
		return nil
	}
	out := c.ErrOrStderr()
	fmt.Fprintf(out, "ringout: as built, %s would say:\n", path)
	writeChanges(out, doc.Text(), next.Text())
	if built.Doubt != "" {
		fmt.Fprintf(out, "ringout: nothing was written. %s\n", built.Doubt)
		return nil
	}
	if !f.takesOver {
		fmt.Fprintln(out, "ringout: mend the prop, or write this into the file with --take-over")
		return nil
	}
	if err := next.Save(path); err != nil {
		return fmt.Errorf("what was found can't be written: %w", err)
	}
	fmt.Fprintf(out, "ringout: wrote %s\n", path)
	return nil
}

// writeChanges says what the file says now and what it would say, a line for each.
func writeChanges(out io.Writer, before, after string) {
	for _, c := range prop.Changes(before, after) {
		fmt.Fprintf(out, "  %s\n", c.Says("now", "then"))
	}
}
