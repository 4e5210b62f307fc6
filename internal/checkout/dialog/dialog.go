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
	// Trouble is what is wrong with the way to the prop, such as a host that
	// refuses; empty when nothing is. nil is never.
	Trouble func() string
}

// An End is how a dialog ended.
type End struct {
	Left bool // before the check-out came to its end
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

func (b *Bench) trouble() string {
	if b.Trouble == nil {
		return ""
	}
	return b.Trouble()
}
