package show

import (
	"example.org/ringout/internal/prop"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// Targets is where the universes of a prop go, in the order in which a show
// puts their slots: what a link.Sender for it has to be opened with.
func Targets(p *prop.Prop) ([]link.Target, error) {
	patch, err := prop.NewPatch(p.Pixels(), p.Chip.Order, p.Address)
	if err != nil {
		return nil, err
	}
	var ts []link.Target
	for _, u := range patch.Universes() {
		ts = append(ts, link.Target{Universe: protocol.Universe(u), Host: p.Address.Host,
			Port: p.Address.Port, Interface: p.Address.Interface})
	}
	return ts, nil
}
