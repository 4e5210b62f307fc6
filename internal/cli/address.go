package cli

import (
	"cmp"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/prop"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// addressFlags is a strip described by flags instead of by a prop file.
type addressFlags struct {
	file, part                      string
	to, iface, chip, order, packing string
	port, universe, slot, pixels    int
	priority, sync                  int
	volts, amps                     float64
}

// flags adds the flags that describe a strip.
func (a *addressFlags) flags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&a.file, "file", "", "prop file that describes the strip, in place of the flags that do")
	f.StringVar(&a.part, "part", "", "with --file: light this run or named part alone")
	f.StringVar(&a.to, "to", "", "host name or IP address of the controller, or \"multicast\"")
	f.StringVar(&a.iface, "interface", "", "network interface to send by; empty lets the system choose")
	f.IntVar(&a.port, "port", protocol.Port, "UDP port of the host")
	f.IntVar(&a.universe, "universe", 1, "universe of the first pixel, 1 to 63999")
	f.IntVar(&a.slot, "slot", 1, "slot of the first pixel, 1 to 512")
	f.IntVar(&a.pixels, "pixels", 0, "number of pixels")
	f.StringVar(&a.chip, "chip", "WS2812B", "kind of pixel: "+strings.Join(chipNames(), ", "))
	f.StringVar(&a.order, "order", "", "colour order, such as GRB or RGBW; empty takes the chip's")
	f.StringVar(&a.packing, "packing", string(prop.Whole), "whole (no pixel straddles two universes) or straddle (all 512 slots are used)")
	f.IntVar(&a.priority, "priority", link.DefaultPriority, "priority, 0 to 200")
	f.IntVar(&a.sync, "sync", 0, "synchronization address; 0 means none")
	f.Float64Var(&a.volts, "volts", 0, "supply voltage; 0 takes the chip's")
	f.Float64Var(&a.amps, "amps", 10, "supply rating in amps; the light is limited to 80 % of it")
}

func chipNames() []string {
	var names []string
	for _, c := range prop.KnownChips() {
		names = append(names, c.Name)
	}
	return names
}

// replacedFlags are the flags that a prop file replaces.
var replacedFlags = []string{"to", "interface", "port", "universe", "slot", "pixels", "chip", "order", "packing", "priority", "sync", "volts", "amps"}

// fromFile reads the prop of a file, or a part of it.
func (a *addressFlags) fromFile(c *cobra.Command) (*prop.Prop, error) {
	for _, name := range replacedFlags {
		if c.Flags().Changed(name) {
			return nil, wrong(c, fmt.Errorf("--%s together with --file: the file says it, so leave one out", name))
		}
	}
	p, _, err := load(c, a.file)
	if err != nil {
		return nil, err
	}
	p, err = partOf(p, a.part)
	if err != nil {
		return nil, wrong(c, fmt.Errorf("--part: %w", err))
	}
	return p, nil
}

// partOf returns a run or a named part of a prop, on the slots it has there, or
// the whole prop when name is empty.
func partOf(p *prop.Prop, name string) (*prop.Prop, error) {
	if name == "" {
		return p, nil
	}
	s, err := p.Section(name)
	if err != nil {
		return nil, err
	}
	return prop.Sub(p, s)
}

// prop makes a prop of one run out of the flags, or reads the file.
func (a *addressFlags) prop(c *cobra.Command) (*prop.Prop, error) {
	if a.file != "" {
		return a.fromFile(c)
	}
	p, err := a.propOfFlags()
	if err != nil {
		return nil, wrong(c, err)
	}
	return p, nil
}

// within refuses whole numbers outside their range and names the range.
func (a *addressFlags) within() error {
	for _, n := range []struct {
		flag               string
		value, least, most int
		wrong, instead     string
	}{
		{"pixels", a.pixels, 1, prop.MaxPixels, "", ""},
		{"universe", a.universe, 1, prop.MaxUniverse, " does not exist", ""},
		{"slot", a.slot, 1, prop.SlotsPerUniverse, " does not exist", ""},
		{"port", a.port, 1, 65535, " does not exist", ""},
		{"priority", a.priority, 0, protocol.MaxPriority, " does not exist", ""},
		{"sync", a.sync, 0, prop.MaxUniverse, " does not exist", fmt.Sprintf("1 to %d, or 0 for none", prop.MaxUniverse)},
	} {
		if n.value >= n.least && n.value <= n.most {
			continue
		}
		if n.instead == "" {
			n.instead = fmt.Sprintf("%d to %d", n.least, n.most)
		}
		return fmt.Errorf("--%s %d%s: give %s", n.flag, n.value, n.wrong, n.instead)
	}
	return nil
}

