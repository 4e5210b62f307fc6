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

// soon is the time after which a message says that a file takes long.
const soon = 300 * time.Millisecond

// errStopped is the error when a signal ends a wait for an answer or a file.
var errStopped = fmt.Errorf("stopped before the end")

// untilEnd waits for work to finish or for ctx to end: work may wait for an
// answer, a file or a lock for ever.
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

// load calls prop.Load for a command: a wait for the writer of a pipe is
// reported and ends with the command's context.
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

// regular reports whether a path is a plain file: if it takes long to read it
// is large, not waiting for a writer.
func regular(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}

// appendTo adds an entry to a record. A lock held by another program is
// reported at once, and waiting ends with the command's context.
func appendTo(c *cobra.Command, file record.File, e record.Entry) error {
	return untilEnd(c.Context(), func() error {
		return file.AppendAfter(e, func() {
			fmt.Fprintf(c.ErrOrStderr(), "ringout: waiting for %s, which another program holds; Ctrl-C ends, and then nothing is recorded\n", file.Path)
		})
	})
}
