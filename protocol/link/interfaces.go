package link

import (
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
	Running   bool // and the cable or the wireless link is there
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
	addrs, _ := ifi.Addrs() // none is an answer too
	for _, a := range addrs {
		if n, ok := a.(*net.IPNet); ok {
			ip, _ := netip.AddrFromSlice(n.IP)
			ones, _ := n.Mask.Size()
			i.Addrs = append(i.Addrs, netip.PrefixFrom(ip.Unmap(), ones))
		}
	}
	return i
}

// An interfaceError says that an interface is missing and which there are.
type interfaceError struct {
	name string
	have []string
}

func (e *interfaceError) Error() string {
	return fmt.Sprintf("interface %q does not exist: this machine has %s",
		protocol.Printable(e.name), strings.Join(e.have, ", "))
}

// interfaceByName finds an interface or names the ones there are.
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

// interfaceOf finds the interface that has an address.
func interfaceOf(list []Interface, a netip.Addr) (Interface, bool) {
	a = a.Unmap().WithZone("")
	for _, i := range list {
		for _, p := range i.Addrs {
			if p.Addr() == a || (i.Loopback && p.Contains(a)) {
				return i, true
			}
		}
	}
	return Interface{}, false
}
