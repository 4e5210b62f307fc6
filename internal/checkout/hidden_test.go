package checkout

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// sign is a prop of two runs with holes at their ends and on the way.
func sign() *prop.Prop {
	p := ringProp("sign", 14, 12)
	p.Parts = []prop.Part{{Name: "word", First: 2, Last: 5}}
	for _, hole := range [][2]int{{0, 1}, {6, 8}, {14, 14}, {24, 25}} {
		p.Parts = append(p.Parts, prop.Part{Name: "hole", First: hole[0], Last: hole[1], Empty: true})
	}
	return p
}

// TestEmptyParts: pixels of empty parts are sent nothing, nobody is asked for
// them, and every fault at every place, or at every fifth in the short run, is
// found by somebody who does not look there. One that only such a pixel would show is as good as none.
func TestEmptyParts(t *testing.T) {
	s, err := New(sign(), Options{})
	require.NoError(t, err)
	w := &walk{f: s.field, by: map[strip.Kind]*tally{}}
	w.see = func(t *testing.T, p *Probe, truth []int) []int {
		for i, c := range p.Show(nil, 26, 0) {
			assert.False(t, s.field.dark[i] && c != patterns.Colour{}, "pixel %d of %s", i, p.Spec.key())
		}
		for _, sp := range p.Look {
			assert.False(t, s.field.dark[sp.First], "asks for pixel %d: %s", sp.First, p.Question)
		}
		return w.f.inMemory(t, p, truth)
	}
	every := 13 // in the short run
	if long() {
		every = 1
	}
	w.play(t, s, some(s.field, every))
	assert.Empty(t, w.lost)
	w.report(t)
	assert.Equal(t, 1, w.by["good"].exact)
	dead := w.by[strip.DeadPixel]
	assert.Equal(t, dead.n, dead.exact)
	assert.GreaterOrEqual(t, dead.n, 26/every)
}

// TestEmptyPartsRowsAreExact is TestRowsAreExact with holes.
func TestEmptyPartsRowsAreExact(t *testing.T) {
	s, err := New(sign(), Options{})
	require.NoError(t, err)
	p := &proposer{f: s.field, hyps: s.belief.hyps}
	p.live, p.share = s.belief.sample(s.belief.posterior().each)
	for _, spec := range p.all() {
		exact(t, s.field, spec)
	}
}

// TestAShortRunAloneIsSettled: a fall of voltage that nobody could see on so
// few pixels keeps nobody from signing them off.
func TestAShortRunAloneIsSettled(t *testing.T) {
	s, err := New(single("ring", 36), Options{})
	require.NoError(t, err)
	finish(t, s, s.field.sound)
	assert.True(t, s.Findings()[0].Good)
	assert.Contains(t, s.Stopped(), "stands well above")
}
