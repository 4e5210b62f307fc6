package strip

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// wide is a prop that can have every kind of fault: three runs over two
// universes.
func wide() *prop.Prop { return bench("GRB", 60, 70, 80) }

// onTheProp are words of remedies that need an iron, a cutter or a plug.
var onTheProp = regexp.MustCompile(`(?i)solder|replace|cut |take off|take it out|missing|move the lead|feed |turn|wire`)

// TestRowsAreComplete: every kind has all facts, words that are its own, a
// sample that is understood, and an effect that can be seen or measured.
func TestRowsAreComplete(t *testing.T) {
	p, sound := wide(), mustStrip(t, wide())
	names, remedies := map[string]Kind{}, map[string]Kind{}
	efforts := map[int]Kind{}
	for _, k := range Kinds() {
		f := FactsOf(k)
		require.Equal(t, k, f.Kind)
		assert.NotEmpty(t, f.Name, "%s: Name is empty", k)
		assert.Empty(t, names[f.Name], "%s is called like %s", k, names[f.Name])
		assert.NotEmpty(t, f.Remedy, "%s: Remedy is empty", k)
		assert.True(t, strings.HasSuffix(f.Remedy, "."), "%s: Remedy is no sentence", k)
		assert.Empty(t, remedies[f.Remedy], "%s is mended like %s", k, remedies[f.Remedy])
		assert.Empty(t, efforts[f.Effort], "%s is tried when %s is", k, efforts[f.Effort])
		names[f.Name], remedies[f.Remedy], efforts[f.Effort] = k, k, k
		assert.Equal(t, !f.Unlit, f.Chance > 0, "%s: what light shows needs a chance", k)

		ft, err := ParseFault(rowOf(k).sample, p)
		require.NoError(t, err, k)
		assert.Equal(t, k, ft.Kind)
		for _, remedy := range []string{f.Remedy, ft.Remedy(p)} {
			if onTheProp.MatchString(remedy) && k != NoSupply { // that is measured while it is on
				assert.Regexp(t, `(?i)power off`, remedy, "%s: work on the prop begins with the power off", k)
			}
		}
		said := ft.Sentence(p)
		assert.True(t, strings.HasSuffix(said, "."), said)
		assert.NotContains(t, said, string(k)+" ", "a sentence, not the fault as typed")
		texts := ft.Large(p)
		require.NotEmpty(t, texts, k)
		assert.NotEqual(t, "Fault found", texts[0], "%s has no words of its own", k)
		assert.LessOrEqual(t, len(texts[len(texts)-1]), 20, "%s: %q fits 80 columns in large letters", k, texts)
		places := ft.Places(p)
		assert.Equal(t, f.Scope == Whole, len(places) == 0, k)
		for _, sp := range places {
			assert.LessOrEqual(t, sp.First, sp.Last, k)
		}
		st := mustStrip(t, p, ft)
		if f.Unlit {
			assert.NotNil(t, st.copper, k)
			continue
		}
		assert.False(t, looksLike(st, sound), "%s changes nothing that can be seen", k)
		every := Every(k, p)
		assert.NotEmpty(t, every, k)
		for _, e := range every {
			assert.Equal(t, k, e.Kind)
			_, err := New(p, e)
			assert.NoError(t, err, "%v", e)
		}
		for seed := range uint64(400) {
			if Random(p, seed).Kind == k {
				k = ""
				break
			}
		}
		assert.Empty(t, k, "never drawn")
	}
}

// looksLike reports whether two strips show the same of a frame in which no
// pixel is like another, at rest and while contact is lost.
func looksLike(a, b *Strip) bool {
	f := make(patterns.Frame, a.pixels)
	for i := range f {
		f[i] = patterns.Colour{R: uint8(1 + i), G: uint8(250 - i), B: uint8(1 + 7*i%250)}
	}
	d := a.Lay(f)
	return look3(a.Shine(f)) == look3(b.Shine(f)) && look3(a.ShineOpen(nil, d)) == look3(b.ShineOpen(nil, d))
}

// look3 writes a light down, value by value.
func look3(l Light) string {
	var b strings.Builder
	for _, run := range l {
		for _, c := range run {
			b.WriteString(string([]rune{rune(c.R), rune(c.G), rune(c.B), rune(c.W)}))
		}
		b.WriteByte('|')
	}
	return b.String()
}

func mustStrip(t *testing.T, p *prop.Prop, faults ...Fault) *Strip {
	t.Helper()
	s, err := New(p, faults...)
	require.NoError(t, err)
	return s
}

// TestUniversesSwapped: 170 pixels of three slots fill a universe (common
// practice), so pixel 171 shows what pixel 1 is sent, and the reverse.
func TestUniversesSwapped(t *testing.T) {
	s := mustStrip(t, bench("GRB", 200), Fault{Kind: UniversesSwapped, N: 1, N2: 2})
	l := s.Shine(one(200, 1))
	require.Equal(t, red, l[0][170])
	require.Equal(t, 1, l.Lit())
	l = s.Shine(one(200, 171))
	require.Equal(t, red, l[0][0])
}

func TestBuiltFollowsWhatAPlanCanSay(t *testing.T) {
	p := wide()
	var out prop.Found
	for _, k := range []Kind{NoSupply, OpenJoint, StuckOn, RunChip, Sag, WrongAddress} {
		require.False(t, Fault{Kind: k, N: 1}.Built(&out, p), k)
	}
	require.False(t, Fault{Kind: WrongOrder, Pixel: 4, Order: "RGB"}.Built(&out, p), "inside the prop")
	require.True(t, Fault{Kind: WrongOrder, Order: "RGB"}.Built(&out, p))
	require.True(t, Fault{Kind: Count, Run: 1, N: -3}.Built(&out, p))
	require.True(t, Fault{Kind: RunMirrored, Run: 2}.Built(&out, p))
	require.True(t, Fault{Kind: SlotShift, N: 3}.Built(&out, p))
	require.Equal(t, prop.Order("RGB"), out.Order)
	require.Equal(t, map[int]int{1: 67}, out.Pixels)
	require.Equal(t, map[int]bool{2: true}, out.Reverse)
	require.Equal(t, 4, out.Slot)
}

func TestBringNamesThePlannedChip(t *testing.T) {
	c := prop.Chip{Name: "WS2815"}
	require.Contains(t, FactsOf(DeadPixel).Bring(c), "a few pixels of WS2815")
	require.Contains(t, FactsOf(RailLost).Bring(c), "voltmeter")
	require.Nil(t, FactsOf(SlotShift).Bring(c))
	require.Zero(t, FactsOf("no such kind"))
}

// Two senders on one prop look like spoilt data: the remedy asks for that first, since it costs nothing.
func TestSpoiltDataMayBeASecondSender(t *testing.T) {
	require.True(t, strings.HasPrefix(Fault{Kind: Sparkle}.Remedy(prop.Porthole()), "Does another sender light this prop too?"))
}
