package link

import (
	"context"
	"net"
	"slices"
	"time"

	"golang.org/x/net/ipv4"

	"example.org/ringout/internal/testkit/foreign"
)

// playForeign sends what one host does in all foreign cases, by their clock.
func playForeign(ctx context.Context, p part) int {
	iface, err := net.InterfaceByName("quay0")
	if err != nil {
		return say(seen{Error: err.Error()}, 1)
	}
	udp, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.ParseIP(foreign.Addr(p.Host))})
	if err != nil {
		return say(seen{Error: err.Error()}, 1)
	}
	defer udp.Close()
	if err := ipv4.NewPacketConn(udp).SetMulticastInterface(iface); err != nil {
		return say(seen{Error: err.Error()}, 1)
	}
	say(seen{}, 0)
	var events []foreign.Event
	for _, c := range foreign.Cases() {
		events = append(events, c.Events...)
	}
	slices.SortStableFunc(events, func(a, b foreign.Event) int { return int(a.At - b.At) })
	worst := time.Duration(0)
	for _, e := range events {
		if e.Host != p.Host {
			continue
		}
		due := time.Until(p.Zero.Add(e.At))
		if sleepFor(ctx, due); ctx.Err() != nil {
			return 0
		}
		worst = max(worst, -due)
		group := net.IPv4(239, 255, byte(e.Group>>8), byte(e.Group)) // 9.3.1
		if _, err := udp.WriteTo(e.Octets, &net.UDPAddr{IP: group, Port: 5568}); err != nil {
			return say(seen{Error: err.Error()}, 1)
		}
	}
	say(seen{Says: []string{"done", "late by " + worst.String()}}, 0)
	<-ctx.Done()
	return 0
}
