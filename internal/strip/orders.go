package strip

import (
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// otherChip is the wire order of a chip with N slots: the fault's Order, or the
// planned order with whites removed or appended, such as GRB and GRBW (a public
// list of pixel chips).
func otherChip(planned prop.Order, f Fault) prop.Order {
	if f.Order != "" {
		return f.Order
	}
	o := string(planned)
	for _, white := range []string{"C", "W"} {
		if len(o) > f.N {
			o = strings.ReplaceAll(o, white, "")
		}
	}
	for _, white := range []string{"W", "C"} {
		if len(o) < f.N && !strings.Contains(o, white) {
			o += white
		}
	}
	return prop.Order(o)
}

// channelBits are the channels of an order, bit k for patterns.Channel k.
func channelBits(o prop.Order) (bits uint8) {
	for i := range len(o) {
		bits |= 1 << o.Channel(i)
	}
	return bits
}

// bytesOf is the byte of a chip, from 0, that drives each channel: with GRB red
// is byte 1. Channels that the order lacks have none.
func bytesOf(o prop.Order) (at [patterns.NumChannels]uint8) {
	for i := range at {
		at[i] = none
	}
	for i := range len(o) {
		at[o.Channel(i)] = uint8(i)
	}
	return at
}
