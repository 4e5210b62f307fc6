// Command links is the smallest program that links the same libraries as
// ringout: flags and completions, a screen with keys, a prop file, batched
// multicast datagrams, JSON, CSV, pictures and a child process. The difference in
// size is ringout's own code.
package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"image/jpeg"
	"image/png"
	"net"
	"os"
	"os/exec"

	"github.com/charmbracelet/bubbles/help"
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/pelletier/go-toml/v2"
	"github.com/spf13/cobra"
	"golang.org/x/net/ipv4"

	_ "example.org/ringout/internal/background" // a terminal that does not answer must not delay the start
)

type prop struct {
	Name string `json:"name" toml:"name"`
	Runs []struct {
		Name   string  `json:"name" toml:"name"`
		Pixels int     `json:"pixels" toml:"pixels"`
		Metres float64 `json:"metres" toml:"metres"`
	} `json:"runs" toml:"run"`
}

type model struct {
	prop
	help help.Model
	keys key.Binding
}

func (m model) Init() tea.Cmd { return nil }

func (m model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	if k, yes := msg.(tea.KeyMsg); yes && key.Matches(k, m.keys) {
		return m, tea.Quit
	}
	return m, nil
}

func (m model) View() string {
	text := lipgloss.NewStyle().Bold(true).Border(lipgloss.RoundedBorder()).Render(m.Name)
	return ansi.Truncate(text, 80, "…") + m.help.ShortHelpView([]key.Binding{m.keys})
}

// all reads a file in every format and sends it.
func all(name string) error {
	var p prop
	text, err := os.ReadFile(name)
	if err != nil {
		return err
	}
	if err := toml.Unmarshal(text, &p); err != nil {
		return err
	}
	if err := json.Unmarshal(text, &p); err != nil {
		return err
	}
	if err := json.NewEncoder(os.Stdout).Encode(p); err != nil {
		return err
	}
	if err := csv.NewWriter(os.Stdout).Write([]string{p.Name}); err != nil {
		return err
	}
	if err := send(text); err != nil {
		return err
	}
	if err := pictures(name); err != nil {
		return err
	}
	m := model{prop: p, help: help.New(), keys: key.NewBinding(key.WithKeys("q"), key.WithHelp("q", "leave"))}
	_, err = tea.NewProgram(m, tea.WithAltScreen(), tea.WithMouseCellMotion()).Run()
	return err
}

// send sends datagrams to a multicast group in one system call.
func send(text []byte) error {
	conn, err := net.ListenUDP("udp4", nil)
	if err != nil {
		return err
	}
	ways, err := net.Interfaces()
	if err != nil {
		return err
	}
	group := &net.UDPAddr{IP: net.IPv4(239, 255, 0, 1), Port: 5568}
	p := ipv4.NewPacketConn(conn)
	if err := p.JoinGroup(&ways[0], group); err != nil {
		return err
	}
	_, err = p.WriteBatch([]ipv4.Message{{Buffers: [][]byte{text}, Addr: group}}, 0)
	return err
}

// pictures decodes a picture of each format, and one from a child process.
func pictures(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	img, err := jpeg.Decode(f)
	if err != nil {
		img, err = png.Decode(f)
	}
	if err != nil {
		return err
	}
	if err := png.Encode(os.Stdout, img); err != nil {
		return err
	}
	return exec.Command(name).Run()
}

func main() {
	root := &cobra.Command{Use: "links FILE", Args: cobra.ExactArgs(1), RunE: func(_ *cobra.Command, args []string) error { return all(args[0]) }}
	root.Flags().Duration("for", 0, "how long")
	if err := root.Execute(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
