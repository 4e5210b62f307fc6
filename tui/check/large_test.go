package check

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/testkit/lettercheck"
	"example.org/ringout/internal/underway"
	"example.org/ringout/tui/digits"
)

func TestFaultsInLargeWords(t *testing.T) {
	p := prop.Porthole()
	for want, f := range map[string]strip.Fault{
		"Dark from 60":            {Kind: strip.OpenJoint, Pixel: 59},
		"middle ring: 46, not 48": {Kind: strip.Count, Run: 1, N: -2},
		"middle ring backwards":   {Kind: strip.RunBackwards, Run: 1},
		"Pixel 97 dark":           {Kind: strip.DeadPixel, Pixel: 96},
		"Runs 1 and 3 swapped":    {Kind: strip.RunsSwapped, Run: 0, Run2: 2},
	} {
		assert.Equal(t, want, faultWords(p, f)[0])
	}
}

// allLarge are all verdicts and questions that there are, for props with long and
// with short names.
func allLarge() (all [][]string) {
	for _, p := range append(prop.Demos(), long()) {
		for _, k := range strip.Kinds() {
			every := strip.Every(k, p)
			if len(every) == 0 { // resistance is found by a meter alone
				every = []strip.Fault{{Kind: k, Run: len(p.Runs) - 1, N: 12340}}
			}
			f := every[len(every)-1]
			if scope := strip.FactsOf(k).Scope; scope == strip.AtPixel || scope == strip.FromPixel || scope == strip.ChipsFrom {
				f.Pixel = p.Pixels() - 1
			}
			all = append(all, faultWords(p, f))
		}
	}
	all = append(all, verdicts()...)
	for _, k := range []checkout.Kind{checkout.AskEven, checkout.AskLastLit, checkout.AskBefore, checkout.AskOdd, checkout.AskMark, checkout.AskRuns,
		checkout.AskSequence, checkout.AskSteady, checkout.AskStaysLit, checkout.AskFade, checkout.AskConfirm} {
		all = append(all, checkout.Spec{Kind: k}.Large(), checkout.Spec{Kind: k, Base: checkout.HueGreen}.Large())
	}
	for _, pixel := range []int{0, -1, 5, 12345} {
		all = append(all, checkout.Spec{Kind: checkout.AskPlace, Pixel: pixel}.Large())
	}
	all = append(all, stepsLarge()...)
	for _, s := range []power.Suspect{{Name: `the feed "hoist"`, Ohms: 1.23}, {Run: 12, Ohms: 0.04}, {Run: 1, Ohms: 1000}, {Name: strings.Repeat("long ", 40), Ohms: 12}} {
		all = append(all, tooMuch(s))
	}
	slices.SortFunc(all, slices.Compare)
	return slices.CompactFunc(all, slices.Equal)
}

// verdicts are those that are no fault of one kind.
func verdicts() (all [][]string) {
	good := []checkout.Finding{{Sure: checkout.Certain, Good: true}}
	left := []checkout.Finding{{Sure: checkout.Certain, Good: true, Untried: "the load test"}}
	mended := []record.Finding{{Text: "dark"}}
	two := checkout.Cause{Faults: []strip.Fault{{Kind: strip.OpenJoint, Pixel: 59}, {Kind: strip.DeadPixel, Pixel: 3}}}
	for _, s := range []state{
		{absent: "x"}, {}, {suspects: make([]suspect, 1234)}, {findings: good}, {findings: left},
		{findings: []checkout.Finding{{Unknown: &checkout.UnknownFault{}}}},
		{findings: []checkout.Finding{{Sure: checkout.Certain}}},
		{findings: []checkout.Finding{{Sure: checkout.Certain, Causes: []checkout.Cause{two}}}},
		{findings: good, CheckOut: underway.CheckOut{Mended: mended}},
		{findings: left, CheckOut: underway.CheckOut{Mended: mended}},
		{findings: good, CheckOut: underway.CheckOut{Part: underway.Part{Way: underway.Unbuilt}}},
	} {
		all = append(all, s.verdict(prop.Porthole()))
	}
	for _, o := range append(single.Offers(prop.Porthole()), single.Offers(prop.Demos()[2])...) {
		all = append(all, nextTest(o.Kind))
	}
	return append(all, []string{"Not signed off: look again", "Not signed off"})
}

// stepsLarge are the questions of all single tests of the demos, as far as the first answer of
// each step leads.
func stepsLarge() (all [][]string) {
	for _, p := range append(prop.Demos(), long()) {
		for _, o := range single.Offers(p) {
			t, err := single.New(o.Kind, p)
			if err != nil {
				continue
			}
			for range 3 {
				s, more := t.Step()
				if !more {
					break
				}
				all = append(all, s.Large)
				r := single.Reply{Key: s.Answers[0].Key}
				if s.Typed == single.VoltsLine {
					r = single.Reply{Typed: "4.9", Level: s.Level}
				}
				if t.Answer(r) != nil {
					break
				}
			}
		}
	}
	return all
}

func long() *prop.Prop {
	p := *prop.Porthole()
	p.Runs = append([]prop.Run(nil), p.Runs...)
	for i := range p.Runs {
		p.Runs[i].Name = strings.Repeat("quarterdeck lantern ", 4)
	}
	return &p
}

