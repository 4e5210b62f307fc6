package link

import (
	"encoding/binary"
	"fmt"
	"net"
	"net/netip"
	"strings"

	"example.org/ringout/protocol"
)

// An Interface is one of this machine's network interfaces.
type Interface struct {
	Name      string
	Index     int
	Up        bool // switched on
	Running   bool // up, and its cable or wireless link is there
	Multicast bool
	Loopback  bool
	Addrs     []netip.Prefix
}

// Interfaces lists this machine's network interfaces in the system's order.
func Interfaces() ([]Interface, error) {
	all, err := net.Interfaces()
	if err != nil {
		return nil, fmt.Errorf("the system does not list its network interfaces: %w", err)
	}
	list := make([]Interface, 0, len(all))
	for i := range all {
		list = append(list, interfaceFrom(&all[i]))
	}
	return list, nil
}

func interfaceFrom(ifi *net.Interface) Interface {
	i := Interface{
		Name:      ifi.Name,
		Index:     ifi.Index,
		Up:        ifi.Flags&net.FlagUp != 0,
		Running:   ifi.Flags&net.FlagRunning != 0,
		Multicast: ifi.Flags&net.FlagMulticast != 0,
		Loopback:  ifi.Flags&net.FlagLoopback != 0,
	}
	addrs, _ := ifi.Addrs() // an empty list is valid
	for _, a := range addrs {
		if n, ok := a.(*net.IPNet); ok {
			ip, _ := netip.AddrFromSlice(n.IP)
			ones, _ := n.Mask.Size()
			i.Addrs = append(i.Addrs, netip.PrefixFrom(ip.Unmap(), ones))
		}
	}
	return i
}

// An interfaceError names an interface that does not exist, and those that do.
type interfaceError struct {
	name string
	have []string
}

func (e *interfaceError) Error() string {
	return fmt.Sprintf("interface %q does not exist: this machine has %s",
		protocol.Printable(e.name), strings.Join(e.have, ", "))
}

// interfaceByName finds an interface; its error names those that exist.
func interfaceByName(name string) (Interface, error) {
	if ifi, err := net.InterfaceByName(name); err == nil {
		return interfaceFrom(ifi), nil
	}
	all, err := net.Interfaces()
	if err != nil {
		return Interface{}, fmt.Errorf("interface %q was not found: %w", protocol.Printable(name), err)
	}
	var have []string
	for _, ifi := range all {
		have = append(have, ifi.Name)
	}
	return Interface{}, &interfaceError{name, have}
}

// interfaceOf returns the interface that has an address, or zero.
func interfaceOf(list []Interface, a netip.Addr) Interface {
	a = a.Unmap().WithZone("")
	for _, i := range list {
		for _, p := range i.Addrs {
			if p.Addr() == a || (i.Loopback && p.Contains(a)) {
				return i
			}
		}
	}
	return Interface{}
}

// A broadcastError reports a broadcast address as target.
type broadcastError struct {
	addr netip.Addr
	of   netip.Prefix // the network; zero for 255.255.255.255
}

func (e *broadcastError) Error() string {
	of := "every host"
	if e.of.IsValid() {
		of = fmt.Sprintf("every host of %v", e.of)
	}
	return fmt.Sprintf("%s is the address of %s, not of one: give the host's own, or none for multicast", e.addr, of)
}

// broadcast refuses the addresses that reach every host: 255.255.255.255, and
// the first and the last of each network this machine is on (RFC 922; RFC 1122
// 3.2.1.3). Networks of two addresses have none (RFC 3021).
func broadcast(a netip.Addr, list []Interface) error {
	if a == netip.AddrFrom4([4]byte{255, 255, 255, 255}) {
		return &broadcastError{addr: a}
	}
	for _, i := range list {
		for _, p := range i.Addrs {
			if !a.Is4() || !p.Addr().Is4() || p.Bits() > 30 || !p.Contains(a) {
				continue
			}
			host := uint32(1)<<(32-p.Bits()) - 1 // the bits of the host
			b := a.As4()
			if n := binary.BigEndian.Uint32(b[:]) & host; n == 0 || n == host {
				return &broadcastError{a, p.Masked()}
			}
		}
	}
	return nil
}
