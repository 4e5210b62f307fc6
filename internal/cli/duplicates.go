package cli

import (
	"fmt"
	"os"
	"slices"

	"github.com/spf13/cobra"
)

// once removes and reports files that are named twice, by the same or another
// path: a prop listed twice would seem to collide with itself.
func once(c *cobra.Command, paths []string) []string {
	var out []string
	var seen []os.FileInfo
	for _, path := range paths {
		st, err := os.Stat(path)
		if err != nil {
			out = append(out, path) // Load reports what is wrong with it
			continue
		}
		if slices.ContainsFunc(seen, func(s os.FileInfo) bool { return os.SameFile(s, st) }) {
			fmt.Fprintf(c.ErrOrStderr(), "ringout: %s was named twice and is listed once\n", path)
			continue
		}
		seen, out = append(seen, st), append(out, path)
	}
	return out
}