// The large line is never cut, at any width from 50 to 240: what is read off it is one
// of its texts whole, and at 80 columns it is large.
func TestTheLargeLineIsNeverCut(t *testing.T) {
	reader := lettercheck.New(digits.Large)
	for _, texts := range allLarge() {
		for width := 50; width <= 240; width++ {
			for _, rows := range []int{3, 6, 9} {
				got := digits.Large(width-4, rows, texts...)
				for _, l := range got {
					assert.LessOrEqual(t, utf8.RuneCountInString(l), width-4, "%q at %d", texts, width)
				}
				text, large := reader.Line(got)
				if !large {
					text = bare(strings.Join(got, ""))
				}
				assert.Contains(t, bares(texts), text, "%q at %d", texts, width)
				assert.True(t, large || width < 80, "%q is not large at %d", texts, width)
			}
		}
	}
}

// bare is a text as large letters are read: in capitals, without spaces.
func bare(text string) string { return strings.Join(strings.Fields(strings.ToUpper(text)), "") }

func bares(texts []string) (out []string) {
	for _, x := range texts {
		out = append(out, bare(x))
	}
	return out
}

// shorter are large words that are others with their end left out.
var shorter = []string{"NOTSETTLED", "NOTCHECKED"}

// Nor does a page cut it: every letter of every page is whole, and no large words are the
// beginning of others but those that say as much.
func TestNoPageCutsItsLargeLine(t *testing.T) {
	reader := lettercheck.New(digits.Large)
	for name, v := range visits {
		e, drawn := v.open(t, termenv.Ascii), map[string]bool{}
		for width := 50; width <= 240; width += 2 {
			height := 20 + width%3*10
			e.feed(tea.WindowSizeMsg{Width: width, Height: height})
			texts, ok := reader.Page(e.m.View(width, height))
			assert.True(t, ok, "%s at %dx%d: after %q", name, width, height, texts)
			drawn[strings.Join(texts, "")] = true
		}
		delete(drawn, "") // the page has no room for any
		assert.NotEmpty(t, drawn, name)
		for text := range drawn {
			for longer := range drawn {
				assert.False(t, longer != text && strings.HasPrefix(longer, text) && !slices.Contains(shorter, text), "%s: %q and %q", name, text, longer)
			}
		}
	}
}

// From afar each of them may have several lines: never cut, never higher than the room, and large in any
// window.
func TestLargeWordsFromAfarFillTheWindow(t *testing.T) {
	for _, texts := range allLarge() {
		for width := 50; width <= 240; width += 19 {
			for rows := 15; rows <= 70; rows += 11 {
				got := digits.Block(width-4, rows, texts...)
				assert.LessOrEqual(t, len(got), rows, "%q at %dx%d", texts, width, rows)
				for _, l := range got {
					assert.LessOrEqual(t, utf8.RuneCountInString(l), width-4, "%q at %dx%d", texts, width, rows)
				}
				assert.GreaterOrEqual(t, letterHeight(strings.Join(got, "\n")), digits.Rows, "%q at %dx%d is not large", texts, width, rows)
			}
		}
	}
}

// From afar an answer has its own words, with others left out: no other names.
func TestAnswersFromAfarHaveTheirOwnWords(t *testing.T) {
	for _, row := range []struct {
		sees             checkout.Token
		text, far, brief string
	}{
		{checkout.SeesAll, "all lit, all blue", "all blue", ""},
		{checkout.SeesAll, "lit, red", "red", ""},
		{checkout.SeesTail, "lit at the start, dark from some pixel on", "dark from some pixel on", "end is dark"},
		{checkout.SeesTail, "a part of it stays dark", "part stays dark", ""},
		{checkout.SeesFew, "a part of it has another colour", "part another colour", ""},
		{checkout.SeesNone, "nothing is lit", "nothing lit", ""},
		{checkout.SeesNone, "it is dark", "dark", ""},
		{checkout.SeesMixed, "something else: mixed, or comes and goes", "something else", "not listed"},
		{checkout.SeesElse, "something else", "something else", "not listed"},
		{checkout.SeesComesAll, "yes, all of it", "yes, all of it", ""},
		{checkout.SeesTail, "a text that has none of the words", "a text that has none of the words", ""},
	} {
		a := checkout.Answer{Sees: row.sees, Text: row.text}
		assert.Equal(t, row.far, farText(a))
		assert.Equal(t, row.brief, briefText(a), "of %q", a.Text)
	}
	for text, far := range farTests {
		assert.True(t, shortened(far, text), "%q for %q", far, text)
	}
	for _, spare := range []string{"pennant", "porthole"} { // those of a whole check-out
		p, path := onDisk(t, spare)
		e := begin(t, Options{}, p, path, faultOf(t, p, "count run 2 by -2"))
		e.press("1")
		for e.m.st.more {
			for _, a := range e.m.st.probe.Answers {
				assert.True(t, shortened(farText(a), a.Text), "%q for %q", farText(a), a.Text)
			}
			e.press("0")
		}
		assert.Greater(t, len(e.m.st.asked), 3)
	}
	assert.False(t, shortened("as sent", "all lit, all blue"))
	assert.False(t, shortened("blue all", "all lit, all blue"), "in their order")
}
