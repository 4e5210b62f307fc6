package check

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/bulb"
	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/underway"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// Large texts come as lists, each text shorter than the one before: the page takes the
// first that fits.

// verdict is the result of a check-out in large texts.
func (s state) verdict(p *prop.Prop) []string {
	f := s.findings
	switch {
	case s.absent != "":
		return []string{"No prop there", "Not there"}
	case len(f) > 0 && f[0].Unknown != nil:
		return []string{"No known fault fits", "Nothing known fits"}
	case s.proof != nil && len(s.proof.Left()) > 0:
		return nextTest(s.proof.Left()[0])
	case s.withheld() != "":
		return []string{"Not signed off: look again", "Not signed off"}
	case len(f) == 0 || !f[0].Sure.Firm():
		return notSettled(len(s.suspects))
	case f[0].Good:
		return s.soundWords()
	case len(f[0].Causes) == 0 || len(f[0].Causes[0].Faults) == 0:
		return []string{"Another source lights it", "Another source"} // Network.causes has no other
	}
	faults := likeliestLook(f[0].Causes)
	if len(faults) > 1 {
		return []string{fmt.Sprintf("%d faults", len(faults))}
	}
	return faultWords(p, faults[0])
}

// nextTest names the test that is left to do.
func nextTest(k single.Kind) []string { return []string{"Next: " + k.Title(), k.Title()} }

// soundWords are the verdict of a prop without a fault that light shows. They do not say to
// close it up while the load test may still find a fault, nor of one part of a prop.
func (s state) soundWords() []string {
	switch {
	case s.Part.Way != underway.Whole:
		return []string{"This part lights right", "Part lights right", "Lights right"}
	case s.untried() != "" && len(s.Mended) > 0:
		return []string{"Mended: load test next", "Load test next"}
	case s.untried() != "":
		return []string{"Lights right: load test next", "Load test next"}
	case len(s.Mended) > 0:
		return []string{"Mended: close it up", "Close it up"}
	}
	return []string{"Close it up"}
}

// withheld says which required look keeps a prop that seems sound from being signed off; empty
// for none.
func (s state) withheld() string {
	if len(s.findings) == 0 {
		return ""
	}
	look, _ := s.findings[0].Withheld()
	return look
}

// untried is what no look at a sound prop has tried; empty where the load test did.
func (s state) untried() string {
	if s.measured || len(s.findings) == 0 {
		return ""
	}
	_, left := s.findings[0].Withheld()
	return left
}

// measurable reports whether the load test is what is left to do with a sound prop.
func (s state) measurable() bool {
	return s.absent == "" && len(s.findings) > 0 && s.findings[0].Good && s.findings[0].Sure.Firm() && s.Part.Way == underway.Whole && s.untried() != ""
}

// wrong reports whether the verdict says that something is.
func (s state) wrong() bool {
	f := s.findings
	switch {
	case s.absent != "", len(f) > 0 && f[0].Unknown != nil:
		return true
	case s.proof != nil && len(s.proof.Left()) > 0, len(f) == 0:
		return false
	}
	return f[0].Sure.Firm() && !f[0].Good
}

// right reports whether the verdict says that the whole prop lights right.
func (s state) right() bool {
	f := s.findings
	if s.absent != "" || len(f) == 0 || s.Part.Way != underway.Whole || s.proof != nil && len(s.proof.Left()) > 0 {
		return false
	}
	return f[0].Good && f[0].Sure.Firm() && f[0].Unknown == nil && s.withheld() == ""
}

// notSettled says how many explanations are left, where that is known.
func notSettled(left int) []string {
	if left < 2 {
		return []string{"Not settled"}
	}
	return []string{fmt.Sprintf("Not settled: %d left", left), "Not settled"}
}

// likeliestLook are the faults of the likeliest cause or, of several with the same light,
// of the first whose text names a pixel.
func likeliestLook(causes []checkout.Cause) []strip.Fault {
	for _, c := range causes {
		if len(c.Faults) != 1 || len(causes) == 1 {
			continue
		}
		if scope := strip.FactsOf(c.Faults[0].Kind).Scope; scope == strip.AtPixel || scope == strip.FromPixel {
			return c.Faults
		}
	}
	return causes[0].Faults
}

// faultWords are the large texts of a fault.
func faultWords(p *prop.Prop, f strip.Fault) []string {
	var out []string
	for _, t := range f.Large(p) {
		out = append(out, style.Clean(t))
	}
	return out
}

// airyFrom is the least height of pages with empty rows around the large words.
const airyFrom = 30

// largeRows is the number of rows of large words that leaves enough of spare rows to the
// drawings.
func largeRows(height, spare int) int {
	const drawings, blank = 9, 2 // with fewer rows they say too little
	room := min(spare-drawings-blank, digits.HeadRows(height))
	return max(0, room/digits.Rows) * digits.Rows
}

