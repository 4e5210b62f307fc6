package checkout

import (
	"context"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/strip/node"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// A bench holds so many props side by side.
type bench chan struct{}

func newBench() bench { return make(bench, 100) }

// overUDP is a builder who sees each fault's light on a node of its own, which
// alone knows the fault, driven by real packets on 127.0.0.1.
func (w bench) overUDP(t *testing.T, f *field, p *Probe, truth []int) []int {
	slots := slotsOf(f, p)
	keys := make([]int, len(truth))
	var all sync.WaitGroup
	for i, h := range truth {
		all.Go(func() {
			w <- struct{}{}
			defer func() { <-w }()
			var b builder
			b.Empty = f.hidden
			if glimpse(t, &b, f.prop, f.hyps[h].faults, slots, p.Spec.Kind) {
				keys[i] = b.answer(&p.Spec, f.sizes, p.Answers)
			}
		})
	}
	all.Wait()
	return keys
}

// glimpse lights a faulty prop over UDP and lets the builder see it.
func glimpse(t *testing.T, b *builder, p *prop.Prop, faults []strip.Fault, slots [][]byte, k Kind) bool {
	n, err := node.Start(context.Background(), p, node.Options{Addr: "127.0.0.1:0", Faults: faults})
	if !assert.NoError(t, err) {
		return false
	}
	defer n.Close()
	s, err := link.Open(benchConfig(t, p, n.Port()))
	if !assert.NoError(t, err) {
		return false
	}
	defer func() {
		ctx, stop := context.WithTimeout(context.Background(), 5*time.Second)
		defer stop()
		assert.NoError(t, s.Close(ctx))
	}()
	s.Put(slots)
	watchNode(n, b, k)
	return true
}

func benchConfig(t assert.TestingT, p *prop.Prop, port uint16) link.Config {
	cfg := link.Config{CID: protocol.CID{0xc0}, Source: "check-out test", Priority: 100, Steady: true, Unannounced: true}
	patch, err := prop.NewPatch(p.Pixels(), p.Chip.Order, p.Address)
	assert.NoError(t, err)
	for _, u := range patch.Universes() {
		cfg.Targets = append(cfg.Targets, link.Target{Universe: protocol.Universe(u), Host: "127.0.0.1", Port: port})
	}
	return cfg
}

// watchNode lets the builder see what the node lights: some moments, of which
// the brightest is "at rest": a second when the whole is looked at, more when
// the question is about change.
func watchNode(n *node.Node, b *builder, k Kind) {
	settle(n)
	moments := 8
	switch k { // a loose contact lets go in every 0.7 s
	case AskEven:
		moments = 36
	case AskSteady, AskStaysLit:
		moments = 60
	}
	var rest strip.Light
	var moving []strip.Light
	for range moments {
		l := n.Look().Light
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
func settle(n *node.Node) {
	from := n.Look().Serial
	for end := time.Now().Add(time.Second); time.Now().Before(end) && n.Look().Serial < from+3; {
		time.Sleep(5 * time.Millisecond)
	}
}

// TestOverUDP plays whole check-outs over real UDP by a person who sees only
// the light of the nodes: some faults of the Buoy lamp in the short run, every
// fault at every place of six props in the long one.
func TestOverUDP(t *testing.T) {
	props, every := proofProps(), everyNth()
	if !long() {
		props, every = []*prop.Prop{prop.BuoyLamp()}, 5
		t.Log("some faults of one prop; RINGOUT_LONG=1 takes every fault at every place of six")
	}
	for _, p := range props {
		t.Run(p.Name, func(t *testing.T) {
			s, err := New(p, Options{})
			require.NoError(t, err)
			on := newBench()
			w := &walk{f: s.field, apart: true, by: map[strip.Kind]*tally{}}
			w.see = func(t *testing.T, p *Probe, truth []int) []int { return on.overUDP(t, w.f, p, truth) }
			for some := range slices.Chunk(few(s.field, every), atOnce) {
				w.play(t, s.Clone(), some)
			}
			assert.Empty(t, w.lost)
			w.report(t)
		})
	}
}

// atOnce is how many check-outs are under way at most: each takes a megabyte and
// more on a long prop.
const atOnce = 2500

// few picks every n-th fault and the sound prop.
func few(f *field, n int) []int {
	var out []int
	for i, h := range f.hyps {
		if !h.moreAfter && i%n == 0 {
			out = append(out, i)
		}
	}
	return out
}
