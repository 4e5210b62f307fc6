// Command keyloop reads keys from a raw terminal and sends a datagram for each.
// It is the reference for the least latency from a key press to the network.
package main

import (
	"net"
	"os"

	"golang.org/x/term"
)

func main() {
	conn, err := net.Dial("udp4", os.Args[1])
	if err != nil {
		os.Exit(1)
	}
	if _, err := term.MakeRaw(int(os.Stdin.Fd())); err != nil {
		os.Exit(1)
	}
	os.Stdout.WriteString("ready")
	packet, key := make([]byte, 638), make([]byte, 16)
	packet[114] = 1 // universe 1
	for {
		if _, err := os.Stdin.Read(key); err != nil {
			return
		}
		packet[126]++
		conn.Write(packet)
	}
}
