// Command smalldemo is the smallest Bubble Tea program that does the work of the
// demo. It sends STEPS pattern steps per second, limited to 44 packets per second,
// and the last packet three times (E1.31-2018 6.6.1, 6.6.2). It receives them on
// another socket like a simulated prop, and draws at most 30 times per second. A
// key changes the level. Usage: smalldemo STEPS [ADDRESS]
//
// With 0 steps it only keeps the stream alive. With an address it sends there and
// draws the light that it sends.
package main

import (
	"fmt"
	"net"
	"os"
	"strconv"
	"strings"
	"sync"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	_ "example.org/ringout/internal/background" // a terminal that does not answer must not delay the start
)

const (
	pixels = 144
	period = 22_728 * time.Microsecond
	alive  = 900 * time.Millisecond
)

type light [3 * pixels]byte

type model struct {
	light light
	out   *sender
}

func (m model) Init() tea.Cmd { return nil }

func (m model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case light:
		m.light = msg
	case tea.KeyMsg:
		m.out.change(func(s *sender) { s.level ^= 64 })
	}
	return m, nil
}

// View draws one line per run and one cell per pixel, with hand-written escapes.
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

// A sender limits the packet rate.
type sender struct {
	conn net.Conn

	mu      sync.Mutex
	packet  [126 + 3*pixels]byte
	step    int
	level   byte
	again   int // number of times the packet is still to be sent
	next    time.Time
	waiting bool
}

// change applies what, sends the packet now or as soon as the rate allows, and
// returns the light.
func (s *sender) change(what func(*sender)) light {
	s.mu.Lock()
	defer s.mu.Unlock()
	what(s)
	clear(s.packet[126:])
	s.packet[126+3*(s.step%pixels)] = s.level
	s.again = 3
	s.send()
	return light(s.packet[126:])
}

// send sends the packet if the rate allows, else a timer calls it again when it is due.
func (s *sender) send() {
	now := time.Now()
	if !now.Before(s.next) {
		s.packet[111]++
		s.conn.Write(s.packet[:])
		s.next = now.Add(period)
		s.again--
	}
	if s.again > 0 && !s.waiting {
		s.waiting = true
		time.AfterFunc(s.next.Sub(now), s.due)
	}
}

func (s *sender) due() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.waiting = false
	s.send()
}

// walk makes steps per second; with 0 it keeps the stream alive.
func (s *sender) walk(steps int, shown func(light)) {
	if steps == 0 {
		for range time.Tick(alive) {
			s.mu.Lock()
			s.again = 1
			s.send()
			s.mu.Unlock()
		}
	}
	for range time.Tick(time.Second / time.Duration(steps)) {
		shown(s.change(func(s *sender) { s.step++ }))
	}
}

// hear reports received light to the screen.
func hear(conn net.PacketConn, heard func(light)) {
	b := make([]byte, 2048)
	for {
		if _, _, err := conn.ReadFrom(b); err != nil {
			return
		}
		heard(light(b[126 : 126+3*pixels]))
	}
}

func main() {
	steps, err := strconv.Atoi(os.Args[1])
	if err != nil {
		os.Exit(1)
	}
	newest := make(chan light, 1)
	put := func(l light) {
		select {
		case <-newest:
		default:
		}
		newest <- l
	}
	sent, to := put, os.Args[len(os.Args)-1]
	if len(os.Args) == 2 {
		conn, err := net.ListenPacket("udp4", "127.0.0.1:0")
		if err != nil {
			os.Exit(1)
		}
		go hear(conn, put)
		sent, to = func(light) {}, conn.LocalAddr().String()
	}
	conn, err := net.Dial("udp4", to)
	if err != nil {
		os.Exit(1)
	}
	s := &sender{conn: conn, level: 255}
	s.packet[114] = 1 // universe 1
	go s.walk(steps, sent)
	p := tea.NewProgram(model{out: s}, tea.WithAltScreen(), tea.WithFPS(30))
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
