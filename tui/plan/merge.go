package plan

import (
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// merged is the document with the figures of the Set-up form set to those of p. It is false
// when p differs in other figures. In the demo the host is not merged, since it is that of
// the simulation.
func merged(d *prop.Document, p *prop.Prop, demo bool) (*prop.Document, bool) {
	now := d.Prop()
	if now.Pixels() != p.Pixels() || len(now.Runs) != len(p.Runs) {
		return nil, false
	}
	var all []prop.Setting
	put := func(differs bool, table, key string, v any) {
		if differs {
			all = append(all, prop.Setting{Where: prop.Where{Table: table, Key: key}, Value: v})
		}
	}
	a, b := now.Address, p.Address
	if !demo {
		host, face := any(b.Host), any(b.Interface)
		if b.Host == "" {
			host = "multicast"
		}
		if b.Interface == "" {
			face = nil
		}
		put(a.Host != b.Host, "address", "host", host)
		put(a.Interface != b.Interface, "address", "interface", face)
	}
	put(a.Universe != b.Universe, "address", "universe", int(b.Universe))
	put(a.Slot != b.Slot, "address", "slot", b.Slot+1)
	next := *d
	if now.Chip.Name != p.Chip.Name {
		if setChip(&next, p.Chip.Name) != nil {
			return nil, false
		}
	}
	put(next.Prop().Chip.Order != p.Chip.Order, "strip", "order", string(p.Chip.Order))
	put(next.Prop().Supply.Volts != p.Supply.Volts, "supply", "volts", words.Given(p.Supply.Volts, "V"))
	put(next.Prop().Supply.Amps != p.Supply.Amps, "supply", "amps", words.Given(p.Supply.Amps, "A"))
	if next.SetAll(all) != nil {
		return nil, false
	}
	return &next, true
}
