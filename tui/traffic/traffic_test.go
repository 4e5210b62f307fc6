package traffic

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/show"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
)

func cells(s string) int { return ansi.StringWidth(s) }

// Source: ANSI E1.31-2018 6.2.3: the highest priority wins the universe, and
// at equal priority this program merges, the highest level of a slot first.
func TestGridSaysWhoWinsEachSlot(t *testing.T) {
	low := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{1}, levels: []byte{0, 9, 255}}
	m := open(termenv.Ascii, screen.TrafficMsg(evenings(you(), low)))
	l := m.look()
	assert.Equal(t, 3, l.count, "only the winner's slots count")
	assert.Equal(t, []byte{0, 9, 255}, l.values[:3])
	require.Len(t, l.legend, 2)
	assert.Contains(t, l.legend[0], "'Pier PC' at 10.0.0.7: 3 slots at priority 150, followed")
	assert.Contains(t, l.legend[1], "You: priority 100, not followed")

	low.priority = 100
	m = open(termenv.Ascii, screen.TrafficMsg(evenings(you(), low)))
	l = m.look()
	assert.Equal(t, 432, l.count)
	assert.Equal(t, []byte{0, 9, 255, 3}, l.values[:4], "the higher of 0 1 2 3 and 0 9 255 -")
	assert.Equal(t, " ** ", string(l.marks[:4]), "the rival's two slots have its sign")
	assert.Equal(t, []string{"You: 430 slots at priority 100, tied", "* after the value: 'Pier PC' at 10.0.0.7: 2 slots at priority 100, tied"}, l.legend)
}

// Slots are read run by run, and then by the pixels that are unlike the others, their values in the
// order of the wire: by hand, the porthole is GRB, its pixel 144 has slots 430 to 432, and 433 to 435
// are nobody's.
func TestSlotsAreSaidByRunsAndOddPixels(t *testing.T) {
	levels := append(make([]byte, 429), 7, 8, 255, 40, 40, 41)
	low := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{1}, levels: levels}
	for _, depth := range []termenv.Profile{termenv.Ascii, termenv.TrueColor} {
		m := open(depth, screen.TrafficMsg(evenings(you(), low)))
		l := m.look()
		assert.Equal(t, ", each pixel green, red, blue", m.wireWords())
		page := strings.Join(strings.Fields(ansi.Strip(strings.Join(m.slotPage(&l, 80, 24), " "))), " ")
		thirds := func(n int) string { return strings.Repeat(strings.Repeat("•", n)+"›", 3) }
		last := strings.TrimSuffix(thirds(20), "•›") // before pixel 144
		for _, run := range []string{"inner ring: slots 1 to 108 ▶" + thirds(12), "middle ring: slots 109 to 252 ›" + thirds(16), "outer ring: slots 253 to 432 ›" + last} {
			assert.Contains(t, page, run)
		}
		assert.Contains(t, page, "Unlike the others, which are dark:")
		assert.Contains(t, page, "Pixel 60 of outer ring (144 of the prop) is blue: slots 430 to 432 have 7, 8 and 255.")
		assert.Contains(t, page, "Slots 433 to 435 are driven too, and light no pixel of yours.")
	}
}

// A pixel that another source drives is odd whatever its light, and says whose it is; where all are
// alike it is said that none is.
func TestOddPixelsSayWhoDrivesThem(t *testing.T) {
	all := bytes.Repeat([]byte{51}, 432)
	twice := talker{cid: 5, name: "Pier PC", from: "10.0.0.7:5568", priority: 50, universes: []protocol.Universe{1}, levels: all, perSlot: append(make([]byte, 60), bytes.Repeat([]byte{150}, 6)...)}
	us := you()
	us.levels = all
	m := open(termenv.Ascii, screen.TrafficMsg(evenings(us, twice)))
	l := m.look()
	odd := strings.Join(strings.Fields(strings.Join(m.oddLines(&l, 200), " ")), " ")
	assert.Contains(t, odd, "Pixels 21 to 22 of inner ring (21 to 22 of the prop) are white: slots 61 to 66 have 51, 51 and 51; from 'Pier PC' at 10.0.0.7.")
	m = open(termenv.Ascii, screen.TrafficMsg(evenings(us)))
	l = m.look()
	assert.Equal(t, []string{" No pixel is unlike the others: all are white."}, m.oddLines(&l, 200))
}

