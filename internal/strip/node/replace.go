package node

import (
	"fmt"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// Become connects another prop to the node's controller, such as one run of the prop
// before it is joined to the others. p must start on the same universe as the node's
// own prop and need no more universes. It shows the last slots received at once.
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

// become takes over the strip that Become has set, and reports whether there was one.
func (n *Node) become() bool {
	s := n.next.Swap(nil)
	if s != nil {
		n.strip = s
	}
	return s != nil
}
