package node

import (
	"errors"
	"fmt"
	"net"
	"strings"
	"syscall"

	"golang.org/x/net/ipv4"

	"example.org/ringout/protocol"
)

// maxSyncGroups limits the synchronization groups that a node joins because a packet
// named them. Without a limit, any source could make it join ever more groups.
const maxSyncGroups = 8

// A membership is the groups a node has joined on its interface.
type membership struct {
	ifi    *net.Interface // nil when it listens to unicast only
	holder *ipv4.PacketConn
	more   []net.PacketConn // further sockets that only hold groups
	joined map[protocol.Universe]bool
	syncs  int // joined because a packet named them
}

// enter joins the groups of universes on one interface.
func (m *membership) enter(conn net.PacketConn, iface string, us []protocol.Universe) error {
	ifi, err := net.InterfaceByName(iface)
	if err != nil {
		return fmt.Errorf("there is no network interface %q; this machine has %s: %w", iface, interfaceNames(), err)
	}
	m.ifi, m.holder, m.joined = ifi, ipv4.NewPacketConn(conn), map[protocol.Universe]bool{}
	for _, u := range us {
		if err := m.join(u); err != nil {
			return err
		}
	}
	return nil
}

// join joins one group. Linux lets a socket join 20 (igmp_max_memberships), so further
// sockets join the rest: the system delivers packets of a group that any socket joined
// to every socket bound to the port (IP_MULTICAST_ALL, ip(7)).
func (m *membership) join(u protocol.Universe) error {
	group := &net.UDPAddr{IP: u.Group().AsSlice()}
	err := m.holder.JoinGroup(m.ifi, group)
	if errors.Is(err, syscall.ENOBUFS) {
		more, listenErr := net.ListenPacket("udp4", "0.0.0.0:0")
		if listenErr != nil {
			return fmt.Errorf("no socket to join universe %d on %s with: %w", u, m.ifi.Name, listenErr)
		}
		m.more = append(m.more, more)
		m.holder = ipv4.NewPacketConn(more)
		err = m.holder.JoinGroup(m.ifi, group)
	}
	if err != nil {
		return fmt.Errorf("interface %s does not let us join universe %d (group %s): is it up, and does it do multicast? %w", m.ifi.Name, u, u.Group(), err)
	}
	m.joined[u] = true
	return nil
}

// followSync joins the group of the synchronization address in a data packet, since
// synchronization packets are sent to that group only (ANSI E1.31-2018 6.3.3). If the
// group cannot be joined, the data is shown unsynchronised, which is allowed.
func (m *membership) followSync(u protocol.Universe) {
	if m.ifi == nil || u == 0 || m.joined[u] || m.syncs >= maxSyncGroups {
		return
	}
	m.syncs++
	_ = m.join(u)
}

// leave closes the further sockets, which leaves their groups. The groups of the first
// socket end with it.
func (m *membership) leave() {
	for _, c := range m.more {
		c.Close()
	}
}

// interfaceNames lists the interfaces of the machine.
func interfaceNames() string {
	all, err := net.Interfaces()
	if err != nil || len(all) == 0 {
		return "none"
	}
	names := make([]string, len(all))
	for i, ifi := range all {
		names[i] = ifi.Name
	}
	return strings.Join(names, ", ")
}
