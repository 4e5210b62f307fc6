package cli

import (
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"example.org/ringout/internal/cli/pages"
)

// newHelp shows the help of a command or a page of reference.
func newHelp() *cobra.Command {
	long := "Help of a command, or a page of reference:\n\n"
	for _, p := range pages.All() {
		long += fmt.Sprintf("  %-11s %s\n", p.Name, p.Short)
	}
	return &cobra.Command{
		Use:     "help [COMMAND | PAGE]",
		Short:   "Help of a command, or a page of reference: " + strings.Join(pageNames(), ", "),
		Long:    strings.TrimRight(long, "\n"),
		Example: "  ringout help check\n  ringout help prop-file",
		ValidArgsFunction: func(c *cobra.Command, args []string, _ string) (names []string, _ cobra.ShellCompDirective) {
			if len(args) == 0 {
				names = helpNames(c.Root())
			}
			return names, cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) == 1 {
				if p, ok := pages.Find(args[0]); ok {
					_, err := fmt.Fprint(c.OutOrStdout(), p.Text(pageWidth(c)))
					return err
				}
			}
			about, rest, err := c.Root().Find(args)
			if err != nil || len(rest) > 0 {
				return wrong(c, fmt.Errorf("%q is neither a command nor a page: give one of %s",
					strings.Join(args, " "), strings.Join(helpNames(c.Root()), ", ")))
			}
			about.InitDefaultHelpFlag()
			return about.Help()
		},
	}
}

func pageNames() (names []string) {
	for _, p := range pages.All() {
		names = append(names, p.Name)
	}
	return names
}

// helpNames lists the topics of help.
func helpNames(root *cobra.Command) (names []string) {
	for _, c := range root.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	return append(names, pageNames()...)
}

// pageWidth is the terminal's, but no wider than text reads well; 80 where there
// is no terminal.
func pageWidth(c *cobra.Command) int {
	if f, ok := c.OutOrStdout().(*os.File); ok {
		if w, _, err := term.GetSize(int(f.Fd())); err == nil && w > 0 {
			return min(w, 100)
		}
	}
	return 80
}
