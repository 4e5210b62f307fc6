package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"example.org/ringout/internal/cli/pages"
)

// writeManPages writes the page of a command and those of its subcommands:
// ringout-send.1 for "ringout send". (The command-line library's own writer
// would link a Markdown reader and a YAML writer, a twentieth of the program.)
func writeManPages(c *cobra.Command, folder string) error {
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() && !sub.IsAdditionalHelpTopicCommand() {
			if err := writeManPages(sub, folder); err != nil {
				return err
			}
		}
	}
	c.InitDefaultHelpFlag()
	return os.WriteFile(filepath.Join(folder, manName(c)+".1"), []byte(manPage(c)), 0o644)
}

// writeReference writes the pages of reference: ringout-prop-file.5 and others.
func writeReference(folder string) error {
	for _, p := range pages.All() {
		file := filepath.Join(folder, fmt.Sprintf("ringout-%s.%d", p.Name, p.Section))
		if err := os.WriteFile(file, []byte(p.Man(versionText())), 0o644); err != nil {
			return err
		}
	}
	return nil
}

func manName(c *cobra.Command) string { return strings.ReplaceAll(c.CommandPath(), " ", "-") }

// manPage is one page in the man macros (man(7)).
func manPage(c *cobra.Command) string {
	var b strings.Builder
	head := func(name string) { fmt.Fprintf(&b, ".SH %s\n", name) }
	fmt.Fprintf(&b, ".TH \"RINGOUT\" \"1\" \"\" %q \"\"\n", "ringout "+versionText())
	head("NAME")
	fmt.Fprintf(&b, "%s \\- %s\n", pages.Roff(manName(c)), pages.Roff(c.Short))
	head("SYNOPSIS")
	fmt.Fprintf(&b, "\\fB%s\\fP\n", pages.Roff(c.UseLine()))
	head("DESCRIPTION")
	asWritten(&b, or(c.Long, c.Short))
	if flags := c.NonInheritedFlags(); flags.HasAvailableFlags() {
		head("OPTIONS")
		flags.VisitAll(func(f *pflag.Flag) { manFlag(&b, f) })
	}
	if c.Example != "" {
		head("EXAMPLES")
		asWritten(&b, c.Example)
	}
	var also []string
	if c.HasParent() {
		also = append(also, manName(c.Parent()))
	}
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() && !sub.IsAdditionalHelpTopicCommand() {
			also = append(also, manName(sub))
		}
	}
	if len(also) > 0 {
		head("SEE ALSO")
		b.WriteString("\\fB" + pages.Roff(strings.Join(also, "(1), ")) + "(1)\\fP\n")
	}
	return b.String()
}

func or(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// manFlag writes one flag: its names and its default, then what it does.
func manFlag(b *strings.Builder, f *pflag.Flag) {
	if f.Hidden {
		return
	}
	name := "\\fB" + pages.Roff("--"+f.Name) + "\\fP"
	if f.Shorthand != "" {
		name = "\\fB" + pages.Roff("-"+f.Shorthand) + "\\fP, " + name
	}
	if f.Value.Type() != "bool" {
		name += "=" + pages.Roff(or(f.DefValue, `""`))
	}
	fmt.Fprintf(b, ".TP\n%s\n%s\n", name, pages.Roff(f.Usage))
}

// asWritten keeps the lines of a text as they are.
func asWritten(b *strings.Builder, text string) {
	b.WriteString(".nf\n")
	for _, l := range strings.Split(text, "\n") {
		b.WriteString(pages.Roff(l) + "\n")
	}
	b.WriteString(".fi\n")
}
