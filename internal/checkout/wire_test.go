package checkout

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/strip/striptest"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// A bench sends over UDP to a simulated prop whose fault only the node knows.
type bench struct {
	node   *strip.Node
	sender *link.Sender
}

func newBench(t *testing.T, p *prop.Prop, faults ...strip.Fault) *bench {
	t.Helper()
	n := striptest.Start(t, p, faults...)
	cfg := link.Config{CID: protocol.CID{0xc0}, Source: "check-out test", Priority: 100, Steady: true, Unannounced: true}
	patch, err := prop.NewPatch(p.Pixels(), p.Chip.Order, p.Address)
	require.NoError(t, err)
	for _, u := range patch.Universes() {
		cfg.Targets = append(cfg.Targets, link.Target{Universe: protocol.Universe(u), Host: "127.0.0.1", Port: n.Port()})
	}
	s, err := link.Open(cfg)
	require.NoError(t, err)
	t.Cleanup(func() {
		ctx, stop := context.WithTimeout(context.Background(), 5*time.Second)
		defer stop()
		assert.NoError(t, s.Close(ctx))
	})
	return &bench{n, s}
}

// look lets the builder see what the node lights: some moments, of which the
// brightest is "at rest", and two seconds when the question is about change.
func (w *bench) look(t *testing.T, b *builder, slots [][]byte, k Kind) {
	t.Helper()
	w.sender.Put(slots)
	settle(w.node)
	moments := 8
	if k == AskSteady || k == AskStaysLit {
		moments = 80
	}
	var rest strip.Light
	var moving []strip.Light
	for range moments {
		l := w.node.Look().Light
		moving = append(moving, l)
		if rest == nil || l.Lit() > rest.Lit() {
			rest = l
		}
		time.Sleep(25 * time.Millisecond)
	}
	b.Look(rest, moving...)
}

// settle waits until packets sent after this moment have come and been lit, or
// long enough to say that none will.
func settle(n *strip.Node) {
	from := n.Look().Serial
	for end := time.Now().Add(time.Second); time.Now().Before(end) && n.Look().Serial < from+3; {
		time.Sleep(5 * time.Millisecond)
	}
}

// TestOverUDP plays whole check-outs over real UDP, one for each class of
// fault, by somebody who sees only the node's light.
func TestOverUDP(t *testing.T) {
	faults := []strip.Fault{
		{Kind: strip.OpenJoint, Pixel: 84}, {Kind: strip.DeadChannel, Pixel: 99, Channel: 1}, {Kind: strip.Flicker, Pixel: 36},
		{Kind: strip.NoSupply}, {Kind: strip.WrongEnd}, {Kind: strip.WrongAddress, N: 1}, {Kind: strip.RunBackwards, Run: 1},
		{Kind: strip.DeadStop, Pixel: 17}, {Kind: strip.DeadPixel, Pixel: 120}, {Kind: strip.RailLost, Pixel: 60},
		{Kind: strip.WrongOrder, Order: "RGB"}, {Kind: strip.WrongOrder, Order: "BRG", Pixel: 40}, {Kind: strip.WrongChip, Pixel: 36, N: 4},
		{Kind: strip.Mirrored}, {Kind: strip.RunMirrored, Run: 2}, {Kind: strip.RunsSwapped, Run: 0, Run2: 1},
		{Kind: strip.Count, Run: 1, N: -2}, {Kind: strip.SlotShift, N: 1}, {Kind: strip.Grouped, N: 3}, {Kind: strip.Sag},
	}
	if !long() {
		faults = faults[:2]
		t.Log("two classes of faults; RINGOUT_LONG=1 takes all")
	}
	base, err := New(prop.Porthole(), Options{})
	require.NoError(t, err)
	for _, ft := range faults {
		t.Run(ft.String(), func(t *testing.T) {
			t.Parallel()
			w, s := newBench(t, prop.Porthole(), ft), base.Clone()
			var b builder
			for p, ok := s.Next(); ok; p, ok = s.Next() {
				w.look(t, &b, slotsOf(s.field, &p), p.Spec.Kind)
				require.NoError(t, s.Answer(b.answer(&p.Spec, s.field.sizes, p.Answers)))
			}
			f := s.Findings()[0]
			assert.True(t, slices.ContainsFunc(f.Causes, func(c Cause) bool {
				return len(c.Faults) == 1 && c.Faults[0] == ft
			}), "found %q after %d answers", f.Title, s.Answered())
			t.Logf("%s after %d answers (%s)", f.Title, s.Answered(), f.Sure)
		})
	}
}
