package traffic

import (
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/traffic"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/screen"
)

// hearing is a tracker with a clock of the test's.
type hearing struct {
	tr *protocol.Tracker
	at time.Time
}

func (h *hearing) data(cid byte, change func(*protocol.Data)) {
	d := protocol.Data{CID: protocol.CID{cid}, Source: protocol.NameOf("stall"), Priority: 100, Universe: 1, Sequence: uint8(h.at.Sub(evening) / (25 * time.Millisecond))}
	d.SetLevels(ramp(6, 10))
	change(&d)
	h.tr.Hear(protocol.Datagram{At: h.at, From: mustAddr("10.0.0.8:5568"), Octets: protocol.AppendData(nil, &d)})
}

func (h *hearing) wait(d time.Duration) { h.at = h.at.Add(d); h.tr.Tick(h.at) }

func (h *hearing) look() (Model, look) {
	m := open(termenv.Ascii, screen.TrafficMsg(traffic.Heard(h.tr.Report(h.at), ours)))
	return m, m.look()
}

func hear() *hearing { return &hearing{protocol.NewTracker(), evening} }

// Source: ANSI E1.31-2018 6.2.4.1 and 11.1.2: data waits for synchronization
// packets once they have come, and stands still when they stop.
func TestLookSaysThatDataWaits(t *testing.T) {
	h := hear()
	sync := func(n uint8) {
		h.tr.Hear(protocol.Datagram{At: h.at, From: mustAddr("10.0.0.8:5568"), Octets: protocol.AppendSync(nil, protocol.Sync{CID: protocol.CID{2}, Sequence: n, Address: 7})})
	}
	waits := func(d *protocol.Data) { d.SyncAddress = 7 }
	h.data(2, waits)
	sync(1)
	h.wait(25 * time.Millisecond)
	h.data(2, waits)
	_, l := h.look()
	assert.Equal(t, "acts on synchronization", l.state)
	h.wait(2 * time.Second)
	h.data(2, waits)
	h.wait(time.Second)
	m, l := h.look()
	assert.Equal(t, "stands still: synchronization was lost", l.state)
	assert.Contains(t, strings.Join(m.wordLines(200), "\n"), "TROUBLE: 'stall' at 10.0.0.8 has universe 1 wait for synchronization packets on universe 7")
}

func TestLookSaysWhoLeft(t *testing.T) {
	h := hear()
	h.data(2, func(*protocol.Data) {})
	h.wait(5 * time.Second)
	m, l := h.look()
	assert.Equal(t, "no source drives it: the last source fell silent", l.state)
	assert.Zero(t, l.count)
	assert.Equal(t, []string{"'stall' at 10.0.0.8: silent for 5 s"}, l.legend)
	assert.Contains(t, m.caption(&l), "fell silent")

	h = hear()
	h.data(2, func(*protocol.Data) {})
	h.wait(25 * time.Millisecond)
	h.data(2, func(d *protocol.Data) { d.Options = protocol.Terminated })
	h.wait(4 * time.Second)
	m, l = h.look()
	assert.Equal(t, []string{"'stall' at 10.0.0.8: ended 4 s ago"}, l.legend)
	assert.Contains(t, m.caption(&l), "no source drives it")

	h = hear()
	h.data(2, func(d *protocol.Data) { d.Options = protocol.Preview })
	_, l = h.look()
	assert.Equal(t, []string{"'stall' at 10.0.0.8: preview only"}, l.legend)
}

// START code 0xdd gives each slot a priority of its own; 0 leaves the slot to
// others (common practice; the code is a registered alternate one).
func TestLookSlotBySlot(t *testing.T) {
	h := hear()
	h.data(2, func(d *protocol.Data) { d.SetLevels([]byte{1, 2, 3, 4, 5, 6}) })
	h.data(3, func(d *protocol.Data) { d.SetLevels([]byte{9, 9, 9}) })
	h.wait(25 * time.Millisecond)
	h.data(3, func(d *protocol.Data) { d.SetLevels([]byte{0, 180, 50}); d.StartCode = protocol.StartPriority })
	_, l := h.look()
	require.Equal(t, 6, l.count)
	assert.Equal(t, []byte{1, 9, 3, 4, 5, 6}, l.values[:6], "only slot 2 has more than the other's 100")
	assert.Equal(t, " *    ", string(l.marks[:6]))
	require.Len(t, l.legend, 2)
	assert.Contains(t, l.legend[0], "'stall' at 10.0.0.8: 5 slots at priority 100, followed for some slots")
	assert.Contains(t, l.legend[1], "* after the value: 'stall' at 10.0.0.8: 1 slot at priority 100, followed for some slots")
}

// More sources than signs share the last one.
func TestMarks(t *testing.T) {
	assert.Equal(t, byte('*'), mark(1, 0))
	assert.Equal(t, byte('*'), mark(0, 3))
	assert.Equal(t, byte('+'), mark(1, 3))
	assert.Equal(t, byte('~'), mark(3, 0))
	assert.Equal(t, byte('&'), mark(60, 0))
}

// In sixteen colours the mark of a pixel has the colour of its name.
func TestAMarkHasTheColourOfItsName(t *testing.T) {
	m := Model{style: styles(termenv.ANSI)}
	for name, c := range map[string]patterns.Colour{"97;40m■": {R: 200, G: 190, B: 210}, "37;40m▪": {R: 8, G: 6, B: 10}, "91;40m■": {R: 51}, "94;40m■": {B: 60}, "93;40m■": {R: 200, G: 190}} {
		assert.Contains(t, m.mark(c), "\x1b["+name, "%v", c)
	}
}

// From 120 columns on both lights are drawn beside the list, what the prop shows and what we send: as the prop lies
// from 160 on, in narrower windows in rows of pixels under one another, with all values in the list.
func TestBothLightsAreDrawnBesideTheList(t *testing.T) {
	rival := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{1}, levels: ramp(432, 5)}
	busy := screen.TrafficMsg(evenings(you(), rival))
	for _, size := range [][2]int{{160, 47}, {200, 57}} {
		for _, depth := range []termenv.Profile{termenv.Ascii, termenv.TrueColor} {
			m := open(depth, snapshot(), busy)
			titles := ""
			for _, l := range strings.Split(ansi.Strip(drawn(t, m, size[0], size[1])), "\n") {
				if strings.Contains(l, shownTitle.Full) {
					titles = l
				}
			}
			assert.Contains(t, titles, yoursTitle.Full, "%v %v", size, depth)
		}
	}
	for _, depth := range []termenv.Profile{termenv.Ascii, termenv.ANSI, termenv.ANSI256, termenv.TrueColor} {
		m := open(depth, snapshot(), busy)
		page := ansi.Strip(drawn(t, m, 120, 37))
		assert.Contains(t, page, shownTitle.Full)
		assert.Contains(t, page, yoursTitle.Full)
		assert.True(t, m.draw.shown.Rows() && m.draw.yours.Rows() && m.draw.yours.Per() == 1)
		assert.Regexp(t, `R   G   B +you send`, page)
	}
}