// The lit pixels come first where not all rows have room: a page of dark ones says nothing.
func TestLitPixelsComeFirst(t *testing.T) {
	f := make(patterns.Frame, 144)
	f[120] = patterns.Colour{R: 20}
	m := open(termenv.Ascii, screen.SnapshotMsg(show.Snapshot{Sent: f, Level: 0.2, At: evening}))
	rows := func(height int) []string {
		var out []string
		for _, l := range strings.Split(ansi.Strip(drawn(t, m, 50, height)), "\n") {
			if l = strings.Join(strings.Fields(l), " "); regexp.MustCompile(`^[0-9-]+ [r•] [a-z ]+$`).MatchString(l) {
				out = append(out, l)
			}
		}
		return out
	}
	assert.Contains(t, drawn(t, m, 50, 17), "Pixel 121 is dim red.", "in words where the table has no room")
	assert.Equal(t, "121 r dim red", rows(18)[0])
	assert.Equal(t, []string{"1-36 • dark", "37-84 • dark", "85-120 • dark", "121 r dim red", "122-144 • dark"}, rows(40), "in data order where all have room")
}

// Every view says that universes of others are listened to.
func TestEveryViewSaysThatAllIsListenedTo(t *testing.T) {
	m := feed(New(styles(termenv.Ascii), nil), screen.ReadyMsg{Prop: open(termenv.Ascii).prop, Listener: &listener{}}, snapshot())
	for range parts {
		assert.NotContains(t, drawn(t, m, 50, 17), "Listening to all")
		m = press(m, "a")
		assert.Contains(t, drawn(t, m, 50, 17), "Listening to all that is announced: a ends it.", m.part)
		m = press(m, "a", "v")
	}
}

// What is not heard, as with unicast, is drawn as it is sent.
func TestUnheardUniverseIsDrawnAsSent(t *testing.T) {
	m := open(termenv.Ascii, snapshot(sendingTo("10.0.0.5", link.Sending, nil)), screen.TrafficMsg(evenings()))
	l := m.look()
	assert.Equal(t, 432, l.count)
	assert.Equal(t, []byte{0, 9, 7}, l.values[27:30], "pixel 10 is R 9, B 7, its order GRB")
	assert.Contains(t, m.caption(&l), "as you send it, not heard here")
	v := drawn(t, m, 80, 21)
	assert.Contains(t, v, "No other source is heard on universe 1.")
	assert.Contains(t, v, "What others send to 10.0.0.5 by unicast")
}

// Several hosts, each with a state of its own, at once with the snapshot that
// brings it.
func TestEachHostHasItsOwnState(t *testing.T) {
	good := sendingTo("10.0.0.5", link.Sending, nil)
	m := open(termenv.Ascii, snapshot(good, sendingTo("10.0.0.6", link.Sending, nil)))
	assert.NotContains(t, drawn(t, m, 80, 21), "TROUBLE")
	s := snapshot(good, sendingTo("10.0.0.6", link.Refused, errors.New("connection refused")))
	s.At = s.At.Add(time.Millisecond) // sooner than drawings of levels
	m = feed(m, s)
	v := drawn(t, m, 80, 21)
	assert.Contains(t, strings.Join(strings.Fields(v), " "), "TROUBLE: No program listens at 10.0.0.6: the host answered port unreachable")
	assert.Equal(t, []string{"You send"}, m.FarView().Texts, "nothing is heard so far")
	m = feed(m, screen.TrafficMsg(evenings()))
	assert.Equal(t, "Lit by you", m.FarView().Texts[0], "by the other host")
	none := feed(m, snapshot(sendingTo("10.0.0.6", link.Refused, errors.New("connection refused"))))
	assert.Equal(t, []string{"You send, but it does not reach your prop", "Not reached"}, none.FarView().Texts)
	v = drawn(t, press(m, "v", "v"), 80, 21)
	assert.Regexp(t, `(?m)^!    You send universe 1 to 10\.0\.0\.6\. No program listens at`, v)
	assert.Regexp(t, `(?m)^  ●  You light your whole prop: universe 1 to 10\.0\.0\.5 at priority 100\.`, v)
}

