// Command smalldemo is the smallest Bubble Tea program that does what the demo
// does: it sends a step of a pattern many times a second, hears it on another
// socket as a simulated prop would, and draws it at most thirty times a second.
// Usage: smalldemo STEPS
package main

import (
	"fmt"
	"net"
	"os"
	"strconv"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	_ "example.org/ringout/internal/background" // a terminal that answers nothing must not hold it up
)

const pixels = 144

type light [3 * pixels]byte

type model struct{ light light }

func (m model) Init() tea.Cmd { return nil }

func (m model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	if l, yes := msg.(light); yes {
		m.light = l
	}
	return m, nil
}

// View is a line a run, a cell a pixel; the escapes are written by hand.
func (m model) View() string {
	var b strings.Builder
	for i := range pixels {
		if i%48 == 0 {
			b.WriteByte('\n')
		}
		if c := m.light[3*i : 3*i+3]; i%48 == 0 || c[0] != m.light[3*i-3] {
			fmt.Fprintf(&b, "\x1b[38;2;%d;%d;%dm", c[0], c[1], c[2])
		}
		b.WriteByte('o')
	}
	return b.String() + "\x1b[m"
}

// send puts a chase on the wire, steps a second.
func send(to string, steps int) {
	conn, err := net.Dial("udp4", to)
	if err != nil {
		return
	}
	packet := make([]byte, 126+3*pixels)
	clock := time.NewTicker(time.Second / time.Duration(steps))
	for at := 0; ; at++ {
		<-clock.C
		clear(packet[126:])
		packet[126+3*(at%pixels)] = 255
		conn.Write(packet)
	}
}

// hear keeps the newest light for the screen.
func hear(conn net.PacketConn, newest chan light) {
	b := make([]byte, 2048)
	for {
		if _, _, err := conn.ReadFrom(b); err != nil {
			return
		}
		select {
		case <-newest:
		default:
		}
		newest <- light(b[126 : 126+3*pixels])
	}
}

func main() {
	steps, err := strconv.Atoi(os.Args[1])
	if err != nil {
		os.Exit(1)
	}
	conn, err := net.ListenPacket("udp4", "127.0.0.1:0")
	if err != nil {
		os.Exit(1)
	}
	newest := make(chan light, 1)
	go hear(conn, newest)
	go send(conn.LocalAddr().String(), steps)
	p := tea.NewProgram(model{}, tea.WithAltScreen(), tea.WithFPS(30))
	go func() {
		for l := range newest {
			p.Send(l)
			time.Sleep(time.Second / 30)
		}
	}()
	if _, err := p.Run(); err != nil {
		os.Exit(1)
	}
}
