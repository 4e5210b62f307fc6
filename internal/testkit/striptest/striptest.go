// Package striptest runs a simulated prop for tests, on a free port of
// 127.0.0.1.
package striptest

import (
	"context"
	"testing"
	"time"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/strip/node"
)

// patience is the time limit of a wait, long enough for a busy machine.
const patience = 10 * time.Second

// Start runs a node with the faults until the test ends. Only universe and slot
// come from the prop's address; the port is the node's Port.
func Start(t testing.TB, p *prop.Prop, faults ...strip.Fault) *node.Node {
	t.Helper()
	return StartWith(t, p, node.Options{Faults: faults})
}

// StartWith is Start with all options; an empty Addr means a free port of
// 127.0.0.1.
func StartWith(t testing.TB, p *prop.Prop, o node.Options) *node.Node {
	t.Helper()
	if o.Addr == "" {
		o.Addr = "127.0.0.1:0"
	}
	n, err := node.Start(context.Background(), p, o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(n.Close)
	return n
}

// At returns the prop with the node's address, as for its prop file.
func At(p *prop.Prop, n *node.Node) *prop.Prop {
	c := *p
	c.Address.Host, c.Address.Port = "127.0.0.1", n.Port()
	return &c
}

// Wait returns the first look for which good is true, or fails the test; what
// names it in the failure.
func Wait(t testing.TB, n *node.Node, what string, good func(strip.Look) bool) strip.Look {
	t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(2 * time.Millisecond) {
		if l := n.Look(); good(l) {
			return l
		}
	}
	l := n.Look()
	t.Fatalf("the strip never showed %s; last it lit %d pixels, look %d, heard %+v", what, l.Light.Lit(), l.Serial, n.History())
	return strip.Look{}
}

// WaitDark waits until nothing is lit.
func WaitDark(t testing.TB, n *node.Node) {
	t.Helper()
	Wait(t, n, "darkness", func(l strip.Look) bool { return l.Light.Lit() == 0 })
}

// WaitEnded waits until every universe of the node has received three terminated
// packets (ANSI E1.31-2018 6.2.6) and nothing is lit. The node holds its last look
// when a source ends, so it is dark only if black was sent before.
func WaitEnded(t testing.TB, n *node.Node) {
	t.Helper()
	for end := time.Now().Add(patience); !n.History().EndedAll(3); time.Sleep(2 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("not every universe was ended with three packets: %+v", n.History())
		}
	}
	WaitDark(t, n)
}
