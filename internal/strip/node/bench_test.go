package node_test

import (
	"encoding/hex"
	"net"
	"strings"
	"testing"

	"example.org/ringout/internal/testkit/striptest"
)

// BenchmarkNodePacketToLook times a packet from sending to the look that it causes,
// over loopback and two goroutines.
func BenchmarkNodePacketToLook(b *testing.B) {
	n := striptest.Start(b, small(2))
	c, err := net.Dial("udp", n.Addr().String())
	if err != nil {
		b.Fatal(err)
	}
	defer c.Close()
	packet, err := hex.DecodeString(strings.Join(strings.Fields(worked), ""))
	if err != nil {
		b.Fatal(err)
	}
	<-n.Updates() // the first, dark look
	b.ReportAllocs()
	for b.Loop() {
		packet[octetSequence]++
		packet[octetSlots]++
		if _, err := c.Write(packet); err != nil {
			b.Fatal(err)
		}
		<-n.Updates()
	}
}
