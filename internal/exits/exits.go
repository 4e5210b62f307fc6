// Package exits turns every road out of the program into the end of one
// context, so that what is lit goes dark before the process ends: the signals
// that can be caught, a standard output that takes no more, and a reader that
// closes its end of the output's pipe.
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
	Stacks []byte    // what every goroutine did when a signal of a crash came
	Err    error     // of the write, when the output ended it
}

// Error says it in one sentence.
func (c *Cause) Error() string {
	switch {
	case c.Signal != nil:
		return fmt.Sprintf("ended by the signal %q", c.Signal)
	case errors.Is(c.Err, syscall.EPIPE):
		return "the program that read the output has ended"
	}
	return fmt.Sprintf("the output can't be written: %v", c.Err)
}

// Unwrap is the error of the write.
func (c *Cause) Unwrap() error { return c.Err }

// Code is the exit code: 1 for an output that takes no more, 128 and the
// signal's number for a signal of a crash (common practice of shells), 0 for
// one that asks to end.
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

// Of is the cause that a context ended of; nil when there is none.
func Of(ctx context.Context) *Cause {
	var c *Cause
	errors.As(context.Cause(ctx), &c)
	return c
}

// Watch gives a context that ends with the first signal of the list, or once
// the reader of output, when that is a pipe, has gone. A signal after the first
// changes nothing, as closing has a limit of its own.
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

// crashing reports whether a signal usually ends a program with a dump.
func crashing(s os.Signal) bool {
	for _, c := range crashes {
		if s == c {
			return true
		}
	}
	return false
}

// stacks is what every goroutine does now, 1 MB at most.
func stacks() []byte {
	b := make([]byte, 1<<20)
	return b[:runtime.Stack(b, true)]
}

// An Output is an output whose first failed write ends a context.
type Output struct {
	to  io.Writer
	end context.CancelCauseFunc

	mu  sync.Mutex
	err error
}

// Guard gives w as an Output and the context that its first failed write ends.
func Guard(parent context.Context, w io.Writer) (context.Context, *Output) {
	ctx, end := context.WithCancelCause(parent)
	return ctx, &Output{to: w, end: end}
}

// Write writes on. After a failed write it writes nothing and fails the same.
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

// Err is a *Cause once a write has failed.
func (o *Output) Err() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.err
}
