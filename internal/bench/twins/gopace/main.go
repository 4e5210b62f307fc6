//go:build linux

// Command gopace is pace.c in Go: the least that a Go program does to send
// E1.31 data at 44 Hz, with a timerfd in the runtime's poller and batches of 64.
// What it needs above C is the runtime's own. Usage: gopace PORT UNIVERSES
package main

import (
	"log"
	"net"
	"os"
	"strconv"

	"golang.org/x/net/ipv4"
	"golang.org/x/sys/unix"
)

const (
	periodNS = 22_728_000
	batch    = 64
)

func main() {
	n, err := strconv.Atoi(os.Args[2])
	if err != nil {
		log.Fatal(err)
	}
	conn, err := net.Dial("udp4", "127.0.0.1:"+os.Args[1])
	if err != nil {
		log.Fatal(err)
	}
	out := ipv4.NewPacketConn(conn.(*net.UDPConn))
	messages := make([]ipv4.Message, n)
	for i := range messages {
		p := make([]byte, 126+510)
		p[113], p[114] = byte((i+1)>>8), byte(i+1)
		messages[i].Buffers = [][]byte{p}
	}
	fd, err := unix.TimerfdCreate(unix.CLOCK_MONOTONIC, unix.TFD_NONBLOCK)
	if err != nil {
		log.Fatal(err)
	}
	every := unix.NsecToTimespec(periodNS)
	if err := unix.TimerfdSettime(fd, 0, &unix.ItimerSpec{Interval: every, Value: every}, nil); err != nil {
		log.Fatal(err)
	}
	timer, beats := os.NewFile(uintptr(fd), "timerfd"), make([]byte, 8)
	for {
		if _, err := timer.Read(beats); err != nil {
			log.Fatal(err)
		}
		for i := range messages {
			messages[i].Buffers[0][111]++
		}
		for at := 0; at < n; {
			sent, err := out.WriteBatch(messages[at:min(at+batch, n)], 0)
			if err != nil {
				log.Fatal(err)
			}
			at += sent
		}
	}
}
