// Command smallest is the smallest Bubble Tea program that sends a datagram per
// key press.
package main

import (
	"net"
	"os"

	tea "github.com/charmbracelet/bubbletea"

	_ "example.org/ringout/internal/background" // a terminal that does not answer must not delay the start
)

type model struct {
	conn   net.Conn
	packet []byte
}

func (m model) Init() tea.Cmd { return nil }

func (m model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	if _, yes := msg.(tea.KeyMsg); yes {
		m.packet[126]++
		m.conn.Write(m.packet)
	}
	return m, nil
}

func (m model) View() string { return "ready" }

func main() {
	conn, err := net.Dial("udp4", os.Args[1])
	if err != nil {
		os.Exit(1)
	}
	packet := make([]byte, 638)
	packet[114] = 1 // universe 1
	if _, err := tea.NewProgram(model{conn, packet}, tea.WithAltScreen()).Run(); err != nil {
		os.Exit(1)
	}
}
