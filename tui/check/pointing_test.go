package check

import (
	"context"
	"encoding/binary"
	"net"
	"net/netip"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
)

// Octets of a data packet by the standard's table 4-1 (ANSI E1.31-2018).
const (
	octetUniverse = 113
	octetSlots    = 126
)

// A board reads what the wire says of universe 1: colours by pixel in the
// order red, green, blue, of a strip wired GRB.
type board struct {
	t    *testing.T
	conn *net.UDPConn
}

func listening(t *testing.T) *board {
	t.Helper()
	conn, err := net.ListenUDP("udp", net.UDPAddrFromAddrPort(netip.MustParseAddrPort("127.0.0.1:0")))
	require.NoError(t, err)
	t.Cleanup(func() { conn.Close() })
	return &board{t, conn}
}

func (b *board) port() int { return b.conn.LocalAddr().(*net.UDPAddr).Port }

// until reads packets until one is as wanted, and gives its pixels.
func (b *board) until(why string, ok func(px [][3]byte) bool) [][3]byte {
	b.t.Helper()
	require.NoError(b.t, b.conn.SetReadDeadline(time.Now().Add(20*time.Second)))
	var buf [2048]byte
	for {
		n, err := b.conn.Read(buf[:])
		require.NoError(b.t, err, why)
		if n < octetSlots+3 || binary.BigEndian.Uint16(buf[octetUniverse:]) != 1 {
			continue
		}
		var px [][3]byte
		for at := octetSlots; at+3 <= n; at += 3 {
			px = append(px, [3]byte{buf[at+1], buf[at], buf[at+2]})
		}
		if ok(px) {
			return px
		}
	}
}

// tee gives a Want to the fake output and to a real show.
type tee struct {
	*output
	to *show.Show
}

func (o tee) Set(w show.Want) {
	o.output.Set(w)
	o.to.Set(w)
}

// On the finding page the prop points at its own fault, as octets on the wire: the
// last sound pixel green, the first bad one red, their runs dim, the rest dark. [
// and ] walk it, and l puts it out.
func TestThePropPointsAtItsFaultOnTheWire(t *testing.T) {
	b := listening(t)
	p, path := onDisk(t, "porthole")
	p.Address.Host, p.Address.Port = "127.0.0.1", uint16(b.port())
	sender, err := show.Open(p, link.Config{CID: protocol.CID{1}, Source: "test", Unannounced: true})
	require.NoError(t, err)
	sh, err := show.New(show.Config{Prop: p, Out: sender})
	require.NoError(t, err)
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- sh.Run(ctx) }()
	defer func() {
		stop()
		require.NoError(t, <-ended)
	}()

	fault := faultOf(t, p, "open-joint pixel 60") // 24 of the middle ring, pixels 37 to 84
	e := begin(t, Options{}, p, path, fault)
	e.feed(screen.ReadyMsg{Prop: p, Out: tee{e.out, sh}, Path: path}, screen.EnterMsg{})
	e.press("1")
	e.through()
	require.Contains(t, e.findings(), "Pixel 59, still sound, is green; pixel 60, the first bad one, is red if light reaches it.")

	pointed := func(green, red int) func([][3]byte) bool {
		return func(px [][3]byte) bool {
			return len(px) >= 144 && px[green-1][1] > px[green-1][0] && px[red-1][0] > px[red-1][1] && px[green-1][0] == 0 && px[red-1][1] == 0
		}
	}
	px := b.until("pointing", pointed(59, 60))
	level := uint8(255 * patterns.StartLevel)
	assert.InDelta(t, level, px[58][1], 1, "green at the start level: low, for eyes and supply")
	assert.InDelta(t, level, px[59][0], 1)
	for i, c := range px[:144] {
		n := i + 1
		switch {
		case n == 59 || n == 60:
		case n >= 37 && n <= 84:
			assert.True(t, c[0] == c[1] && c[1] == c[2] && c[0] > 0 && c[0] <= level/8, "pixel %d of the run is dim: %v", n, c)
		default:
			assert.Equal(t, [3]byte{}, c, "pixel %d of other runs is dark", n)
		}
	}
	sum := 0
	for _, c := range px {
		sum += int(c[0]) + int(c[1]) + int(c[2])
	}
	amps := float64(sum)/255*0.020 + 144*0.001 // 20 mA a channel at full, 1 mA a dark pixel: the file's own figures
	assert.Less(t, amps, p.Supply.Amps*0.8, "within what the limiter lets through")

	e.press("]", "]")
	b.until("two on", pointed(61, 62))
	e.press("[")
	b.until("one back", pointed(60, 61))
	e.press("l")
	b.until("off with one key", func(px [][3]byte) bool {
		for _, c := range px {
			if c != [3]byte{} {
				return false
			}
		}
		return true
	})
	assert.True(t, e.m.page.(findingPage).off)
	e.press("l")
	b.until("and on again", pointed(60, 61))
}

