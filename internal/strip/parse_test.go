package strip

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/longcheck"
	"example.org/ringout/patterns"
)

func TestParseFault(t *testing.T) {
	p := bench("GRB", 36, 48, 60)
	p.Runs[1].Name = "middle ring"
	rows := []struct {
		text string
		want Fault
	}{
		{"open-joint pixel 37", Fault{Kind: OpenJoint, Pixel: 36}},
		{"  Open-Joint   PIXEL 37 ", Fault{Kind: OpenJoint, Pixel: 36}},
		{"open-line pixel 60", Fault{Kind: OpenJoint, Pixel: 59}},
		{"count run middle ring by -2", Fault{Kind: Count, Run: 1, N: -2}},
		{`count by +2 run "Middle Ring"`, Fault{Kind: Count, Run: 1, N: 2}},
		{"runs-swapped run 1 run c", Fault{Kind: RunsSwapped, Run: 0, Run2: 2}},
		{"dead-channel pixel 1 colour blue", Fault{Kind: DeadChannel, Channel: patterns.Blue}},
		{"dead-channel pixel 1 channel b", Fault{Kind: DeadChannel, Channel: patterns.Blue}},
		{"wrong-order order rgb", Fault{Kind: WrongOrder, Order: "RGB"}},
		{"wrong-chip pixel 85 slots 4 order grbw", Fault{Kind: WrongChip, Pixel: 84, N: 4, Order: "GRBW"}},
		{"sag", Fault{Kind: Sag}},
		{"grouped lights 3", Fault{Kind: Grouped, N: 3}},
		{"no-supply", Fault{Kind: NoSupply}},
	}
	for _, r := range rows {
		got, err := ParseFault(r.text, p)
		require.NoError(t, err, r.text)
		require.Equal(t, r.want, got, r.text)
	}
	two, err := ParseFaults("open-joint pixel 100, wrong-order order RGB", p)
	require.NoError(t, err)
	require.Len(t, two, 2)
}

func TestEverySampleIsUnderstood(t *testing.T) {
	var kinds []Kind
	for _, text := range Samples() {
		f, err := ParseFault(text, bench("GRB", 36, 48, 60, 60)) // two universes
		require.NoError(t, err, text)
		kinds = append(kinds, f.Kind)
	}
	require.Greater(t, len(kinds), len(Kinds()), "other names too")
	require.Equal(t, Kinds(), slices.Compact(kinds))
}

func TestParseFaultRefuses(t *testing.T) {
	rows := []struct{ text, says string }{
		{"", "choose one of no-supply"},
		{"burnt", `no fault "burnt"`},
		{"open-joint", "lacks its pixel"},
		{"open-joint pixel", "lacks a value"},
		{"open-joint pixel x", "not a whole number"},
		{"open-joint pixel 0", "pixels 1 to 144"},
		{"open-joint pixel 145", "pixels 1 to 144"},
		{"open-joint pixel 99999999999999", "not a whole number"},
		{"open-joint run 1", `does not know the word "run"`},
		{"open-joint place 3", `does not know the word "place"`},
		{"open-joint pixel 2147483647", "pixels 1 to 144"},
		{"open-joint pixel 2147483648", "not a whole number"},
		{"count run 9 by 1", `no run "9"`},
		{"count run 1 by 0", "not 0"},
		{"count run 1 by -36", "36 pixels planned"},
		{"runs-swapped run 1 run 1", "with itself"},
		{"runs-swapped run 1", "second run"},
		{"run-mirrored run 1 run 2", "too many runs"},
		{`run-mirrored run "a`, "never closed"},
		{"dead-channel pixel 1 colour white", "no white to lose"},
		{"dead-channel pixel 1 colour pink", `no chip has a colour "pink"`},
		{"wrong-order order RGX", `letter 'X'`},
		{"wrong-order order GRB", "is the planned one"},
		{"wrong-order order RGBW", "does not fit"},
		{"wrong-chip slots 3", "not the planned number"},
		{"wrong-chip slots 4 order RGB", "give 4 letters"},
		{"slot-shift by -1", "leaves 1 to 512"},
		{"wrong-address by 64000", "leaves 1 to 63999"},
		{"grouped by 1", "2 or more"},
		{"sag by -3", "milliohms"},
	}
	for _, r := range rows {
		_, err := ParseFault(r.text, bench("GRB", 36, 48, 60))
		require.Error(t, err, r.text)
		require.Contains(t, err.Error(), r.says, r.text)
		require.NotContains(t, err.Error(), "\n")
	}
}

func TestFaultsThatRuleEachOtherOut(t *testing.T) {
	p := bench("GRB", 10, 10)
	rows := []struct{ text, says string }{
		{"mirrored, mirrored", "given twice"},
		{"slot-shift by 1, slot-shift by 2", "given twice"},
		{"dead-pixel pixel 3, dead-stop pixel 3", "one fault of its own"},
		{"run-backwards run 2, run-mirrored run 2", "output end"},
		{"count run 1 by -2, open-joint pixel 10", "only 8 pixels then"},
		{"count run 1 by -2, count run 1 by 2", "different values"},
		{"runs-swapped run 1 run 2, runs-swapped run 2 run 1", "no fault"},
		{"wrong-chip slots 4, wrong-order pixel 3 order RGB", "does not fit"},
	}
	for _, r := range rows {
		var faults []Fault
		for _, part := range strings.Split(r.text, ",") {
			f, err := ParseFault(part, p)
			require.NoError(t, err)
			faults = append(faults, f)
		}
		_, err := New(p, faults...)
		require.Error(t, err, r.text)
		require.Contains(t, err.Error(), r.says, r.text)
	}
}

func TestFaultTextRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProp(t)
		f := Random(p, rapid.Uint64().Draw(t, "seed"))
		got, err := ParseFault(f.String(), p)
		require.NoError(t, err, f.String())
		require.Equal(t, f, got)
		require.NotEmpty(t, f.Sentence(p))
		require.True(t, strings.HasSuffix(f.Sentence(p), "."), f.Sentence(p))
	})
}

func TestRandomMeetsEveryKind(t *testing.T) {
	met := map[Kind]bool{}
	for seed := range uint64(2000) {
		p := bench("GRB", 36, 48, 60, 60) // two universes
		f := Random(p, seed)
		require.Equal(t, f, Random(p, seed))
		met[f.Kind] = true
	}
	require.Len(t, met, len(Kinds())-1)
	require.NotContains(t, met, Resistance, "light hardly tells")
	require.Equal(t, Fault{}, Random(nil, 1), "no strip can be made without a prop")
}

func TestSentences(t *testing.T) {
	p := bench("GRB", 36, 48)
	p.Runs[1].Name = "middle ring"
	rows := []struct{ text, want string }{
		{"open-joint pixel 37", `No data reaches pixel 1 of run "middle ring" (37 of the prop): the joint between run "a" and run "middle ring" is open.`},
		{"open-joint pixel 1", `No data reaches pixel 1 of run "a" (1 of the prop): the lead from the controller is open.`},
		{"open-joint pixel 39", `No data reaches pixel 3 of run "middle ring" (39 of the prop): the strip is broken between it and pixel 2.`},
		{"count run 2 by -1", `Run "middle ring" has 1 pixel fewer than planned: 47 instead of 48.`},
		{"wrong-order pixel 37 order RGB", `The chips have the colour order RGB instead of GRB: from pixel 1 of run "middle ring" (37 of the prop) on.`},
		{"slot-shift by 1", "The controller starts at slot 2 instead of 1."},
		{"wrong-address by 1", "The controller listens on universe 2 instead of 1."},
		{"runs-swapped run 1 run 2", `Run "a" and run "middle ring" have changed places in the wiring.`},
	}
	for _, r := range rows {
		f, err := ParseFault(r.text, p)
		require.NoError(t, err)
		require.Equal(t, r.want, f.Sentence(p))
	}
}

// What is said of a fault has short sentences, wherever it is.
func TestFaultsInShortSentences(t *testing.T) {
	for _, p := range prop.Demos() {
		for _, k := range Kinds() {
			for _, f := range atThreePlaces(p, k) {
				assert.Empty(t, longcheck.Sentences(f.Sentence(p)))
				for _, s := range longcheck.Sentences(f.Remedy(p)) {
					assert.Contains(t, s, "Look for a loose ground", "four things to look at, in the order to try them")
				}
			}
		}
	}
}

// atThreePlaces are faults of a kind, at the first pixel, the last and one between.
func atThreePlaces(p *prop.Prop, k Kind) (out []Fault) {
	every := Every(k, p)
	if len(every) == 0 {
		return nil // it can't have it
	}
	for i, pixel := range []int{0, p.Pixels() / 2, p.Pixels() - 1} {
		f := every[i*(len(every)-1)/2]
		if s := FactsOf(k).Scope; s == AtPixel || s == FromPixel || s == ChipsFrom {
			f.Pixel = pixel
		}
		out = append(out, f)
	}
	return out
}

func FuzzParseFault(f *testing.F) {
	for _, s := range Samples() {
		f.Add(s)
	}
	f.Add(`count run "middle ring" by -2`)
	p := prop.Porthole()
	f.Fuzz(func(t *testing.T, text string) {
		got, err := ParseFault(text, p)
		if err != nil {
			if strings.Contains(err.Error(), "\n") {
				t.Fatalf("not one line: %q", err)
			}
			return
		}
		again, err := ParseFault(got.String(), p)
		if err != nil || again != got {
			t.Fatalf("%q became %v, then %v, %v", text, got, again, err)
		}
		if _, err := New(p, got); err != nil {
			t.Fatal(err)
		}
	})
}

func FuzzLight(f *testing.F) {
	f.Add(uint64(1), uint64(2), []byte{1, 2, 3}, []byte{4})
	f.Add(uint64(99), uint64(7), make([]byte, 512), make([]byte, 513))
	f.Fuzz(func(t *testing.T, a, b uint64, first, second []byte) {
		p := bench("GRBW", 3, 140, 1)
		if a%2 == 0 {
			p = bench("GRB", 100, 90)
		}
		faults := []Fault{Random(p, a), Random(p, b)}
		s, err := New(p, faults...)
		if err != nil {
			t.Skip()
		}
		slots := [][]byte{first, second}
		got := s.Light(slots)
		if len(got) != len(p.Runs) {
			t.Fatalf("%d runs lit", len(got))
		}
		if faults[0].Kind != Sag && faults[1].Kind != Sag {
			require.Equal(t, slowLight(p, faults, slots), got)
		}
	})
}
