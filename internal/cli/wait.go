package cli

import (
	"context"
	"fmt"
	"os"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
)

// soon is how long a file may take before it is said that it is waited for.
const soon = 300 * time.Millisecond

// errStopped is the end by a signal, while an answer or a file was waited for.
var errStopped = fmt.Errorf("stopped before the end")

// untilEnd waits for work, which may wait for ever for an answer, a file or a
// lock, or for the end of ctx.
func untilEnd(ctx context.Context, work func() error) error {
	done := make(chan error, 1)
	go func() { done <- caught(work) }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
		return errStopped
	}
}

// load is prop.Load of a command: one that waits for the writer of a pipe says
// so, and ends with the command's context.
func load(c *cobra.Command, path string) (p *prop.Prop, doc *prop.Document, err error) {
	say := time.AfterFunc(soon, func() {
		if !regular(path) {
			fmt.Fprintf(c.ErrOrStderr(), "ringout: waiting for what is written into %s; Ctrl-C ends\n", path)
		}
	})
	defer say.Stop()
	type loaded struct {
		*prop.Prop
		*prop.Document
	}
	done := make(chan loaded, 1)
	err = untilEnd(c.Context(), func() error {
		p, doc, err := prop.Load(path)
		done <- loaded{p, doc}
		return err
	})
	select {
	case l := <-done:
		return l.Prop, l.Document, err
	default: // the command ended first
		return nil, nil, err
	}
}

// regular reports whether a path is a plain file: one that takes long to read
// is large, and no one is waited for.
func regular(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}

// appendTo adds an entry to a record. One that is held by another program is
// said at once, and waiting ends with the command's context.
func appendTo(c *cobra.Command, file record.File, e record.Entry) error {
	return untilEnd(c.Context(), func() error {
		return file.AppendAfter(e, func() {
			fmt.Fprintf(c.ErrOrStderr(), "ringout: waiting for %s, which another program holds; Ctrl-C ends, and then nothing is recorded\n", file.Path)
		})
	})
}