// Walked away from the fault, the page does not call what is lit the fault any more, and
// marks on the drawing where the red light is.
func TestWalkedLightIsNotCalledTheFault(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path, faultOf(t, p, "open-joint pixel 60"))
	e.feed(tea.WindowSizeMsg{Width: 120, Height: 37})
	e.press("1")
	e.through()
	require.Contains(t, e.text(), "× pixel 24 of middle ring")
	said := func() string {
		return strings.Join(e.m.page.(findingPage).text(e.m, 300), " ")
	}
	e.press("[", "[")
	assert.Contains(t, said(), "Walked 2 pixels back from the fault: pixel 57 is green, pixel 58 is red if light reaches it.")
	assert.Contains(t, e.text(), "+ red light")
	assert.NotContains(t, said(), "first bad one")
	e.press("]", "]", "]")
	assert.Contains(t, said(), "Walked 1 pixel on from the fault: pixel 60 is green, pixel 61 is red")
	e.press("[")
	assert.Contains(t, said(), "pixel 60, the first bad one")
	assert.NotContains(t, e.text(), "+ red light")
}

// On a prop whose colours are exchanged from a pixel on, what is sent there is the
// colour that looks red; a run that shows its first pixel elsewhere is not pointed at.
func TestPointingLooksAsItIsCalled(t *testing.T) {
	p := prop.Porthole()
	for text, points := range map[string]bool{
		"wrong-order pixel 60 order RGB": true, "wrong-order pixel 1 order BRG": false, "run-order run 2 order RGB": true,
		"run-backwards run 2": true, "run-channel run 2 colour red": true, "run-mirrored run 2": false, "runs-swapped run 1 run 3": false, "count run 2 by -2": false, "no-supply": false,
	} {
		fault := faultOf(t, p, text)
		at := pointingAt(p, []checkout.Finding{{Sure: checkout.Certain, Causes: []checkout.Cause{{Faults: []strip.Fault{fault}}}}})
		if !assert.Equal(t, points, at != nil, text) || at == nil {
			continue
		}
		s, err := strip.New(p, fault)
		require.NoError(t, err)
		var flat patterns.Frame
		for _, run := range s.Shine(at.Frames()(nil, p.Pixels(), 0)) {
			flat = append(flat, run...)
		}
		bad := flat[at.Bad]
		assert.True(t, bad.Dark() || bad.R > 0 && bad.G == 0 && bad.B == 0, "%s: %v", text, bad)
		if at.Sound >= 0 {
			sound := flat[at.Sound]
			assert.True(t, sound.G > 0 && sound.R == 0 && sound.B == 0, "%s: %v", text, sound)
		}
	}
}

// What a fault leaves dark is what the simulated strip leaves dark: from a joint on, a run, or
// one pixel, whose own sign stands there.
func TestWhatTheFaultLeavesDarkIsDrawn(t *testing.T) {
	p := prop.Porthole()
	for text, want := range map[string][2]int{
		"open-joint pixel 60": {60, 144}, "dead-stop pixel 100": {100, 144}, "dead-pixel pixel 20": {20, 20}, "wrong-order pixel 60 order RGB": {},
	} {
		f := []checkout.Finding{{Sure: checkout.Certain, Causes: []checkout.Cause{{Faults: []strip.Fault{faultOf(t, p, text)}}}}}
		var got [2]int
		for i, is := range leftDark(p, f) {
			switch {
			case is && got[0] == 0:
				got = [2]int{i + 1, i + 1}
			case is:
				got[1] = i + 1
			}
		}
		assert.Equal(t, want, got, text)
	}
}