func TestUniversesAreChosenByKeys(t *testing.T) {
	other := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 90, universes: []protocol.Universe{1, 4, 63999}, levels: ramp(9, 9)}
	m := open(termenv.Ascii, screen.TrafficMsg(evenings(you(), other)))
	var seen []protocol.Universe
	for _, k := range []string{"left", "right", "right", "right", "home", "end", "left"} {
		m = press(m, k)
		seen = append(seen, m.at())
	}
	assert.Equal(t, []protocol.Universe{1, 4, 63999, 63999, 1, 63999, 4}, seen)
	m = press(m, "down", "enter")
	assert.Contains(t, m.chosen().text, "'Pier PC' at", "who disturbs us stands first")
	assert.Equal(t, protocol.Universe(63999), m.at())
	m = press(m, "enter")
	assert.Equal(t, protocol.Universe(1), m.at(), "around")
}

// listener remembers what it was asked to listen to.
type listener struct{ asked [][]protocol.Universe }

func (e *listener) Want(more ...protocol.Universe) { e.asked = append(e.asked, more) }

// Universes that others announce are listened to when asked for, and only then.
func TestListeningToAllThatIsAnnounced(t *testing.T) {
	e := &listener{}
	announcing := func(us ...protocol.Universe) screen.TrafficMsg {
		n := evenings(you())
		n.Report.Sources[0].Listed = us
		return screen.TrafficMsg(n)
	}
	m := feed(New(styles(termenv.Ascii), nil), screen.ReadyMsg{Prop: open(termenv.Ascii).prop, Listener: e}, announcing(1, 7))
	assert.Empty(t, e.asked)
	m = feed(press(m, "a"), announcing(1, 7), announcing(1, 7, 9))
	assert.Contains(t, drawn(t, m, 80, 21), "Listening to all that is announced")
	m = feed(press(m, "a"), announcing(1, 7, 9))
	assert.Equal(t, [][]protocol.Universe{{1, 7}, {1, 7, 9}, nil}, e.asked)
	gone := talker{cid: 4, name: "Slip hut", from: "10.0.0.4:5568", priority: 90, universes: []protocol.Universe{9}, levels: ramp(30, 1), until: 200 * time.Millisecond}
	m = feed(m, screen.TrafficMsg(evenings(you(), gone)))
	assert.Regexp(t, `Slip hut' .* not joined now`, drawn(t, press(m, "v", "v"), 80, 21))
	press(open(termenv.Ascii), "a") // nothing listens: nothing to ask
}

// The choice stays with the source when others come and go.
func TestChoiceStaysWithTheSource(t *testing.T) {
	b := talker{cid: 2, name: "Buoy", from: "10.0.0.7:5568", priority: 90, universes: []protocol.Universe{5}, levels: ramp(9, 9)}
	a := b
	a.cid, a.name, a.from = 3, "Anchor", "10.0.0.8:5568"
	m := open(termenv.Ascii, screen.TrafficMsg(evenings(b)))
	m = press(m, "down")
	require.Contains(t, m.chosen().text, "'Buoy' at")
	m = feed(m, screen.TrafficMsg(evenings(a, b)))
	assert.Contains(t, m.chosen().text, "'Buoy' at")
	m = feed(m, screen.TrafficMsg(evenings(a)))
	assert.Nil(t, m.chosen())
}

