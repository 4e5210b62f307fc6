package prop

import (
	"fmt"
	"net/netip"
	"strings"
)

// maxLength is the longest length accepted, in metres.
const maxLength = 1000

func (r *reader) name() {
	s := spot{r.top, ""}
	name, e, ok := r.text(s, "name")
	switch {
	case e == nil:
		r.reportMissing(0, "name", `write name = "Porthole" at the top`, "the prop needs one")
	case ok && name == "":
		r.problem(e.line, "name", "give the prop a name", "is empty")
	}
	r.prop.Name = name
	r.text(s, "note")
}

// strip reads [strip]. Missing keys keep the figures of the chip table. The limits only
// catch a wrong unit: 2000 LEDs a metre, 60 V, 5 A for a dark pixel, 20 A for a
// channel, 100 ohms a metre of rail, 1000 m.
func (r *reader) strip() {
	s := r.one("strip")
	if s.t == nil {
		r.reportMissing(0, "[strip]", `write [strip] and below it chip = "WS2812B"`, "is missing")
		return
	}
	c := r.chip(s)
	v, _, dense := r.measure(s, "density", density, 0, 2000)
	if dense {
		c.LightsPerMetre = v
	}
	if v, _, ok := r.integer(s, "group", 1, 100); ok {
		c.LightsPerPixel = v
	}
	if !dense && r.sign != nil { // one pixel per length of cord
		c.LightsPerMetre = float64(max(1, c.LightsPerPixel)) / r.sign.Plate.Reach
	}
	if text, e, ok := r.text(s, "order"); ok {
		order, err := ParseOrder(text)
		if err != nil {
			r.problem(e.line, s.key("order"), "", "%s", err)
		}
		c.Order = order
	}
	for _, f := range []struct {
		key      string
		q        quantity
		to       *float64
		low, max float64
	}{
		{"volts", volts, &c.Volts, 0, 60}, {"lowest", volts, &c.MinVolts, 0, 60},
		{"idle", amps, &c.IdleAmps, orZero, 5}, {"full", amps, &c.ChannelAmps, 0, 20},
		{"rail", railOhms, &r.prop.RailOhms, 0, 100}, {"reel", lengths, &r.prop.Reel, 0, maxLength},
		{"coil", lengths, &r.prop.Coil, 0, maxLength},
	} {
		if v, _, ok := r.measure(s, f.key, f.q, f.low, f.max); ok {
			*f.to = v
		}
	}
	r.prop.LeadWire = r.wire(s, "lead_wire")
	if c.MinVolts == 0 && s.t.find("lowest") == nil {
		c.MinVolts = LowestShare(c.Volts)
	}
	r.checkChip(s, c)
	r.doubtFigures(s, c)
	r.prop.Chip = c
}

// LowestShare is what a chip of unknown lowest voltage is taken to work from: 0.9 of
// its volts, as 4.5 of 5 and 10.8 of 12. Without it any voltage would seem to hold.
func LowestShare(volts float64) float64 { return dropRounding(0.9 * volts) }

// doubtFigures warns of figures far from those of the chip's table, which are most
// often a wrong unit: they would make a prop seem good that is not. A bulb's figures
// are guesses. Real rails have 0.05 to 0.2 ohms a metre, see DefaultRailOhms.
func (r *reader) doubtFigures(s spot, c Chip) {
	doubt := func(key, hint, format string, a ...any) {
		if e := s.t.find(key); e != nil {
			r.doubt(e.line, s.key(key), hint, format, a...)
		}
	}
	if o := r.prop.RailOhms; o > 0 && o < 0.02 {
		doubt("rail", `check the unit; a usual strip has "0.2 ohm/m"`, "%s ohm/m is less than any usual strip has", decimals(o, 4))
	}
	k, known := KnownByName(c.Name)
	if !known || k.Data == (DataLine{}) {
		return
	}
	_, high, spread := k.Spread()
	least, most := k.ChannelAmps, k.ChannelAmps
	if spread {
		least, most = k.Low.Channel, high.ChannelAmps
	}
	switch {
	case c.ChannelAmps < least/2:
		doubt("full", "check the unit and the reading", "%s mA is far below the %s mA that one colour of a %s draws", decimals(1000*c.ChannelAmps, 2), decimals(1000*least, 2), c.Name)
	case c.ChannelAmps > 2*most:
		doubt("full", "give what one colour of one pixel adds, not white, and check the unit", "%s mA is far above the %s mA that one colour of a %s draws", decimals(1000*c.ChannelAmps, 2), decimals(1000*most, 2), c.Name)
	}
	switch {
	case c.Volts > 1.15*k.Volts:
		doubt("volts", "read the print on the strip", "%s V would harm the usual %s, which takes %s V", decimals(c.Volts, 2), c.Name, decimals(k.Volts, 2))
	case c.Volts == k.Volts && c.MinVolts < 0.75*k.MinVolts:
		doubt("lowest", "check it against the datasheet", "%s V is far below the %s V that a %s works from", decimals(c.MinVolts, 2), decimals(k.MinVolts, 2), c.Name)
	}
}

