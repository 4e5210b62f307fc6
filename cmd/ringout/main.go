// Command ringout is a bench tester for addressable-LED pixel strips driven
// over the network with streaming ACN (ANSI E1.31). It wires the packages
// together; what they do stands with them.
package main

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

// version is set by the linker for releases.
var version = ""

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), leaving...)
	code := run(ctx, os.Args[1:], streams{os.Stdin, os.Stdout, os.Stderr})
	stop()
	os.Exit(code)
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
