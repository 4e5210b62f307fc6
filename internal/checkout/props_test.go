package checkout

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// ringProp is a prop of rings of these pixel counts.
func ringProp(name string, sizes ...int) *prop.Prop {
	p := prop.Porthole()
	p.Name, p.Runs, p.Feeds = name, nil, nil
	for i, n := range sizes {
		p.Runs = append(p.Runs, prop.Run{Name: fmt.Sprintf("ring %d", i+1), Pixels: n, Shape: prop.Shape{Kind: prop.Ring}})
	}
	return p
}

// single is a prop of one run.
func single(name string, n int) *prop.Prop {
	p := ringProp(name, n)
	p.Runs[0].Name = name
	return p
}

// proofProps are the three demo props, rings and a star set as they are sold,
// and a long line of four universes and more (common practice).
func proofProps() []*prop.Prop {
	return append(prop.Demos(), ringProp("four rings", 42, 52, 61, 71),
		ringProp("star set", 24, 24, 24, 24, 24), single("long line", 680))
}

// long reports whether the long tests are asked for.
func long() bool { return os.Getenv("RINGOUT_LONG") == "1" }

// everyNth is of how many places, or faults, a long proof takes one:
// RINGOUT_EVERY, where a whole one takes hours, else 1.
func everyNth() int {
	n, err := strconv.Atoi(os.Getenv("RINGOUT_EVERY"))
	if err != nil || n < 1 {
		return 1
	}
	return n
}

// slotsOf are the slots the show sends for a probe.
func slotsOf(f *field, p *Probe) [][]byte {
	frame := p.Show(nil, f.pixels, 0)
	for i, c := range frame {
		for ch := range patterns.Channel(patterns.NumChannels) {
			frame[i] = frame[i].With(ch, uint8(math.Round(float64(c.Get(ch))*p.Level)))
		}
	}
	return f.sound.Lay(frame).Slots()
}

// key is what the builder answers who sees this strip.
func key(f *field, p *Probe, st *strip.Strip, b *builder) int {
	b.Empty = f.hidden
	b.Watch(st, slotsOf(f, p))
	return b.answer(&p.Spec, f.sizes, p.Answers)
}

// finish plays a check-out of a strip to its end with perfect answers.
func finish(t testing.TB, s *Session, st *strip.Strip) {
	t.Helper()
	var b builder
	for p, ok := s.Next(); ok; p, ok = s.Next() {
		require.NoError(t, s.Answer(key(s.field, &p, st, &b)))
	}
}

// printOfFaults stands for the light of a strip with these faults.
func printOfFaults(t testing.TB, f *field, faults ...strip.Fault) uint64 {
	t.Helper()
	st, err := f.sound.With(faults...)
	require.NoError(t, err)
	return newNoise(f).fingerprint(st)
}

// stripOf is the strip of a hypothesis, to keep.
func (f *field) stripOf(h *hypothesis) *strip.Strip {
	st, err := f.sound.With(h.faults...)
	if err != nil {
		panic(err)
	}
	return st
}
