package checkout

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// An explanation is confirmed by each confirming look that it predicts and that
// was as drawn; where the builder could not tell by one, none is asked for again.
func TestConfirmingLooksThatWereHad(t *testing.T) {
	look := func(given int) step {
		return step{spec: Spec{Kind: AskConfirm}, answers: []Token{SeesAsDrawn, seesRun, SeesElse}, given: given}
	}
	for _, row := range []struct {
		name  string
		steps []step
		due   []Token
		looks int
		sure  bool
	}{
		{"none", []step{lastLit(0.1, 0)}, []Token{Token(Red)}, 0, true},
		{"one", []step{lastLit(0.1, 0), look(0)}, []Token{Token(Red), SeesAsDrawn}, 1, true},
		{"two", []step{look(0), lastLit(0.1, 0), look(0)}, []Token{SeesAsDrawn, Token(Red), SeesAsDrawn}, 2, true},
		{"a run looked different", []step{look(1)}, []Token{SeesAsDrawn}, 0, true},
		{"as drawn of another explanation", []step{look(0)}, []Token{seesRun}, 0, true},
		{"a run that it predicts is no confirmation", []step{look(1)}, []Token{seesRun}, 0, true},
		{"one, then not sure", []step{look(0), look(-1)}, []Token{SeesAsDrawn, SeesAsDrawn}, 1, false},
		{"not sure of another question", []step{lastLit(0.1, -1), look(0)}, []Token{Token(Red), SeesAsDrawn}, 1, true},
	} {
		looks, sure := sessionOf(row.steps, row.due...).confirmed(1)
		assert.Equal(t, row.looks, looks, row.name)
		assert.Equal(t, row.sure, sure, row.name)
	}
}

// A question is asked once more from the second answer on: where nothing fits
// all, where something is about to stand, or where a fault of no list is likelier.
func TestWhenAnAnswerMayBeASlip(t *testing.T) {
	for _, row := range []struct {
		name           string
		steps          int
		fits           bool
		share, unknown float64
		want           bool
	}{
		{"under way", 2, true, 0.6, 0.3, false}, {"nothing fits", 2, false, 0.6, 0.3, true}, {"nothing fits, one answer", 1, false, 0.6, 0.3, false},
		{"about to stand", 2, true, 0.97, 0.01, true}, {"not quite", 2, true, 0.96, 0.01, false}, {"the unknown is likelier", 2, true, 0.3, 0.31, true}, {"as likely", 2, true, 0.3, 0.3, false},
	} {
		steps := []step{lastLit(0.1, 1), lastLit(0.2, 0)}[:row.steps]
		s := sessionOf(steps, Token(Red), Token(Red))
		s.opts.Enough = 0.97
		s.belief.contradicted[1] = 1
		s.now = &posterior{each: []float64{0, row.share}, top: 1, share: row.share, unknown: row.unknown}
		if row.fits {
			s.now.each[0] = 0.35
		}
		assert.Equal(t, row.want, s.questionToRepeat() != nil, row.name)
	}
}

// No prop is signed off before every plain look was had; of a fault none is due.
func TestLooksBeforeAPropIsSignedOff(t *testing.T) {
	s, err := New(ringProp("small", 4, 3), Options{})
	require.NoError(t, err)
	plain := (&proposer{f: s.field}).plain()
	require.Greater(t, len(plain), 4)
	dead := slices.IndexFunc(s.field.hyps, func(h hypothesis) bool { return !h.sound() })
	for _, missing := range plain {
		s.used = map[string]bool{}
		for _, spec := range plain {
			s.used[spec.key()] = spec != missing
		}
		c := s.signOffLook(0)
		require.NotNil(t, c)
		assert.Equal(t, missing.key(), c.spec.key())
		want := questions[missing.Kind].answers
		if missing.Kind == AskRuns {
			want = []Token{SeesAsDrawn, seesRun, seesRun + 1, SeesElse}
		}
		assert.Equal(t, want, c.answers, missing.Kind)
		assert.Nil(t, s.signOffLook(dead))
	}
	for _, spec := range plain {
		s.used[spec.key()] = true
	}
	assert.Nil(t, s.signOffLook(0))
}

