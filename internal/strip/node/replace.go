package node

import (
	"fmt"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// Become lays another prop on the bench behind the same controller, such as one
// run of the prop before it is joined to the others. p must be addressed as the
// node's own prop and need no universe more. The slots last heard light it at
// once.
func (n *Node) Become(p *prop.Prop, faults ...strip.Fault) error {
	s, err := stripBehind(p, faults)
	if err != nil {
		return err
	}
	if p.Address.Universe != n.prop.Address.Universe || len(s.Universes()) > len(n.follow) {
		return fmt.Errorf("%s is on other universes than %s: give one on the same", p.Name, n.prop.Name)
	}
	n.next.Store(s)
	return nil
}

// become takes the strip that Become has left, and reports whether there was one.
func (n *Node) become() bool {
	s := n.next.Swap(nil)
	if s != nil {
		n.strip = s
	}
	return s != nil
}
