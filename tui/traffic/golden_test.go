package traffic

import (
	"bytes"
	"errors"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/exp/golden"
	"github.com/muesli/termenv"

	"example.org/ringout/internal/traffic"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
)

// The pages are fixed in size and colours; go test -update writes them again,
// and someone then has to look at the difference.
func TestPages(t *testing.T) {
	rival := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{1, 2, 3, 4}, levels: ramp(510, 5), lose: 6}
	tied := talker{cid: 3, name: "Lantern desk", from: "10.0.0.9:5568", priority: 100, universes: []protocol.Universe{1}, levels: ramp(90, 3)}
	gone := talker{cid: 4, name: "Slip hut", from: "[fd77::4]:5568", priority: 90, universes: []protocol.Universe{9}, levels: ramp(30, 1), until: 200 * time.Millisecond}
	slotwise := talker{cid: 5, name: "Pier PC", from: "10.0.0.7:5568", priority: 50, universes: []protocol.Universe{1}, levels: bytes.Repeat([]byte{0, 0, 255}, 144), perSlot: append(make([]byte, 60), bytes.Repeat([]byte{150}, 90)...)}
	even := snapshot()
	for i := range even.Sent {
		even.Sent[i] = patterns.Colour{R: 51}
	}
	busy := screen.TrafficMsg(evenings(you(), rival, tied, gone).WithEvents([]link.Event{
		{At: evening, Text: "quay0 went down"}, {At: evening.Add(time.Second), Text: "quay0 is up again, sending goes on"}}))
	deaf := screen.TrafficMsg(traffic.News{Ours: ours, Trouble: &link.PortError{Port: 5568, Err: errors.New("in use")}})
	hosts := snapshot(sendingTo("10.0.0.5", link.Refused, errors.New("refused")), sendingTo("10.0.0.6", link.Sending, nil), sendingTo("10.0.0.9", link.Unreachable, errors.New("host is down")))
	for _, row := range []struct {
		name          string
		width, height int // of the page, three less high than the terminal
		depth         termenv.Profile
		msgs          []tea.Msg
		keys          []string
	}{
		{"120x40 no colour, rivals", 120, 37, termenv.Ascii, []tea.Msg{snapshot(), busy}, nil},
		{"120x40 true colour, rivals, chosen source", 120, 37, termenv.TrueColor, []tea.Msg{snapshot(), busy}, []string{"down", "down"}},
		{"80x24 no colour, rivals", 80, 21, termenv.Ascii, []tea.Msg{snapshot(), busy}, nil},
		{"80x24 16 colours, sources", 80, 21, termenv.ANSI, []tea.Msg{snapshot(), busy}, []string{"v", "v", "down", "down", "down"}},
		{"80x24 no colour, slots", 80, 21, termenv.Ascii, []tea.Msg{snapshot(), busy}, []string{"v", "v", "v"}},
		{"50x20 no colour, rivals", 50, 17, termenv.Ascii, []tea.Msg{snapshot(), busy}, nil},
		{"50x20 256 colours, sentences", 50, 17, termenv.ANSI256, []tea.Msg{snapshot(), busy}, []string{"v", "pgdown"}},
		{"50x20 no colour, slots", 50, 17, termenv.Ascii, []tea.Msg{snapshot(), busy}, []string{"v", "v", "v"}},
		{"80x24 no colour, port taken, unicast", 80, 21, termenv.Ascii, []tea.Msg{hosts, deaf}, nil},
		{"80x24 no colour, tie", 80, 21, termenv.Ascii, []tea.Msg{snapshot(), screen.TrafficMsg(evenings(you(), tied))}, nil},
		{"80x24 true colour, slot priorities", 80, 21, termenv.TrueColor, []tea.Msg{even, screen.TrafficMsg(evenings(you(), slotwise))}, nil},
		{"120x40 no colour, slot priorities", 120, 37, termenv.Ascii, []tea.Msg{even, screen.TrafficMsg(evenings(you(), slotwise))}, nil},
		{"50x20 16 colours, slot priorities", 50, 17, termenv.ANSI, []tea.Msg{even, screen.TrafficMsg(evenings(you(), slotwise))}, nil},
		{"80x24 no colour, nothing heard yet", 80, 21, termenv.Ascii, []tea.Msg{snapshot()}, nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			m := press(open(row.depth, row.msgs...), row.keys...)
			golden.RequireEqual(t, []byte(drawn(t, m, row.width, row.height)))
		})
	}
}

func TestPageWithoutProp(t *testing.T) {
	golden.RequireEqual(t, []byte(drawn(t, New(styles(termenv.Ascii), nil), 80, 21)))
}
