package wirecheck

import (
	"bytes"
	"net/netip"
	"unicode/utf8"
)

// opening is octets 0 to 15: preamble, postamble and packet identifier (5.1 to 5.3).
var opening = []byte{0, 0x10, 0, 0, 'A', 'S', 'C', '-', 'E', '1', '.', '1', '7', 0, 0, 0}

func checkRoot(c *capture, _ Want) {
	var cid []byte
	for i, p := range c.packets {
		b := p.Octets
		if len(b) < 49 {
			c.fault(i, "%d octets are too few for any packet", len(b))
			continue
		}
		if !bytes.Equal(b[:16], opening) {
			c.fault(i, "octets 0-15 are %x, want %x", b[:16], opening)
		}
		if kind(b) == 0 {
			c.fault(i, "vectors are %d (octet 18) and %d (octet 40)", u32(b, 18), u32(b, 40))
		}
		if cid == nil {
			cid = b[22:38]
		}
		if !bytes.Equal(b[22:38], cid) {
			c.fault(i, "CID (octet 22) is %x, was %x", b[22:38], cid)
		}
		if bytes.Equal(b[22:38], make([]byte, 16)) {
			c.fault(i, "CID (octet 22) is all 0")
		}
	}
}

// lengthsAt lists the octets of the layer lengths of each kind of packet, besides
// octet 16.
var lengthsAt = map[int][]int{kindData: {38, 115}, kindSync: {38}, kindDiscovery: {38, 112}}

// sizes is the least and the most octets of each kind of packet.
var sizes = map[int][2]int{kindData: {126, 638}, kindSync: {49, 49}, kindDiscovery: {120, 1144}}

func checkLengths(c *capture, _ Want) {
	for i, p := range c.packets {
		b := p.Octets
		if len(b) < 49 || kind(b) == 0 {
			continue // reported by rule "root"
		}
		size := sizes[kind(b)]
		if len(b) < size[0] || len(b) > size[1] {
			c.fault(i, "%d octets, want %d to %d", len(b), size[0], size[1])
			continue
		}
		for _, at := range append([]int{16}, lengthsAt[kind(b)]...) {
			if want := 0x7000 | (len(b) - at); u16(b, at) != want {
				c.fault(i, "octet %d is %04x, want %04x", at, u16(b, at), want)
			}
		}
	}
}

func checkName(c *capture, _ Want) {
	for i, p := range c.packets {
		if kind(p.Octets) == kindSync {
			continue
		}
		text, fill, found := bytes.Cut(p.Octets[44:108], []byte{0})
		if !found || !utf8.Valid(text) || len(bytes.Trim(fill, "\x00")) > 0 {
			c.fault(i, "source name (octet 44) is %q", p.Octets[44:108])
		}
	}
}

func checkFields(c *capture, _ Want) {
	c.each(kindData, func(i int, b []byte) {
		c.within(i, "priority", 108, int(b[108]), 0, 200)
		c.within(i, "synchronization address", 109, u16(b, 109), 0, 63999)
		c.within(i, "reserved option bits", 112, int(b[112]&0x1f), 0, 0)
		c.within(i, "universe", 113, u16(b, 113), 1, 63999)
		c.within(i, "DMP vector", 117, int(b[117]), 2, 2)
		c.within(i, "address and data type", 118, int(b[118]), 0xa1, 0xa1)
		c.within(i, "first property address", 119, u16(b, 119), 0, 0)
		c.within(i, "address increment", 121, u16(b, 121), 1, 1)
		c.within(i, "property value count", 123, u16(b, 123), len(b)-125, len(b)-125)
	})
	c.each(kindSync, func(i int, b []byte) {
		c.within(i, "synchronization address", 45, u16(b, 45), 1, 63999)
		c.within(i, "reserved", 47, u16(b, 47), 0, 0)
	})
	c.each(kindDiscovery, func(i int, b []byte) {
		c.within(i, "reserved", 108, u32(b, 108), 0, 0)
		c.within(i, "list vector", 114, u32(b, 114), 1, 1)
		c.within(i, "page", 118, int(b[118]), 0, int(b[119]))
		c.within(i, "odd octets in the list", 120, len(b)%2, 0, 0)
	})
}

func (c *capture) within(i int, field string, octet, got, least, most int) {
	if got < least || got > most {
		c.fault(i, "%s (octet %d) is %d, want %d to %d", field, octet, got, least, most)
	}
}

func checkGroup(c *capture, _ Want) {
	for i, p := range c.packets {
		if !p.To.IsValid() || !p.To.Addr().IsMulticast() {
			continue
		}
		u := 64214 // the universe of discovery packets
		switch kind(p.Octets) {
		case kindData:
			u = u16(p.Octets, 113)
		case kindSync:
			u = u16(p.Octets, 45)
		}
		want := netip.AddrPortFrom(netip.AddrFrom4([4]byte{239, 255, byte(u >> 8), byte(u)}), 5568)
		if p.To != want {
			c.fault(i, "sent to %v, want %v", p.To, want)
		}
	}
}