// chip is the known chip of that name, or an empty one with the name.
func (r *reader) chip(s spot) Chip {
	name, e, ok := r.text(s, "chip")
	if e == nil {
		r.reportMissing(s.line(), s.key("chip"), `write chip = "WS2812B"`, "is missing")
	}
	if !ok {
		return Chip{LightsPerPixel: 1}
	}
	c, known := ChipByName(name)
	if known {
		return c
	}
	// Without these, data and power of an unknown chip cannot be worked out.
	if s.t.find("order") != nil && s.t.find("volts") != nil && s.t.find("full") != nil {
		return Chip{Name: name, LightsPerPixel: 1}
	}
	var names []string
	for _, k := range chips {
		names = append(names, k.Name)
	}
	hint := "give order, volts and full (amps a channel) from its datasheet"
	if n := nearest(name, names); n != "" {
		hint = fmt.Sprintf("did you mean %q? If not, %s", n, hint)
	}
	r.problem(e.line, s.key("chip"), hint, "%q is not in the table of chips", name)
	return Chip{LightsPerPixel: 1}
}

// checkChip checks that the figures of a chip agree.
func (r *reader) checkChip(s spot, c Chip) {
	if e := s.t.find("lowest"); e != nil && c.Volts > 0 && c.MinVolts > c.Volts {
		r.problem(e.line, s.key("lowest"), "give what it still works at", "%s V is above the %s V the chip takes", decimals(c.MinVolts, 2), decimals(c.Volts, 2))
	}
	if e := s.t.find("volts"); e != nil && c.MinVolts > c.Volts {
		r.problem(e.line, s.key("volts"), `give "lowest" as well`, "%s V is below the %s V the chip needs", decimals(c.Volts, 2), decimals(c.MinVolts, 2))
	}
}

// supply reads [supply]: rated volts and amps, and the share of the amps for continuous
// load. The volts default to the chip's.
func (r *reader) supply() {
	s := r.one("supply")
	if s.t == nil {
		r.reportMissing(0, "[supply]", `write [supply], and below it its plate: volts = "5 V" and amps = "10 A"`, "is missing")
		return
	}
	sup := Supply{Volts: r.prop.Chip.Volts, Continuous: ContinuousShare}
	if v, _, ok := r.measure(s, "volts", volts, 0, 60); ok {
		sup.Volts = v
	}
	if v, _, ok := r.measure(s, "amps", amps, 0, 1000); ok {
		sup.Amps = v
	}
	if s.t.find("amps") == nil {
		r.reportMissing(s.line(), s.key("amps"), `write amps = "10 A", as on its plate`, "is missing")
	}
	if v, _, ok := r.measure(s, "continuous", shares, 0, 1); ok {
		sup.Continuous = v
	}
	r.prop.Supply = sup
	r.temperature(s)
	r.checkVolts(s)
}

// temperature reads the temperature of the wires, in °C. 0 means not given inside, so a wire
// at 0 °C is stored as slightly more.
func (r *reader) temperature(s spot) {
	v, e, ok := r.measure(s, "temperature", warmth, -60, 250)
	if !ok {
		return
	}
	if text := strings.ToLower(e.val.text); strings.HasSuffix(strings.TrimSpace(text), "f") {
		v = (v - 32) / 1.8
	}
	if v < -50 || v > 120 {
		r.problem(e.line, s.key("temperature"), `write -50 C to 120 C`, "%q is no temperature for a prop", e.val.text)
	}
	if v == 0 {
		v = 1e-6
	}
	r.prop.WireCelsius = v
}

