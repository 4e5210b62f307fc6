package cli

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// offers are the values that a shell completes, by the name of the flag. To add
// one: a line here, and its row in the test that asks the shells.
var offers = map[string]func(c *cobra.Command, args []string) []string{
	"bind":   func(*cobra.Command, []string) []string { return ownAddresses() },
	"chip":   func(*cobra.Command, []string) []string { return chipNames() },
	"colour": func(*cobra.Command, []string) []string { return colourNames() },
	"fault": func(*cobra.Command, []string) []string {
		return append([]string{"random"}, strip.Samples()...)
	},
	"interface": func(*cobra.Command, []string) []string { return interfaceNames() },
	"listen":    func(*cobra.Command, []string) []string { return listenAddresses() },
	"order":     func(*cobra.Command, []string) []string { return orders() },
	"packing":   func(*cobra.Command, []string) []string { return []string{string(prop.Whole), string(prop.Straddle)} },
	"paper":     func(*cobra.Command, []string) []string { return []string{"a4", "letter"} },
	"part":      partNames,
	"prop":      func(*cobra.Command, []string) []string { return demoNames() },
	"to":        func(*cobra.Command, []string) []string { return []string{"multicast"} },
}

// paths lists the flags that take a file, with its extension if it has one.
var paths = map[string]string{"file": "toml", "out": "", "overview": "md", "pages": "", "camera": "", "keep": ""}

// complete adds completions: values for flags, and prop files for the commands
// that take them.
func complete(root *cobra.Command) {
	for _, c := range append(root.Commands(), root) {
		c.Flags().VisitAll(func(f *pflag.Flag) { completeFlag(c, f) })
		if takesProp(c) {
			c.ValidArgsFunction = cobra.FixedCompletions([]cobra.Completion{"toml"}, cobra.ShellCompDirectiveFilterFileExt)
		}
	}
	root.InitDefaultCompletionCmd()
	if c, _, err := root.Find([]string{"completion"}); err == nil && c != root {
		c.Args, c.RunE = cobra.ArbitraryArgs, knownShell
	}
	if c, _, err := root.Find([]string{"completion", "bash"}); err == nil {
		c.RunE = func(c *cobra.Command, _ []string) error {
			if _, err := io.WriteString(c.OutOrStdout(), bashBefore); err != nil {
				return err
			}
			return root.GenBashCompletionV2(c.OutOrStdout(), true)
		}
	}
}

// bashBefore precedes the library's script. The script calls two functions of
// the package bash-completion; these are short forms for machines without it.
const bashBefore = `# The two functions of bash-completion that are needed, where it is missing.
if ! declare -F _get_comp_words_by_ref >/dev/null 2>&1; then
    # The words up to the cursor; = and : part none.
    _get_comp_words_by_ref() {
        local line=$COMP_LINE rest w i n=-1
        words=()
        for ((i = 0; i <= COMP_CWORD; i++)); do
            w=${COMP_WORDS[i]}
            rest=${line#"${line%%[![:space:]]*}"}
            if ((n >= 0)) && [[ $rest == "$line" && ( $w == [=:]* || ${words[n]} == *[=:] ) ]]; then
                words[n]+=$w
            else
                words[++n]=$w
            fi
            line=${rest#"$w"}
        done
        cword=$n cur=${words[n]} prev=${words[n - 1]}
    }
fi
if ! declare -F _filedir >/dev/null 2>&1; then
    # Folders, and files with one of the endings a|b.
    _filedir() {
        local IFS=$'\n' ending
        compopt -o filenames 2>/dev/null
        COMPREPLY=($(compgen -d -- "$cur"))
        [[ $1 == -d ]] && return
        while read -r -d '|' ending; do
            [[ -n $ending ]] && COMPREPLY+=($(compgen -f -X "!*.$ending" -- "$cur"))
        done <<<"$1|"
    }
fi

`

func takesProp(c *cobra.Command) bool {
	return c.HasParent() && strings.Contains(c.Use, "FILE") && c.ValidArgsFunction == nil
}

func completeFlag(c *cobra.Command, f *pflag.Flag) {
	offer, known := offers[f.Name]
	ending, path := paths[f.Name]
	switch {
	case known:
		c.RegisterFlagCompletionFunc(f.Name, offering(offer))
	case path && ending != "":
		c.MarkFlagFilename(f.Name, ending)
	case !path && f.Value.Type() != "bool":
		c.RegisterFlagCompletionFunc(f.Name, cobra.NoFileCompletions) // a number or free text
	}
}

// offering makes a completion of a list. Upper and lower case count as equal.
func offering(list func(*cobra.Command, []string) []string) cobra.CompletionFunc {
	return func(c *cobra.Command, args []string, typed string) (out []cobra.Completion, _ cobra.ShellCompDirective) {
		for _, v := range list(c, args) {
			if len(v) >= len(typed) && strings.EqualFold(v[:len(typed)], typed) {
				out = append(out, v)
			}
		}
		return out, cobra.ShellCompDirectiveNoFileComp
	}
}

// knownShell refuses a shell that has no completions.
func knownShell(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return c.Help()
	}
	var names []string
	for _, s := range c.Commands() {
		names = append(names, s.Name())
	}
	return wrong(c, fmt.Errorf("there are no completions for %q: give one of %s", args[0], strings.Join(names, ", ")))
}

func interfaceNames() (names []string) {
	list, _ := link.Interfaces() // an empty list is valid
	for _, i := range list {
		names = append(names, i.Name)
	}
	return names
}

// ownAddresses are the addresses of this machine.
func ownAddresses() (out []string) {
	list, _ := link.Interfaces()
	for _, i := range list {
		for _, p := range i.Addrs {
			out = append(out, p.Addr().String())
		}
	}
	return out
}

func listenAddresses() (out []string) {
	for _, a := range ownAddresses() {
		if !strings.Contains(a, ":") {
			out = append(out, fmt.Sprintf("%s:%d", a, protocol.Port))
		}
	}
	return out
}

// orders are the colour orders that chips are sold with, each once.
func orders() (out []string) {
	seen := map[prop.Order]bool{}
	for _, c := range prop.KnownChips() {
		if !seen[c.Order] {
			seen[c.Order] = true
			out = append(out, string(c.Order))
		}
	}
	return out
}

// partNames are the runs and parts of the prop file that the line names.
func partNames(c *cobra.Command, args []string) (names []string) {
	file, _ := c.Flags().GetString("file")
	if file == "" && len(args) > 0 {
		file = args[0]
	}
	p, _, err := prop.Load(file)
	if err != nil {
		return nil
	}
	for _, s := range p.Sections() {
		names = append(names, s.Name)
	}
	return names
}
