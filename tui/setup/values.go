// Package setup is the form for a strip without a prop file: its address, pixels, chip and
// supply.
//
// Slots count from 1 on the form and in Values, as on every screen; the prop
// has them from 0.
package setup

import (
	"strconv"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/settings"
)

// Values are the content of the form, saved for the next run of the program.
type Values struct {
	Host      string // name, address or "multicast"; empty while none was chosen
	Interface string // empty lets the system choose
	Universe  int
	Slot      int // from 1
	Pixels    int
	Chip      string
	Order     string
	Volts     float64
	Amps      float64
	Source    string `json:"-"` // name to send under; kept by itself
}

// Defaults are the values of the first run: one metre of common strip, and no host, so that
// nothing is sent before one is given.
func Defaults() Values {
	return Values{Host: "", Universe: 1, Slot: 1, Pixels: 60, Chip: "WS2812B", Order: "GRB", Volts: 5, Amps: 4, Source: settings.DefaultName}
}

// FromProp are the values of a prop; Source is not part of it.
func FromProp(p *prop.Prop) Values {
	host := p.Address.Host
	if host == "" {
		host = multicast
	}
	return Values{Host: host, Interface: p.Address.Interface, Universe: int(p.Address.Universe),
		Slot: p.Address.Slot + 1, Pixels: p.Pixels(), Chip: p.Chip.Name, Order: string(p.Chip.Order),
		Volts: p.Supply.Volts, Amps: p.Supply.Amps}
}

// Prop is the prop these values describe. With as many pixels as base has, it
// is base at this address; otherwise one straight strip.
func (v Values) Prop(base *prop.Prop) (*prop.Prop, error) {
	chip, known := prop.ChipByName(v.Chip)
	if base != nil && base.Chip.Name == v.Chip {
		chip, known = base.Chip, true
	}
	if !known {
		return nil, problem{chipField, "chip " + strconv.Quote(v.Chip) + " is not known: choose one with ← →"}
	}
	host := v.Host
	switch host {
	case "":
		return nil, problem{hostField, noHost}
	case multicast:
		host = ""
	}
	order, err := prop.ParseOrder(v.Order)
	if err != nil {
		return nil, problem{orderField, err.Error()}
	}
	chip.Order = order
	p := &prop.Prop{Name: "Strip", Runs: []prop.Run{{Name: "strip", Pixels: v.Pixels, Shape: prop.Shape{Kind: prop.Line}}}}
	p.Address = prop.Address{Packing: prop.Whole, Priority: 100} // default priority: ANSI E1.31-2018 6.2.3
	if base != nil && base.Address.Host == host {
		p.Address = base.Address // port, packing and priority belong to the host
	}
	p.Supply.Continuous = prop.ContinuousShare
	if base != nil && base.Pixels() == v.Pixels {
		q := *base
		p = &q
	}
	p.Chip = chip
	p.Supply.Volts, p.Supply.Amps = v.Volts, v.Amps
	if p.Supply.Continuous == 0 {
		p.Supply.Continuous = prop.ContinuousShare
	}
	p.Address.Host, p.Address.Interface = host, v.Interface
	p.Address.Universe, p.Address.Slot = uint16(v.Universe), v.Slot-1
	if _, err := prop.NewPatch(v.Pixels, order, p.Address); err != nil {
		return nil, problem{pixelsField, err.Error()}
	}
	return p, nil
}

// texts are the values as typed into the form.
func (v Values) texts() [fields]string {
	var t [fields]string
	t[hostField] = v.Host
	t[interfaceField] = v.Interface
	t[universeField] = strconv.Itoa(v.Universe)
	t[slotField] = strconv.Itoa(v.Slot)
	t[pixelsField] = strconv.Itoa(v.Pixels)
	t[chipField] = v.Chip
	t[orderField] = v.Order
	t[voltsField] = number(v.Volts)
	t[ampsField] = number(v.Amps)
	t[sourceField] = v.Source
	return t
}

func number(f float64) string { return strconv.FormatFloat(f, 'g', 6, 64) }