// checkVolts refuses a supply more than 15 % above the chip's voltage, or below the
// chip's lowest. A supply can be trimmed about 10 % above its rating (from memory), so
// a higher voltage means another supply.
func (r *reader) checkVolts(s spot) {
	c, sup := r.prop.Chip, r.prop.Supply
	e := s.t.find("volts")
	switch {
	case e == nil || c.Volts == 0 || sup.Volts == 0:
	case sup.Volts > c.Volts*1.15:
		r.problem(e.line, s.key("volts"), "use the right supply, or give the chip's own volts in [strip]",
			"%s V would harm the %s, which takes %s V", decimals(sup.Volts, 2), c.Name, decimals(c.Volts, 2))
	case sup.Volts < c.MinVolts:
		r.problem(e.line, s.key("volts"), "use the right supply, or give the chip's own lowest volts in [strip]",
			"%s V is too little for the %s, which needs %s V", decimals(sup.Volts, 2), c.Name, decimals(c.MinVolts, 2))
	}
}

// address reads [address]; host and universe are required. Universes are 1 to 63999
// (ANSI E1.31-2018 6.2.7), slots 1 to 512, the priority 0 to 200 and 100 unless given
// (6.2.3), the synchronization address a universe number or 0 for none (6.2.4).
func (r *reader) address() {
	s := r.one("address")
	a := Address{Universe: 1, Packing: Whole, Priority: 100}
	if s.t == nil {
		r.reportMissing(0, "[address]", `write [address] and below it host = "10.0.0.5" or "multicast", and universe = 1`, "is missing")
		return
	}
	a.Host = r.host(s)
	a.Interface, _, _ = r.text(s, "interface")
	for _, f := range []struct {
		key    string
		lo, hi int
		set    func(int)
	}{
		{"port", 1, 65535, func(v int) { a.Port = uint16(v) }},
		{"universe", 1, MaxUniverse, func(v int) { a.Universe = uint16(v) }},
		{"slot", 1, SlotsPerUniverse, func(v int) { a.Slot = v - 1 }},
		{"priority", 0, 200, func(v int) { a.Priority = uint8(v) }},
		{"sync", 0, MaxUniverse, func(v int) { a.Sync = uint16(v) }},
	} {
		if v, _, ok := r.integer(s, f.key, f.lo, f.hi); ok {
			f.set(v)
		}
	}
	if s.t.find("universe") == nil {
		r.reportMissing(s.line(), s.key("universe"), "write universe = 1", "is missing")
	}
	if text, e, ok := r.text(s, "packing"); ok {
		a.Packing = Packing(text)
		if a.Packing != Whole && a.Packing != Straddle {
			r.problem(e.line, s.key("packing"), `write "whole" (a pixel stays in one universe) or "straddle" (all 512 slots are used)`, "%q is no packing", text)
		}
	}
	r.prop.Address = a
}

// host reads a name or an IP address; empty for multicast.
func (r *reader) host(s spot) string {
	text, e, ok := r.text(s, "host")
	if e == nil {
		r.reportMissing(s.line(), s.key("host"), `write host = "10.0.0.5", a name, or "multicast"`, "is missing")
	}
	if !ok || strings.EqualFold(text, "multicast") {
		return ""
	}
	ip, err := netip.ParseAddr(text)
	switch {
	case err == nil && ip.IsMulticast():
		r.problem(e.line, s.key("host"), `write host = "multicast"; the group follows from the universe`, "%q is a group address", text)
	case err == nil && ip.IsUnspecified():
		r.problem(e.line, s.key("host"), "give the address of the controller", "%q is no host's address", text)
	case err != nil && !hostName(text):
		r.problem(e.line, s.key("host"), `write an address such as "10.0.0.5", a name, or "multicast"`, "%q is not a host", text)
	}
	return text
}

// hostName reports whether s is a valid name: RFC 1123 labels, with underscores allowed
// since some networks use them. All digits and dots is a malformed address instead.
func hostName(s string) bool {
	if s == "" || len(s) > 253 || strings.Trim(s, "0123456789.") == "" {
		return false
	}
	for _, label := range strings.Split(strings.TrimSuffix(s, "."), ".") {
		if !hostLabel(label) {
			return false
		}
	}
	return true
}

const labelLetters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_"

// hostLabel reports whether s is a valid label: 1 to 63 octets (RFC 1035 2.3.4), with
// no hyphen at either end.
func hostLabel(s string) bool {
	return s != "" && len(s) <= 63 && strings.Trim(s, "-") == s && strings.Trim(s, labelLetters) == ""
}