func TestHoldKeepsThePicture(t *testing.T) {
	m := open(termenv.Ascii, screen.TrafficMsg(evenings(you())))
	m = press(m, " ")
	held := drawn(t, m, 80, 21)
	assert.Contains(t, held, "HELD")
	m = feed(m, screen.TrafficMsg(evenings()), snapshot())
	assert.Equal(t, held, drawn(t, m, 80, 21))
	m = feed(press(m, " "), screen.TrafficMsg(evenings()))
	assert.NotEqual(t, held, drawn(t, m, 80, 21))
}

// Few drawings: levels that we send are drawn five times a second at most, and
// nothing is drawn twice.
func TestDrawnOnlyWhenChanged(t *testing.T) {
	m := open(termenv.Ascii, snapshot())
	drawings := map[int]bool{}
	for i := range 30 { // a second of snapshots
		s := snapshot()
		s.At = s.At.Add(time.Duration(i+1) * time.Second / 30)
		m = feed(m, s)
		m.View(80, 21)
		drawings[m.page.version] = true
	}
	assert.LessOrEqual(t, len(drawings), 6)
	m.page.text = "kept"
	assert.Equal(t, "kept", m.View(80, 21), "not drawn again")
	assert.NotEqual(t, "kept", m.View(81, 21), "but for another size")
}

func hostile() []string {
	return []string{
		"\x1b[2J\x1b[31mred\x07", "\u202egnp.exe\u202c", strings.Repeat("灯", 21), strings.Repeat("\u0301", 31),
		"a\u200b\u200d\ufeffb", "\x9b31m", "tab\tnew\nline\r", strings.Repeat("👩‍🔧", 5), "\xff\xfe\xfd", "", strings.Repeat("W", 63), "\u2028\u2029x",
	}
}

// Names come from strangers: nothing of them steers the terminal or breaks the
// columns.
func TestHostileNames(t *testing.T) {
	var talkers []talker
	for i, name := range hostile() {
		talkers = append(talkers, talker{cid: byte(10 + i), name: name, from: fmt.Sprintf("10.0.1.%d:5568", i+1), priority: uint8(90 + i),
			universes: []protocol.Universe{1, protocol.Universe(i + 2)}, levels: ramp(20, i), lose: 7})
	}
	m := open(termenv.Ascii, snapshot(), screen.TrafficMsg(evenings(talkers...)))
	for range parts {
		for _, size := range [][2]int{{50, 17}, {80, 21}, {120, 37}} {
			for range len(m.rows) {
				v := drawn(t, press(m, "down"), size[0], size[1])
				for _, r := range v {
					assert.False(t, r != '\n' && (r < ' ' || r >= 0x7f && r < 0xa0 || r >= 0x200b && r <= 0x200f || r >= 0x2028 && r <= 0x202e || r == 0xfeff), "%q", r)
				}
				m = press(m, "down")
			}
			for range len(m.rows) {
				m = press(m, "up")
			}
		}
		m = press(m, "v")
	}
}

// crowd is 500 sources with eight universes each, as many streams as the
// tracker keeps, six hundred of them on our own universe.
func crowd() traffic.News {
	var talkers []talker
	tr := protocol.NewTracker()
	for i := range 500 {
		talkers = append(talkers, talker{name: fmt.Sprintf("stall %d", i), priority: uint8(i % 200)})
	}
	for n, k := range talkers {
		for j := range 8 {
			u := protocol.Universe(1 + (n*7+j*61)%900)
			if j == 0 {
				u = 1
			}
			d := protocol.Data{CID: protocol.CID{9, byte(n), byte(n >> 8)}, Source: protocol.NameOf(k.name), Priority: k.priority, Universe: u}
			d.SetLevels(ramp(512, n))
			from := fmt.Sprintf("10.1.%d.%d:5568", n/250, n%250+1)
			tr.Hear(protocol.Datagram{At: evening, From: mustAddr(from), Octets: protocol.AppendData(nil, &d)})
		}
	}
	return traffic.Heard(tr.Report(evening.Add(time.Second)), ours)
}

