package traffic

import (
	"net/netip"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

var evening = time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)

// A talker is one source of a made-up evening.
type talker struct {
	cid       byte
	name      string
	from      string
	priority  uint8
	universes []protocol.Universe
	levels    []byte
	lose      int           // every so manieth packet; 0 none
	until     time.Duration // falls silent then; 0 never
	perSlot   []byte        // priorities of its slots (START code 0xdd), sent now and then
}

var ours = protocol.Ours{CID: protocol.CID{1}, Priority: 100, Universes: []protocol.Universe{1}}

func you() talker {
	return talker{cid: 1, name: "ringout bench", from: "10.0.0.2:5000", priority: 100, universes: []protocol.Universe{1}, levels: ramp(432, 1)}
}

func ramp(n, step int) []byte {
	b := make([]byte, n)
	for i := range b {
		b[i] = byte(i * step)
	}
	return b
}

// evenings folds three seconds of talkers into news.
func evenings(talkers ...talker) traffic.News {
	tr := protocol.NewTracker()
	for i := range 120 {
		at := time.Duration(i) * 25 * time.Millisecond
		for _, k := range talkers {
			if k.until > 0 && at > k.until || k.lose > 0 && i%k.lose == 0 {
				continue
			}
			for _, u := range k.universes {
				d := protocol.Data{CID: protocol.CID{k.cid}, Source: protocol.NameOf(k.name), Priority: k.priority, Sequence: uint8(i), Universe: u}
				d.SetLevels(k.levels)
				if k.perSlot != nil && i%40 == 5 {
					d.StartCode = protocol.StartPriority
					d.SetLevels(k.perSlot)
				}
				tr.Hear(protocol.Datagram{At: evening.Add(at), From: netip.MustParseAddrPort(k.from), Interface: "quay0", Group: u.Group(), Octets: protocol.AppendData(nil, &d)})
			}
		}
	}
	now := evening.Add(3 * time.Second)
	tr.Tick(now)
	return traffic.Heard(tr.Report(now), ours)
}

func styles(p termenv.Profile) style.Styles {
	r := lipgloss.NewRenderer(&strings.Builder{})
	r.SetColorProfile(p)
	return style.On(r, style.AnyGround)
}

// snapshot is what the show sends of an even light, to hosts in these states.
func snapshot(links ...link.Status) screen.SnapshotMsg {
	f := make(patterns.Frame, 144)
	for i := range f {
		f[i] = patterns.Colour{R: byte(i), B: 7}
	}
	if links == nil {
		links = []link.Status{sendingTo("", link.Sending, nil)}
	}
	return screen.SnapshotMsg(show.Snapshot{Sent: f, Level: 0.2, At: evening, Links: links})
}

func sendingTo(host string, s link.State, err error) link.Status {
	st := link.Status{Target: link.Target{Universe: 1, Host: host, Port: 5568}, State: s, Err: err, Rate: 40, Packets: 1200, Since: evening}
	if host != "" {
		st.Dest = netip.AddrPortFrom(netip.MustParseAddr(host), 5568)
	}
	return st
}

// open is the screen with the Porthole connected.
func open(p termenv.Profile, msgs ...tea.Msg) Model {
	return feed(New(styles(p), nil), append([]tea.Msg{screen.ReadyMsg{Prop: prop.Porthole()}}, msgs...)...)
}

func feed(m Model, msgs ...tea.Msg) Model {
	for _, msg := range msgs {
		s, _ := m.Update(msg)
		m = s.(Model)
	}
	return m
}

func press(m Model, keys ...string) Model {
	special := map[string]tea.KeyType{"left": tea.KeyLeft, "right": tea.KeyRight, "up": tea.KeyUp, "down": tea.KeyDown, "home": tea.KeyHome,
		"end": tea.KeyEnd, "enter": tea.KeyEnter, "pgdown": tea.KeyPgDown, "pgup": tea.KeyPgUp}
	for _, k := range keys {
		msg := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
		if t, ok := special[k]; ok {
			msg = tea.KeyMsg{Type: t}
		}
		if k == " " {
			msg = tea.KeyMsg{Type: tea.KeySpace, Runes: []rune(" ")}
		}
		m = feed(m, msg)
	}
	return m
}

// drawn draws and checks that every line has its width.
func drawn(t require.TestingT, m Model, width, height int) string {
	v := m.View(width, height)
	lines := strings.Split(v, "\n")
	require.Len(t, lines, height)
	for _, l := range lines {
		require.Equal(t, width, cells(l), "%q", l)
	}
	return v
}

func mustAddr(s string) netip.AddrPort { return netip.MustParseAddrPort(s) }
