package protocol

import "net/netip"

// Valid reports whether u may carry data: 1 to 63999 (6.2.7).
func (u Universe) Valid() bool { return u >= FirstUniverse && u <= LastUniverse }

// Group is the IPv4 multicast address of u: 239.255 and then the number's two
// octets (9.3.1, table 9-10). DiscoveryGroup has one too. The standard's IPv6
// groups are left out, because public libraries read them in two ways.
func (u Universe) Group() netip.Addr {
	return netip.AddrFrom4([4]byte{239, 255, byte(u >> 8), byte(u)})
}