func TestCrowdStaysWithinThePage(t *testing.T) {
	n := crowd()
	require.Len(t, n.Report.Sources, 500)
	m := open(termenv.Ascii, snapshot(), screen.TrafficMsg(n))
	for range parts {
		for _, size := range [][2]int{{50, 17}, {80, 21}, {120, 37}, {200, 60}, {20, 5}, {1, 1}} {
			drawn(t, press(m, "end", "pgdown", "down"), size[0], size[1])
			drawn(t, m, size[0], size[1])
		}
		m = press(m, "v")
	}
	m = press(m, "v", "v")
	for range 60 {
		m = press(m, "pgdown")
	}
	v := drawn(t, m, 80, 21)
	assert.Contains(t, v, "▸ ", "the last of the list is in view: %s", v)
	assert.NotContains(t, v, "more\n")
}

func TestRandomKeysNeverPanic(t *testing.T) {
	some := []screen.TrafficMsg{
		screen.TrafficMsg(evenings(you())), screen.TrafficMsg(evenings()), screen.TrafficMsg(crowd()),
		screen.TrafficMsg(traffic.News{Trouble: errors.New("odd\x1b")}), {},
	}
	keys := []string{"left", "right", "up", "down", "home", "end", "enter", "pgdown", "pgup", "v", "a", " ", "x", ".", ","}
	rapid.Check(t, func(t *rapid.T) {
		m := New(styles(termenv.TrueColor), nil)
		at := evening
		for range rapid.IntRange(1, 30).Draw(t, "steps") {
			switch rapid.IntRange(0, 9).Draw(t, "what") {
			case 0:
				m = feed(m, rapid.SampledFrom(some).Draw(t, "news"))
			case 1:
				at = at.Add(time.Second)
				s := snapshot(sendingTo("10.0.0.5", link.State(rapid.IntRange(0, 3).Draw(t, "state")), errors.New("no")))
				s.At = at
				m = feed(m, s)
			case 2:
				m = feed(m, open(termenv.Ascii).ready())
			case 3:
				m = feed(m, screen.SnapshotMsg(show.Snapshot{}))
			default:
				m = press(m, rapid.SampledFrom(keys).Draw(t, "key"))
			}
			drawn(t, m, rapid.IntRange(1, 150).Draw(t, "w"), rapid.IntRange(1, 50).Draw(t, "h"))
		}
	})
}

func (m Model) ready() screen.ReadyMsg { return screen.ReadyMsg{Prop: m.prop} }

// A drawing of everything, with every slot driven.
func BenchmarkDrawing(b *testing.B) {
	rival := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{1}, levels: ramp(512, 5)}
	m := open(termenv.TrueColor, snapshot(), screen.TrafficMsg(evenings(you(), rival)))
	b.ReportAllocs()
	for b.Loop() {
		m.version++
		m.View(120, 37)
	}
}

// The same with 500 sources on 900 universes, from the news on.
func BenchmarkCrowd(b *testing.B) {
	n := screen.TrafficMsg(crowd())
	m := open(termenv.TrueColor, snapshot(), n)
	b.ReportAllocs()
	for b.Loop() {
		m = feed(m, n)
		m.View(120, 37)
	}
}

// A larger window does not have a smaller drawing for more rows of the list.
func TestDrawingsGrowWithTheWindow(t *testing.T) {
	rival := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{1}, levels: ramp(432, 2)}
	m := open(termenv.TrueColor, snapshot(), screen.TrafficMsg(evenings(you(), rival)))
	rows := 0
	for _, size := range [][2]int{{120, 37}, {160, 47}, {200, 57}} {
		drawn(t, m, size[0], size[1])
		now := len(used(m.draw.shown))
		if m.draw.rows { // two under one another, each pixel a sign
			assert.Equal(t, 1, m.draw.shown.Per())
			assert.GreaterOrEqual(t, now, len(m.prop.Runs))
			continue
		}
		assert.GreaterOrEqual(t, now, max(rows, 20), size)
		rows = now
	}
}
