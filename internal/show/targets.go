package show

import (
	"example.org/ringout/internal/prop"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// targets lists the destinations of a prop's universes, in the order in which a
// show puts their slots. A universe without a pixel is left out.
func targets(p *prop.Prop) ([]link.Target, error) {
	patch, err := prop.PatchFor(p)
	if err != nil {
		return nil, err
	}
	var ts []link.Target
	for _, u := range patch.Universes()[patch.Idle():] {
		ts = append(ts, link.Target{Universe: protocol.Universe(u), Host: p.Address.Host,
			Port: p.Address.Port, Interface: p.Address.Interface})
	}
	return ts, nil
}

// Open starts the sender of a prop: source and way of sending are from c;
// targets, priority and synchronization address are from the prop.
func Open(p *prop.Prop, c link.Config) (*link.Sender, error) {
	list, err := targets(p)
	if err != nil {
		return nil, err
	}
	c.Targets, c.Priority, c.Sync = list, p.Address.Priority, protocol.Universe(p.Address.Sync)
	return link.Open(c)
}
