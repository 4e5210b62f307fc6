package prop

import (
	"fmt"
	"strings"

	"example.org/ringout/patterns"
)

// An Order is the colour order on the wire, such as "GRB" or "RGBW": one
// letter a slot, each of R, G, B, W (white or warm white) and C (cool white)
// at most once.
type Order string

// ParseOrder reads a colour order, upper or lower case, of 3 to 5 letters.
func ParseOrder(s string) (Order, error) {
	up := strings.ToUpper(strings.TrimSpace(s))
	if len(up) < 3 || len(up) > 5 {
		return "", fmt.Errorf("colour order %q has %d letters; write 3 to 5 of R, G, B, W, C, such as GRB or RGBW", s, len(up))
	}
	for i, r := range up {
		if !strings.ContainsRune("RGBWC", r) {
			return "", fmt.Errorf("colour order %q has the letter %q; only R, G, B, W and C are known", s, r)
		}
		if strings.ContainsRune(up[:i], r) {
			return "", fmt.Errorf("colour order %q has the letter %q twice; each colour has one slot", s, r)
		}
	}
	for _, r := range "RGB" {
		if !strings.ContainsRune(up, r) {
			return "", fmt.Errorf("colour order %q lacks the letter %q; red, green and blue are all needed", s, r)
		}
	}
	return Order(up), nil
}

// Slots is the number of slots a pixel takes.
func (o Order) Slots() int { return len(o) }

// Channels are the channels in wire order.
func (o Order) Channels() []patterns.Channel {
	out := make([]patterns.Channel, len(o))
	for i := range out {
		out[i] = o.Channel(i)
	}
	return out
}

// Channel is the channel at place i of the wire order.
func (o Order) Channel(i int) patterns.Channel {
	return patterns.Channel(strings.IndexByte("RGBWC", o[i]))
}
