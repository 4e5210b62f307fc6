// Package cli is the command line: a command a file, each a few lines over the
// packages that do the work.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"example.org/ringout/internal/exits"
	"example.org/ringout/internal/settings"
	"example.org/ringout/internal/underway"
	"example.org/ringout/tui"
	"example.org/ringout/tui/ascii"
)

// version is the version of a release; empty in other builds.
var version = ""

// closing is the longest time that a command may take to turn the prop off and
// restore the terminal: the show's 2 s, and three waits of 2 s for a terminal
// or a disk that hangs, with 1 s to spare.
const closing = 9 * time.Second

// Main runs a command line with the process's own streams and signals, and
// returns the exit code.
func Main(release string, args []string) int {
	version = release
	ctx, stop := exits.Watch(context.Background(), os.Stdout)
	defer stop()
	defer underway.ReleaseAll()
	done := make(chan int, 1)
	go func() { done <- run(ctx, args, streams{os.Stdin, os.Stdout, os.Stderr}) }()
	select {
	case code := <-done:
		return finish(exits.Of(ctx), code)
	case <-ctx.Done():
	}
	select {
	case code := <-done:
		return finish(exits.Of(ctx), code)
	case <-time.After(closing): // a blocked output can delay it
		return 1
	}
}

// finish returns the exit code of a command; cause ended it, unless nil. The
// dump of a crash signal is written if GOTRACEBACK asks for one.
func finish(cause *exits.Cause, code int) int {
	if cause == nil {
		return code
	}
	switch os.Getenv("GOTRACEBACK") {
	case "", "none", "0":
	default:
		os.Stderr.Write(cause.Stacks)
	}
	return max(code, cause.Code())
}

// streams are what a command reads and writes.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// inLocale makes terminal output ASCII where the locale requires it. Output for
// other programs (pipes, files, JSON and CSV) is always UTF-8.
func (s streams) inLocale(args []string, getenv func(string) string) streams {
	if !ascii.Wanted(getenv) {
		return s
	}
	if !slices.ContainsFunc(args, func(a string) bool {
		name, _, _ := strings.Cut(a, "=")
		return name == "--json" || name == "--csv"
	}) {
		s.out = translated(s.out)
	}
	s.err = translated(s.err)
	return s
}

// translated returns an ASCII writer for a terminal, and w itself for anything
// else.
func translated(w io.Writer) io.Writer {
	if f, ok := w.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		return ascii.NewWriter(f)
	}
	return w
}

// run is Main without the process's globals. It returns 0 on success, 1 if the work
// or writing the output failed, 2 for a mistake on the command line.
func run(ctx context.Context, args []string, s streams) int {
	s = s.inLocale(args, os.Getenv)
	ctx, out := exits.Guard(ctx, s.out)
	own := &identity{name: settings.DefaultName, warn: s.err}
	defer own.release()
	root := newRoot(own)
	root.SetArgs(args)
	root.SetIn(s.in)
	root.SetOut(out)
	root.SetErr(s.err)
	complete(root) // after the output is set: the library's completion command copies it
	err := caught(func() error { return root.ExecuteContext(ctx) })
	var usage *usageError
	switch {
	case errors.As(err, &usage):
		fmt.Fprintf(s.err, "ringout: %v\nTry: %s --help\n", err, usage.command)
		return 2
	case out.Err() != nil:
		err = out.Err()
	}
	if err == nil {
		return 0
	}
	fmt.Fprintf(s.err, "ringout: %v\n", err)
	return 1
}

// caught runs work and returns a panic in it as a *tui.Crash, so that the prop is
// turned off before the program ends.
func caught(work func() error) (err error) {
	defer func() {
		if v := recover(); v != nil {
			err = &tui.Crash{Value: v, Stack: debug.Stack()}
		}
	}()
	return work()
}

// A usageError is a mistake on the command line.
type usageError struct {
	command string
	err     error
}

func (e *usageError) Error() string { return e.err.Error() }
func (e *usageError) Unwrap() error { return e.err }

// wrong wraps err as a usageError of a command.
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
