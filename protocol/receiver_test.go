package protocol

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// start is any moment; the rules only know differences.
var start = time.Date(2026, 2, 3, 19, 0, 0, 0, time.UTC)

// A bench is a receiver with a clock and sources to play.
type receiverBench struct {
	t   *testing.T
	rx  *Receiver
	now time.Time
}

func newBench(t *testing.T) *receiverBench {
	return &receiverBench{t: t, rx: NewReceiver(), now: start}
}

// wait moves the clock on and ticks.
func (b *receiverBench) wait(d time.Duration) {
	b.now = b.now.Add(d)
	b.rx.Tick(b.now)
}

// A player is one source: it counts its sequence numbers itself.
type player struct {
	b *receiverBench
	d Data
}

func (b *receiverBench) source(id byte, priority uint8) *player {
	return &player{b: b, d: Data{CID: CID{id}, Source: NameOf("bench"), Priority: priority, Universe: 1}}
}

// send plays one packet and returns what became of it.
func (p *player) send(slots ...byte) Verdict {
	p.d.SetLevels(slots)
	v := p.b.rx.HearData(p.b.now, &p.d)
	p.d.Sequence++
	return v
}

func (b *receiverBench) levels(want ...byte) {
	b.t.Helper()
	out := b.rx.Output(1)
	require.Equal(b.t, want, append([]byte(nil), out.Slots[:out.Count]...))
}

func (b *receiverBench) dark() {
	b.t.Helper()
	require.False(b.t, b.rx.Output(1).Driven())
	require.Equal(b.t, [MaxSlots]byte{}, b.rx.Output(1).Slots)
}

// 6.7.1: no packet for 2.5 s ends a source on the universe.
func TestLossTimeout(t *testing.T) {
	b := newBench(t)
	one := b.source(1, 100)
	one.send(10)
	b.wait(2499 * time.Millisecond)
	b.levels(10)
	one.send(11)
	b.wait(2499 * time.Millisecond)
	b.levels(11)
	b.wait(time.Millisecond)
	b.dark()
	require.True(t, b.rx.Output(1).Lost)
}

// 6.7.1: the timeout is per universe, not per source.
func TestLossIsPerUniverse(t *testing.T) {
	b := newBench(t)
	one, other := b.source(1, 100), b.source(1, 100)
	other.d.Universe = 2
	one.send(10)
	other.send(20)
	for range 3 {
		b.wait(time.Second)
		other.send(20)
	}
	b.dark()
	require.True(t, b.rx.Output(2).Driven())
}

// 6.7.2 with 6.7.1: after the loss the stream starts again at any number.
func TestSequenceForgottenAfterLoss(t *testing.T) {
	b := newBench(t)
	one := b.source(1, 100)
	one.d.Sequence = 50
	one.send(10)
	one.d.Sequence = 49
	require.Equal(t, OutOfTurn, one.send(9))
	b.levels(10)
	b.wait(LossTimeout)
	one.d.Sequence = 49
	require.Equal(t, Acted, one.send(9))
	b.levels(9)
}

// 6.7.2: every source and every universe has its own count.
func TestSequencePerSourceAndUniverse(t *testing.T) {
	b := newBench(t)
	for id := byte(1); id <= 3; id++ {
		for u := Universe(1); u <= 3; u++ {
			s := b.source(id, 100)
			s.d.Universe, s.d.Sequence = u, 7
			require.Equal(t, Acted, s.send(1))
		}
	}
}

// 6.2.6: one terminated packet ends the source at once, its slots count for
// nothing, and the two that follow bring nothing back.
func TestTermination(t *testing.T) {
	b := newBench(t)
	one := b.source(1, 100)
	one.send(10)
	one.d.Options = Terminated
	for range 3 {
		require.Equal(t, Ended, one.send(77))
		b.dark()
		require.False(t, b.rx.Output(1).Lost)
	}
	one.d.Options = 0
	one.d.Sequence = 0 // 6.7.2 starts again too
	require.Equal(t, Acted, one.send(12))
	b.levels(12)
}

// 6.2.6: preview must not reach live output.
func TestPreview(t *testing.T) {
	b := newBench(t)
	low, high := b.source(1, 50), b.source(2, 150)
	high.d.Options = Preview
	require.Equal(t, PreviewOnly, high.send(99))
	b.dark()
	low.send(10)
	b.levels(10)
	high.d.Options = 0
	high.send(99)
	b.levels(99)
	high.d.Options = Preview
	high.send(99)
	b.levels(10)
}

// 6.2.3: the highest priority among live sources wins, whoever came first; a
// change counts with its packet; the loser takes over when the winner goes.
func TestPriority(t *testing.T) {
	b := newBench(t)
	low, high := b.source(1, 99), b.source(2, 100)
	low.send(200, 200, 200)
	high.send(1, 2)
	b.levels(1, 2) // not 1, 2, 200: the winner owns the whole universe
	require.EqualValues(t, 100, b.rx.Output(1).Priority)
	low.d.Priority = 101
	low.send(200, 200, 200)
	b.levels(200, 200, 200)
	low.d.Options = Terminated
	low.send()
	b.levels(1, 2)
}

// 6.2.3.2: at equal priority the highest value of each slot wins.
func TestTieMerges(t *testing.T) {
	b := newBench(t)
	one, two := b.source(1, 100), b.source(2, 100)
	one.send(10, 200, 30)
	two.send(20, 100)
	b.levels(20, 200, 30)
	require.Equal(t, []int8{1, 0, 0, NoOwner}, b.rx.Output(1).Owner[:4])
	require.Len(t, b.rx.Output(1).Sources, 2)
}

// 7.7, 6.2.3.2: other START codes are no levels, but count in the sequence.
func TestOtherStartCodes(t *testing.T) {
	b := newBench(t)
	one := b.source(1, 100)
	one.send(10)
	one.d.StartCode = 0x17
	require.Equal(t, NotLevels, one.send(99))
	b.levels(10)
	one.d.StartCode = StartLevels
	require.Equal(t, Acted, one.send(11))
}

// START code 0xdd (6.2.3.2 for the code; values from memory): a priority a
// slot, 0 not driven; it ends 2.5 s after its last packet.
func TestSlotPriority(t *testing.T) {
	b := newBench(t)
	plain, fine := b.source(1, 100), b.source(2, 100)
	plain.send(1, 2, 3, 4)
	fine.d.StartCode = StartPriority
	fine.send(200, 50, 0, 100)
	fine.d.StartCode = StartLevels
	fine.send(11, 12, 13, 14)
	b.levels(11, 2, 3, 14) // 200 beats 100; 50 loses; 0 leaves it; equal merges
	require.Equal(t, []int8{1, 0, 0, 1}, b.rx.Output(1).Owner[:4])
	require.True(t, b.rx.Output(1).PerSlot)
	for range 3 {
		b.wait(time.Second)
		plain.send(1, 2, 3, 4)
		fine.send(11, 12, 13, 14)
	}
	b.levels(11, 12, 13, 14) // a tie of packet priorities again
	require.False(t, b.rx.Output(1).PerSlot)
}

func TestFollowsOnlyWhatItIsAskedTo(t *testing.T) {
	rx := NewReceiver(2)
	octets := AppendData(nil, six(0, 0, 0))
	changed, err := rx.Hear(start, octets)
	require.NoError(t, err)
	require.Empty(t, changed)
	d := six(1, 0, 0)
	d.Universe = 2
	changed, err = rx.Hear(start, AppendData(nil, d))
	require.NoError(t, err)
	require.Equal(t, []Universe{2}, changed)
	_, err = rx.Hear(start, octets[:100])
	require.Error(t, err)
}
