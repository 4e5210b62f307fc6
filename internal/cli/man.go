package cli

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/words"
)

// newMan writes manual pages, one for each command and each page of reference.
func newMan() *cobra.Command {
	c := &cobra.Command{
		Use:     "man FOLDER",
		Short:   "Write the manual pages into a folder",
		Example: "  ringout man ~/.local/share/man/man1",
		Args:    exactly(1, "the folder to write to"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return fmt.Errorf("the manual pages can't be written: %w", err)
			}
			if err := writeManPages(c.Root(), args[0]); err != nil {
				return fmt.Errorf("the manual pages can't be written: %w", err)
			}
			if err := writeReference(args[0]); err != nil {
				return fmt.Errorf("the manual pages can't be written: %w", err)
			}
			return nil
		},
	}
	return c
}

// exactly requires n arguments; its error says what they are.
func exactly(n int, what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) != n {
			return wrong(c, fmt.Errorf("%s given: give %s", words.Count(len(args), "argument"), what))
		}
		return nil
	}
}
