// Package dialog holds a check-out without a screen: in plain lines for people
// (screen readers, logs, phones over SSH), or in JSON lines for programs.
//
// It owns no socket, file or clock: what lights the prop and what keeps the
// answers is given as functions. Pixels, runs and probes count from 1 in text.
package dialog

import (
	"bufio"
	"errors"
	"io"
	"strings"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
)

// A Bench is what a dialog needs around it.
type Bench struct {
	In   io.Reader
	Out  io.Writer
	Prop *prop.Prop
	// Light shows a probe on the prop.
	Light func(checkout.Probe)
	// Keep puts the answers so far in safety; nil keeps nothing.
	Keep func(checkout.Log) error
	// Network is what is known of the way to the prop now; nil is nothing.
	Network func() checkout.Network
	// Settle waits until it is known of the way to the prop whether a host is
	// there, as far as one can know; nil does not wait.
	Settle func()
}

// An End is how a dialog ended.
type End struct {
	Left bool // before the check-out came to its end
}

// An AbsentError is the end of a check-out of a prop that is not there.
type AbsentError struct{ Why, Remedy string }

func (e *AbsentError) Error() string { return e.Why + " " + e.Remedy }

// hear tells the check-out what is known of the way to the prop. An error says
// that the prop is not there, so that nobody's answer is about it.
func (b *Bench) hear(s *checkout.Session) error {
	if b.Network == nil {
		return nil
	}
	s.Hear(b.Network())
	if why, remedy := absent(s); why != "" {
		return &AbsentError{why, remedy}
	}
	return nil
}

// absent is why a prop is known not to be there, and what to do; empty while
// it may be.
func absent(s *checkout.Session) (why, remedy string) {
	if _, is := s.Heard().Absent(); !is {
		return "", ""
	}
	f := s.Findings()[0]
	return f.Title, f.Causes[0].Remedy
}

// settled is hear before a verdict is given.
func (b *Bench) settled(s *checkout.Session) error {
	if b.Settle != nil {
		b.Settle()
	}
	return b.hear(s)
}

// errGone says that the input ended before the check-out did. Nothing is lost:
// what was answered was kept.
var errGone = errors.New("the answers ended before the check-out did")

// lines reads answers a line at a time.
type lines struct{ in *bufio.Scanner }

func newLines(r io.Reader) *lines {
	s := bufio.NewScanner(r)
	s.Buffer(make([]byte, 0, 4096), 1<<20)
	return &lines{s}
}

// next is the next line without its end; errGone when there is none.
func (l *lines) next() (string, error) {
	if l.in.Scan() {
		return strings.TrimSpace(l.in.Text()), nil
	}
	if err := l.in.Err(); err != nil {
		return "", err
	}
	return "", errGone
}

func (b *Bench) keep(s *checkout.Session) error {
	if b.Keep == nil {
		return nil
	}
	return b.Keep(s.Log())
}