// Bands give a place away when its colour is another there than is sent, and
// not that of the band beside it: the longest row of such colours, four at most,
// and one that stays at its end.
func TestColoursOfBands(t *testing.T) {
	colours := []Name{Red, Green, Yellow, Blue, Magenta, Cyan, White}
	rapid.Check(t, func(t *rapid.T) {
		var sig signature
		for _, n := range colours {
			sig.seenAs[n] = rapid.SampledFrom(append([]Name{Dark, n, n}, colours...)).Draw(t, n.String())
		}
		good := func(path []Name) bool {
			for i, n := range path {
				if sig.seenAs[n] == n || slices.Contains(path[:i], n) || i > 0 && (sig.seenAs[n] == path[i-1] || sig.seenAs[path[i-1]] == n) {
					return false
				}
			}
			return true
		}
		longest := 0
		var grow func(path []Name)
		grow = func(path []Name) {
			if longest = max(longest, len(path)); longest == 4 {
				return
			}
			for _, n := range colours {
				if next := append(slices.Clone(path), n); good(next) {
					grow(next)
				}
			}
		}
		grow(nil)
		var got []Name
		for _, h := range sig.hues() {
			got = append(got, h.name())
		}
		same := slices.ContainsFunc([]Name{White, Red, Green, Blue}, func(n Name) bool { return sig.seenAs[n] == n })
		want := longest
		if same {
			want++
		}
		if len(got) != want || !good(got[:longest]) {
			t.Fatalf("%v of %v, want %d and %v", got, sig.seenAs, longest, same)
		}
		if same && sig.seenAs[got[longest]] != got[longest] {
			t.Fatalf("%v does not stay", got[longest])
		}
		base, ok := sig.base()
		for _, n := range []Name{Red, Green, Blue, White} {
			if sig.seenAs[n] != n {
				if !ok || base != n.hue() {
					t.Fatalf("marks are set on %s, want %v", base, n)
				}
				return
			}
		}
		if ok {
			t.Fatal("nothing is seen as another")
		}
	})
	var white signature
	for _, n := range colours {
		white.seenAs[n] = n
	}
	white.white = HueWarm
	base, ok := white.base()
	assert.True(t, ok)
	assert.Equal(t, HueWarm, base, "only its own white is seen as another")
}

// proposals are what is proposed for a family of faults of a prop, of whose
// places some are open.
func proposals(t *testing.T, p *prop.Prop, is func(strip.Fault) bool, places ...int) []Spec {
	t.Helper()
	f, err := newField(p, nil)
	require.NoError(t, err)
	for k := range f.families {
		fam := &f.families[k]
		if !fam.placed || fam.moreAfter || fam.from == fam.to || !is(fam.faults[0]) {
			continue
		}
		pr := &proposer{f: f, hyps: f.hyps}
		var at []int
		for n, pixel := range places {
			pr.live, pr.share, at = append(pr.live, f.at(fam, pixel)), append(pr.share, 1), append(at, n)
		}
		pr.family(fam, &f.marks[k], at)
		var out []Spec
		for _, s := range pr.out {
			out = append(out, *s)
		}
		return out
	}
	t.Fatal("no such family")
	return nil
}

// What is asked of the places of a fault, by what the fault does there: where
// all behind it is dark the last lit colour, where it comes and goes the last that
// stays, of a dark place the colour before it, and where the place shows another
// colour that one too, and marks.
func TestQuestionsByWhatAFaultDoes(t *testing.T) {
	ofKind := func(k strip.Kind) func(strip.Fault) bool {
		return func(ft strip.Fault) bool { return ft.Kind == k }
	}
	p := single("S", 24)
	for k, want := range map[strip.Kind][]Kind{
		strip.OpenJoint: {AskLastLit, AskBefore}, strip.DeadStop: {AskLastLit, AskBefore}, strip.Flicker: {AskStaysLit}, strip.DeadPixel: {AskBefore},
		strip.DeadChannel: {AskBefore, AskOdd, AskMark}, strip.WrongOrder: {AskBefore, AskOdd}, strip.WrongChip: {AskBefore, AskBefore},
	} {
		var got []Kind
		for _, s := range proposals(t, p, ofKind(k), 4, 9, 14, 19) {
			got = append(got, s.Kind)
		}
		assert.Equal(t, want, got, k)
	}
	marks := proposals(t, p, ofKind(strip.DeadChannel), 4, 9, 14)[2]
	base := marks.Base
	var at []int
	for i, c := range marks.Paint.frame(nil, 24) {
		if c != base.Colour() {
			at = append(at, i)
		}
	}
	assert.Equal(t, []int{8, 13}, at, "a mark before every place but the first")
}

