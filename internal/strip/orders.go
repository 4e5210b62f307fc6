package strip

import (
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// otherChip is the wire order of a chip with another number of slots: the one
// given, or the planned one without its whites, or with them added after, as
// GRB and GRBW are sold (a public list of pixel chips).
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

// bytesOf says which byte of a chip, from 0, drives each channel: with GRB red
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
