// Package dialog holds a check-out or a single test without a screen: in plain
// lines for people (screen readers, logs, phones over SSH), or in JSON lines for
// programs.
//
// It owns no socket, file or clock: what lights the prop and what keeps the
// answers is given as functions. Pixels, runs and probes count from 1 in text.
package dialog

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A Bench holds the functions and streams that a dialog uses. Functions that
// are nil do nothing.
type Bench struct {
	In   io.Reader
	Out  io.Writer
	Prop *prop.Prop
	// Light shows frames at a level, and waits until they have left for the
	// prop. ended ends the stream instead, until the next call.
	Light func(frames patterns.FrameFunc, level float64, ended bool) error
	// Level returns the level after the limiter; 0 while it is not known.
	Level func() float64
	// Keep saves the answers so far.
	Keep func() error
	// Network returns what is known of the network path to the prop.
	Network func() checkout.Network
	// Settle waits long enough for a host to refuse or to prove unreachable.
	Settle func()
	// Wait runs work, and calls still when it takes noticeably long.
	Wait func(work, still func())
}

// An End is how a dialog ended.
type End struct {
	Left bool // before the check-out ended
}

// An AbsentError ends the check-out of a prop that is not connected.
type AbsentError struct{ Why, Remedy string }

func (e *AbsentError) Error() string { return e.Why + " " + e.Remedy }

// present returns an *AbsentError when the prop cannot be reached: an answer would then be
// meaningless. It passes the state of the network to the check-out, which is nil for
// single tests.
func (b *Bench) present(s *checkout.Session) error {
	if b.Network == nil {
		return nil
	}
	n := b.Network()
	if s != nil {
		s.SetNetwork(n)
	}
	if why, remedy := n.Advice(); why != "" {
		return &AbsentError{why, remedy}
	}
	return nil
}

// settle waits until the state of the path to the prop is known.
func (b *Bench) settle() {
	if b.Settle != nil {
		b.Settle()
	}
}

func (b *Bench) light(frames patterns.FrameFunc, level float64, ended bool) error {
	if b.Light == nil {
		return nil
	}
	return b.Light(frames, level, ended)
}

func (b *Bench) keep() error {
	if b.Keep == nil {
		return nil
	}
	return b.Keep()
}

// wait does work, and calls still when it takes long.
func (b *Bench) wait(work, still func()) {
	if b.Wait == nil {
		work()
		return
	}
	b.Wait(work, still)
}

// level returns the level after the limiter.
func (b *Bench) level(asked float64) float64 {
	if b.Level == nil {
		return asked
	}
	if in := b.Level(); in > 0 {
		return min(in, asked)
	}
	return asked
}

// errGone reports that the input ended before the check-out did. The answers so
// far were kept.
var errGone = errors.New("the answers ended before the check-out did")

// Gone reports whether a dialog ended because its input did.
func Gone(err error) bool { return errors.Is(err, errGone) }

// longest is the largest number of bytes of a line.
const longest = 4096

// A longError refuses a line.
type longError struct{}

func (longError) Error() string {
	return fmt.Sprintf("the line is longer than %d bytes, so it was not read: write a short one", longest)
}

// lines reads answers a line at a time.
type lines struct{ in *bufio.Reader }

func newLines(r io.Reader) *lines { return &lines{bufio.NewReaderSize(r, longest+1)} }

// next is the next line without its end; errGone when there is none, a longError when it
// was skipped because it is too long.
func (l *lines) next() (string, error) {
	line, more, err := l.in.ReadLine()
	text := strings.TrimSpace(string(line))
	long := more
	for more && err == nil {
		_, more, err = l.in.ReadLine()
	}
	switch {
	case long:
		return "", longError{}
	case err == io.EOF:
		return "", errGone
	case err != nil:
		return "", err
	}
	return text, nil
}

// short is a line shortened for an error.
func short(text string) string {
	if r := []rune(text); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return text
}
