package setup

import (
	"fmt"
	"net/netip"
	"slices"
	"strconv"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/protocol"
)

// multicast is the text of the host line for multicast: packets then go to the group of the
// universe, which the whole network may receive.
const multicast = "multicast"

// noHost is the message while the host line is empty.
const noHost = "no host yet: name, address or " + multicast

// The lines of the form, from the top.
const (
	hostField = iota
	interfaceField
	universeField
	slotField
	pixelsField
	chipField
	orderField
	voltsField
	ampsField
	sourceField
	fields
)

// A problem is one sentence about one line: what is wrong and what to do.
type problem struct {
	field int
	text  string
}

func (p problem) Error() string { return p.text }

// read turns the texts of the form into values, or names the first line that
// cannot be read. interfaces are those this machine has; empty when unknown.
func read(t [fields]string, interfaces []string) (Values, error) {
	var v Values
	var err error
	bad := func(field int, format string, args ...any) {
		if err == nil {
			err = problem{field, fmt.Sprintf(format, args...)}
		}
	}
	v.Host = host(t[hostField], bad)
	v.Interface = strings.TrimSpace(t[interfaceField])
	if v.Interface != "" && len(interfaces) > 0 && !slices.Contains(interfaces, v.Interface) {
		bad(interfaceField, "this machine has no interface %q: choose another with ← →", v.Interface)
	}
	v.Universe = whole(t, universeField, "universe", prop.MaxUniverse, bad)
	v.Slot = whole(t, slotField, "first slot", prop.SlotsPerUniverse, bad)
	v.Pixels = whole(t, pixelsField, "pixel count", prop.MaxPixels, bad)
	v.Chip = t[chipField]
	chip, ok := prop.ChipByName(v.Chip)
	if !ok {
		bad(chipField, "chip %q is not known: choose one with ← →", v.Chip)
	}
	v.Order = order(t[orderField], chip, bad)
	v.Volts = real(t, voltsField, "supply volts", 48, bad)
	v.Amps = real(t, ampsField, "supply amps", 1000, bad)
	checkVolts(v.Volts, chip, bad)
	v.Source = strings.TrimSpace(t[sourceField])
	if e := protocol.CheckName(v.Source); e != nil {
		bad(sourceField, "%s", e)
	}
	return v, err
}

type badFunc func(field int, format string, args ...any)

// host is the name, the address or the word multicast. Sending to a whole network is never
// a default: the user must type that word.
func host(text string, bad badFunc) string {
	h := strings.TrimSpace(text)
	switch {
	case strings.EqualFold(h, multicast):
		return multicast
	case h == "":
		bad(hostField, noHost)
	case strings.ContainsAny(h, " /\t"):
		bad(hostField, "host %q has a space or a slash: write only the name or the address", h)
	case looksLikeAddress(h):
		a, err := netip.ParseAddr(h)
		if err != nil {
			bad(hostField, "host %q is not an address: four numbers 0 to 255 with dots, or an IPv6 address", h)
		} else if a.IsMulticast() || a.IsUnspecified() {
			bad(hostField, "address %s is not one host: write the host's own, or the word %s", h, multicast)
		}
	case len(h) > 253: // RFC 1035 2.3.4, less length octets
		bad(hostField, "the host name has %d letters: names end at 253", len(h))
	}
	return h
}

// looksLikeAddress reports whether a text is an address rather than a name: it has a colon,
// or only digits and dots.
func looksLikeAddress(h string) bool {
	return strings.Contains(h, ":") || strings.Trim(h, "0123456789.") == ""
}

// whole reads a whole number from 1 to most.
func whole(t [fields]string, field int, what string, most int, bad badFunc) int {
	text := strings.TrimSpace(t[field])
	n, err := strconv.Atoi(text)
	switch {
	case text == "":
		bad(field, "the %s is missing: write 1 to %d", what, most)
	case err != nil:
		bad(field, "%s %q is not a whole number: write 1 to %d", what, text, most)
	case n < 1 || n > most:
		bad(field, "%s %d does not exist: write 1 to %d", what, n, most)
	}
	return n
}

// real reads a number above 0 up to most, with a point or a comma.
func real(t [fields]string, field int, what string, most float64, bad badFunc) float64 {
	text := strings.TrimSpace(t[field])
	f, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	switch {
	case text == "":
		bad(field, "%s are missing: read them off the supply's plate", what)
	case err != nil:
		bad(field, "%s %q is not a number: write such as 5 or 4.5", what, text)
	case !(f > 0 && f <= most):
		bad(field, "%s %s is out of range: write more than 0, up to %g", what, text, most)
	}
	return f
}

// order reads the colour order and checks it against the chip's slots.
func order(text string, chip prop.Chip, bad badFunc) string {
	o, err := prop.ParseOrder(text)
	switch {
	case err != nil:
		bad(orderField, "%s", err)
	case chip.Order != "" && o.Slots() != chip.Order.Slots():
		bad(orderField, "colour order %s has %d letters, but %s takes %d slots a pixel: write %d letters or choose another chip",
			o, o.Slots(), chip.Name, chip.Order.Slots(), chip.Order.Slots())
	}
	return string(o)
}

// checkVolts refuses a supply that would damage the chips or not light them.
// A tenth above nominal is the usual upper end in datasheets (WS2812B: 5.5 V).
func checkVolts(v float64, chip prop.Chip, bad badFunc) {
	switch {
	case chip.Volts == 0:
	case v > chip.Volts*1.1+1e-9:
		bad(voltsField, "%s would destroy %s, which takes %s: change the supply or the chip", words.Given(v, "V"), chip.Name, words.Given(chip.Volts, "V"))
	case v < chip.MinVolts:
		bad(voltsField, "%s is too low for %s, which needs %s at least: change the supply or the chip", words.Given(v, "V"), chip.Name, words.Given(chip.MinVolts, "V"))
	}
}
