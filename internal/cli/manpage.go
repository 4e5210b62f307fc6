package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// writeManPages writes the page of a command and those of the commands below
// it: ringout-send.1 for "ringout send". (The command-line library's own writer
// would bring a Markdown reader and a YAML writer along, a twentieth of the
// program.)
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

func manName(c *cobra.Command) string { return strings.ReplaceAll(c.CommandPath(), " ", "-") }

// manPage is one page in the man macros (man(7)).
func manPage(c *cobra.Command) string {
	var b strings.Builder
	head := func(name string) { fmt.Fprintf(&b, ".SH %s\n", name) }
	fmt.Fprintf(&b, ".TH \"RINGOUT\" \"1\" \"\" %q \"\"\n", "ringout "+versionText())
	head("NAME")
	fmt.Fprintf(&b, "%s \\- %s\n", roff(manName(c)), roff(c.Short))
	head("SYNOPSIS")
	fmt.Fprintf(&b, "\\fB%s\\fP\n", roff(c.UseLine()))
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
		b.WriteString("\\fB" + roff(strings.Join(also, "(1), ")) + "(1)\\fP\n")
	}
	return b.String()
}

func or(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// manFlag is one flag: its names and its usual value, then what it does.
func manFlag(b *strings.Builder, f *pflag.Flag) {
	if f.Hidden {
		return
	}
	name := "\\fB" + roff("--"+f.Name) + "\\fP"
	if f.Shorthand != "" {
		name = "\\fB" + roff("-"+f.Shorthand) + "\\fP, " + name
	}
	if f.Value.Type() != "bool" {
		name += "=" + roff(or(f.DefValue, `""`))
	}
	fmt.Fprintf(b, ".TP\n%s\n%s\n", name, roff(f.Usage))
}

// asWritten keeps the lines of a text as they are.
func asWritten(b *strings.Builder, text string) {
	b.WriteString(".nf\n")
	for _, l := range strings.Split(text, "\n") {
		b.WriteString(roff(l) + "\n")
	}
	b.WriteString(".fi\n")
}

// roff makes a line of text safe: no letter of it is taken for a command.
func roff(line string) string {
	line = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(line)
	if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
		line = `\&` + line
	}
	return line
}