// Of a white of its own no other look parts the places: a place that is likeliest
// by far is set between two marks; of several every other has a mark at most, so
// that no more is hidden than is parted.
func TestMarksOnAWhiteOfItsOwn(t *testing.T) {
	p := single("S", 40)
	p.Chip.Order = "GRBW"
	f, err := newField(p, nil)
	require.NoError(t, err)
	marked := func(shares ...float64) []int {
		pr, places := &proposer{f: f}, []spotShare(nil)
		for i, x := range shares {
			places = append(places, spotShare{3 + 4*i, x})
		}
		pr.marked(HueWarm, places, &family{name: "x"})
		require.Len(t, pr.out, 1)
		require.Equal(t, AskMark, pr.out[0].Kind)
		var at []int
		for i, c := range pr.out[0].Paint.frame(nil, 40) {
			if c != HueWarm.Colour() {
				at = append(at, i)
			}
		}
		return at
	}
	assert.Equal(t, []int{6, 8}, marked(0.01, 1, 0.05), "around the one at 7")
	assert.Len(t, marked(1, 1), 1)
	assert.Len(t, marked(1, 1, 1), 1)
	assert.Len(t, marked(1, 1, 1, 1, 1, 1), 2)
	assert.Len(t, marked(1, 1, 1, 1, 1, 1, 1, 1), 3)
}

// The three likeliest explanations are paired with every fault of the whole prop,
// the first of them with every fault that has a place too; the others are handed
// back, but a fall of voltage, which hides little.
func TestPartnersOfLeaders(t *testing.T) {
	s := begun(t, ringProp("T", 5, 4), 1, strip.Fault{Kind: strip.DeadPixel, Pixel: 2})
	s.decide()
	f := s.field
	find := func(ft strip.Fault) int {
		return slices.IndexFunc(f.hyps, func(h hypothesis) bool { return len(h.faults) == 1 && h.faults[0] == ft })
	}
	a, b, c := find(strip.Fault{Kind: strip.RunMirrored, Run: 1}), find(strip.Fault{Kind: strip.SlotShift, N: 1}), find(strip.Fault{Kind: strip.OpenJoint, Pixel: 3})
	rare := find(strip.Fault{Kind: strip.DeadPixel, Pixel: 7})
	sag := slices.IndexFunc(f.hyps, func(h hypothesis) bool { return h.sag })
	places := 0
	for i := range f.hyps {
		if h := &f.hyps[i]; h.family >= 0 && f.families[h.family].placed && !h.moreAfter && int(h.sameLight) == i {
			places++
		}
	}
	leaders := func(by ...int) (left []int, of map[int]int) {
		p := &posterior{each: make([]float64, len(f.hyps))}
		p.each[0] = 0.9 // a sound prop has no partner
		for n, i := range by {
			p.each[i] = 0.01 / float64(n+1)
		}
		s.forgetPairs()
		d := newPairSearch(s)
		d.budget = 1 << 20
		left = d.withLeaders(p)
		of = map[int]int{}
		for key := range s.tried {
			of[int(key>>32)]++
			of[int(uint32(key))]++
		}
		return left, of
	}
	left, of := leaders(a, b, c, rare)
	assert.Equal(t, []int{int(f.hyps[b].group), int(f.hyps[c].group)}, left)
	for _, i := range []int{a, b, c} {
		n := len(f.globals)
		if slices.Contains(f.globals, int(f.hyps[i].group)) {
			n--
		}
		assert.GreaterOrEqual(t, of[int(f.hyps[i].group)], n, "%v with every fault of the whole", f.hyps[i].faults)
	}
	assert.GreaterOrEqual(t, of[int(f.hyps[a].group)], places, "the first with every place too")
	assert.Less(t, of[int(f.hyps[b].group)], places)
	assert.LessOrEqual(t, of[rare], 1, "the fourth only with the first")
	left, _ = leaders(b, sag, a)
	assert.Equal(t, []int{int(f.hyps[a].group)}, left, "a fall of voltage is not handed back")
	left, _ = leaders()
	assert.Empty(t, left)
}