// propOfFlags makes a prop of one run from the flags.
func (a *addressFlags) propOfFlags() (*prop.Prop, error) {
	switch {
	case a.part != "":
		return nil, errors.New("--part without --file: give the prop file that has the part")
	case a.to == "":
		return nil, errors.New("--to is missing, so nothing is sent: give a host name, an IP address, or \"multicast\"; or a prop file with --file")
	case !(a.amps > 0 && a.amps <= 1000):
		return nil, fmt.Errorf("--amps %g: give the rating on the supply's plate, more than 0 and at most 1000", a.amps)
	case !(a.volts >= 0 && a.volts <= 48):
		return nil, fmt.Errorf("--volts %g: give the supply's voltage, more than 0 and at most 48", a.volts)
	case a.packing != string(prop.Whole) && a.packing != string(prop.Straddle):
		return nil, fmt.Errorf("--packing %q is not known: give whole or straddle", a.packing)
	}
	if err := a.within(); err != nil {
		return nil, err
	}
	chip, err := a.pixelChip()
	if err != nil {
		return nil, err
	}
	if err := a.voltsFit(chip); err != nil {
		return nil, err
	}
	p := &prop.Prop{Name: "strip", Chip: chip,
		Runs:   []prop.Run{{Name: "strip", Pixels: a.pixels, Shape: prop.Shape{Kind: prop.Line}}},
		Supply: prop.Supply{Volts: cmp.Or(a.volts, chip.Volts), Amps: a.amps, Continuous: prop.ContinuousShare},
		Address: prop.Address{Host: a.to, Port: uint16(a.port), Interface: a.iface, Universe: uint16(a.universe),
			Slot: a.slot - 1, Packing: prop.Packing(a.packing), Priority: uint8(a.priority), Sync: uint16(a.sync)}}
	if strings.EqualFold(a.to, "multicast") {
		p.Address.Host = ""
	}
	_, err = prop.NewPatch(a.pixels, chip.Order, p.Address)
	return p, err
}

// voltsFit refuses a supply for another chip, as prop files do: one can be trimmed about
// 10 % above its rating (from memory), so more than 15 % is another supply.
func (a *addressFlags) voltsFit(chip prop.Chip) error {
	switch {
	case a.volts > 1.15*chip.Volts:
		return fmt.Errorf("--volts %g would harm %s, which takes %g V: power off and use the right supply, or give the right --chip", a.volts, chip.Name, chip.Volts)
	case a.volts > 0 && a.volts < chip.MinVolts:
		return fmt.Errorf("--volts %g is too little for %s, which needs %g V: power off and use the right supply, or give the right --chip", a.volts, chip.Name, chip.MinVolts)
	}
	return nil
}

// pixelChip returns the chip of the flags, in their colour order.
func (a *addressFlags) pixelChip() (prop.Chip, error) {
	chip, ok := prop.ChipByName(a.chip)
	if !ok {
		return chip, fmt.Errorf("--chip %q is not known: give one of %s", a.chip, strings.Join(chipNames(), ", "))
	}
	if a.order == "" {
		return chip, nil
	}
	order, err := prop.ParseOrder(a.order)
	if err != nil {
		return chip, fmt.Errorf("--order: %w", err)
	}
	chip.Order = order
	return chip, nil
}

// wholeUniverse describes every slot from the first on, for the pattern black,
// which needs no more than a host and a universe: four slots a pixel fill 512,
// and packing across the boundary leaves none out.
func (a *addressFlags) wholeUniverse() {
	const slots = 4
	a.order, a.packing = "RGBW", string(prop.Straddle)
	a.pixels = max(1, (prop.SlotsPerUniverse-a.slot+1)/slots)
}
