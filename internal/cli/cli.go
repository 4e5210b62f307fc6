// Package cli is the command line: a command a file, each a few lines over the
// packages that do the work.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// version is the one of a release; empty in other builds.
var version = ""

// Main runs a command line with the process's own streams and signals, and
// returns the exit code.
func Main(release string, args []string) int {
	version = release
	ctx, stop := signal.NotifyContext(context.Background(), leaving...)
	defer stop()
	return run(ctx, args, streams{os.Stdin, os.Stdout, os.Stderr})
}

// streams are what a command reads and writes.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// run is main without the process: 0 when all went well, 1 when the work
// failed, 2 when the command line was wrong.
func run(ctx context.Context, args []string, s streams) int {
	root := newRoot()
	root.SetArgs(args)
	root.SetIn(s.in)
	root.SetOut(s.out)
	root.SetErr(s.err)
	err := root.ExecuteContext(ctx)
	var usage *usageError
	switch {
	case err == nil:
		return 0
	case errors.As(err, &usage):
		fmt.Fprintf(s.err, "ringout: %v\nTry: %s --help\n", err, usage.command)
		return 2
	default:
		fmt.Fprintf(s.err, "ringout: %v\n", err)
		return 1
	}
}

// A usageError is a mistake on the command line.
type usageError struct {
	command string
	err     error
}

func (e *usageError) Error() string { return e.err.Error() }
func (e *usageError) Unwrap() error { return e.err }

// wrong makes a usageError of a command.
func wrong(c *cobra.Command, err error) error {
	return &usageError{c.CommandPath(), err}
}

// versionText is the version, from the linker or from the build's own record.
func versionText() string {
	if version != "" {
		return version
	}
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "unknown"
}