// FarView is the content of the page for reading from afar.
func (m Model) FarView() screen.FarView { return m.page.farView(m) }

func (questionPage) farView(m Model) screen.FarView { return questionQuery(m).farView() }

func (findingPage) farView(m Model) screen.FarView {
	return screen.FarView{Texts: m.st.verdict(m.of.sub), Bad: m.st.wrong(), Good: m.st.right() && m.st.untried() == ""}
}

func (p resultPage) farView(m Model) screen.FarView {
	if !p.known {
		return query{}.farView()
	}
	return screen.FarView{Texts: append(p.large(m), "See the page"), Bad: p.wrong(), Good: p.right()}
}

// farView is the question with its answers.
func (q query) farView() screen.FarView {
	if len(q.large) == 0 {
		return screen.FarView{Texts: []string{"Working it out", "Wait"}}
	}
	out := screen.FarView{Texts: q.large, Answers: farAnswers(q.items)}
	brief, any := slices.Clone(q.items), false
	for i, it := range brief {
		if it.brief != "" {
			brief[i].far, any = it.brief, true
		}
	}
	if any {
		out.Brief = farAnswers(brief)
	}
	return out
}

// farWords are short forms of answers, to be drawn large: the same words, with some left
// out. Some have a second form for a bulb.
var farWords = map[checkout.Token][]string{
	checkout.SeesOther:    {"all in another colour", "in another colour"},
	checkout.SeesTail:     {"dark from some pixel on", "part stays dark"},
	checkout.SeesFew:      {"one to three differ", "part another colour"},
	checkout.SeesNone:     {"nothing lit", "dark"},
	checkout.SeesSparkles: {"it flashes"},
	checkout.SeesAsDrawn:  {"everything matches"},
	checkout.SeesFirst:    {"very first pixel"},
	checkout.SeesMissing:  {"light ends early"},
	checkout.SeesSteady:   {"no, steady"},
	checkout.SeesComes:    {"yes, a part"},
	checkout.SeesComesAll: {"yes, all of it"},
	checkout.SeesAlike:    {"no, alike"},
	checkout.SeesFades:    {"yes, dimmer"},
}

// farTests are such forms of the answers of single tests.
var farTests = map[string]string{
	string(joints.FromHere): "flickers after the joint",
	string(joints.AllOfIt):  "all flickers",
	string(bulb.Warm):       "white or warm",
}

// briefWords are forms of farWords and of the answers of single tests for a small window, in two words or so
// that say what is seen: one word alone is a riddle, unless it says what others do not.
var briefWords = map[string]string{
	"all in another colour":   "other colour",
	"dark from some pixel on": "end is dark",
	"one to three differ":     "a few differ",
	"it flashes":              "flashes",
	"something else":          "not listed",
	"everything matches":      "all matches",
	"not all are one colour":  "mixed",
	"white or warm":           "white",
	"several of them":         "several",
}

// briefText is that form of an answer; empty for none.
func briefText(a checkout.Answer) string { return briefWords[farText(a)] }

// briefOf is that form of an answer of a single test; empty for none.
func briefOf(text string) string {
	return briefWords[cmp.Or(farTests[text], beforePause(text))]
}

// farText is a short form of an answer, in words of the page.
func farText(a checkout.Answer) string {
	for _, text := range farWords[a.Sees] {
		if shortened(text, a.Text) {
			return text
		}
	}
	if _, colour, ok := strings.Cut(a.Text, ", "); ok && a.Sees == checkout.SeesAll { // the colour that is sent
		return colour
	}
	return beforePause(a.Text)
}

// shortened reports whether text is of with words left out.
func shortened(text, of string) bool {
	words := strings.Fields(of)
	for _, w := range strings.Fields(text) {
		i := slices.IndexFunc(words, func(x string) bool { return strings.Trim(x, ",:") == strings.Trim(w, ",:") })
		if i < 0 {
			return false
		}
		words = words[i+1:]
	}
	return true
}

// beforePause is a text up to its first colon or comma.
func beforePause(text string) string {
	text, _, _ = strings.Cut(text, ":")
	text, _, _ = strings.Cut(text, ",")
	return text
}

// farAnswers are answers with their keys, up to the first pause.
func farAnswers(items []item) (out []string) {
	for _, it := range items {
		text := it.far
		if text == "" {
			text = beforePause(it.text)
		}
		out = append(out, it.press()+" "+text)
	}
	return out
}

// Waiting reports whether a question waits for its answer.
func (m Model) Waiting() bool { return m.page.traits(m).asks && m.st.more && !m.work.busy }

func (p testPage) farView(m Model) screen.FarView { return p.query(m).farView() }
