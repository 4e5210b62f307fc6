// Package exits ends one context on every way out of the program, so that the
// prop is turned off before the process ends: signals that can be caught, a
// failed write to standard output, and a closed reading end of its pipe.
//
// SIGKILL and faults of the Go runtime itself (out of memory, a map written by
// two goroutines at once) cannot be caught. Receivers then hold or go dark 2.5 s
// after the last packet, as they are set up (ANSI E1.31-2018 6.7.1).
package exits

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"sync"
	"syscall"
)

// A Cause is why a context of Watch ended.
type Cause struct {
	Signal os.Signal // nil when the output ended it
	Stacks []byte    // stacks of all goroutines when a crash signal came
	Err    error     // of the write, when the output ended it
}

// Error describes the cause in one sentence.
func (c *Cause) Error() string {
	switch {
	case c.Signal != nil:
		return fmt.Sprintf("ended by the signal %q", c.Signal)
	case errors.Is(c.Err, syscall.EPIPE):
		return "the program that read the output has ended"
	}
	return fmt.Sprintf("the output can't be written: %v", c.Err)
}

// Unwrap returns the error of the failed write; nil for a signal.
func (c *Cause) Unwrap() error { return c.Err }

// Code is the exit code: 1 after a failed write, 128 plus the signal's number
// for a crash signal (common practice of shells), 0 for any other signal.
func (c *Cause) Code() int {
	n, _ := c.Signal.(syscall.Signal)
	switch {
	case c.Signal == nil || n == syscall.SIGPIPE:
		return 1
	case crashing(c.Signal):
		return 128 + int(n)
	}
	return 0
}

// Of returns the *Cause that ended a context; nil if something else did or it
// has not ended.
func Of(ctx context.Context) *Cause {
	var c *Cause
	errors.As(context.Cause(ctx), &c)
	return c
}

// Watch returns a context that ends with the first signal in leaving, or when
// output is a pipe and its reader closes it. Later signals are ignored, since
// closing down has its own time limit.
func Watch(parent context.Context, output *os.File) (ctx context.Context, stop func()) {
	ctx, cancel := context.WithCancelCause(parent)
	watchReader(output, func() { cancel(&Cause{Err: syscall.EPIPE}) })
	signals := make(chan os.Signal, 8)
	signal.Notify(signals, leaving...)
	go func() {
		for s := range signals {
			c := &Cause{Signal: s}
			if crashing(s) {
				c.Stacks = stacks()
			}
			cancel(c)
		}
	}()
	return ctx, func() {
		signal.Stop(signals)
		close(signals)
		cancel(nil)
	}
}

// crashing reports whether the Go runtime would answer a signal with a dump.
func crashing(s os.Signal) bool {
	for _, c := range crashes {
		if s == c {
			return true
		}
	}
	return false
}

// stacks returns the stacks of all goroutines, at most 1 MB.
func stacks() []byte {
	b := make([]byte, 1<<20)
	return b[:runtime.Stack(b, true)]
}

// An Output is a writer whose first failed write ends a context.
type Output struct {
	to  io.Writer
	end context.CancelCauseFunc

	mu  sync.Mutex
	err error
}

// Guard wraps w in an Output and returns the context that its first failed
// write ends.
func Guard(parent context.Context, w io.Writer) (context.Context, *Output) {
	ctx, end := context.WithCancelCause(parent)
	return ctx, &Output{to: w, end: end}
}

// Write writes to the underlying writer. After a failed write it writes nothing
// and returns the same error.
func (o *Output) Write(b []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.err != nil {
		return 0, o.err
	}
	n, err := o.to.Write(b)
	if err != nil {
		o.err = &Cause{Err: err}
		o.end(o.err)
		return n, o.err
	}
	return n, nil
}

// Err returns a *Cause once a write has failed, before that nil.
func (o *Output) Err() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.err
}
