package checkout

import (
	"fmt"
	"strconv"
	"strings"
)

// A Kind is a kind of question. Each is defined in terms of the light alone, so
// that a script with its own model of a strip can answer it; see reading.go.
type Kind string

// The kinds of questions. "Along the data" means run by run in the order of the
// plan, each run from the end where the plan says data enters. A stretch is a
// row of neighbouring pixels with one colour name.
//
// Each has a row in questions.go.
const (
	AskEven     Kind = "even"       // one colour is sent to all: how does the whole look?
	AskLastLit  Kind = "last-lit"   // the colour of the last lit pixel along the data
	AskBefore   Kind = "before-odd" // along the data to the first stretch that is not as in the picture: the colour before it
	AskOdd      Kind = "odd-colour" // the same: the colour of that stretch itself
	AskMark     Kind = "last-mark"  // the same: the colour of the last mark passed on the way
	AskPlace    Kind = "place"      // the colour of one pixel that is easy to find
	AskRuns     Kind = "first-run"  // the first run that does not look as in the picture
	AskSequence Kind = "sequence"   // the colours met along the data
	AskSteady   Kind = "steady"     // does any pixel flicker while the prop is bent?
	AskStaysLit Kind = "stays-lit"  // the colour of the last pixel that stays lit before the flickering ones
	AskFade     Kind = "fade"       // is the far end dimmer or redder than the near end?
	AskConfirm  Kind = "confirm"    // the first run that does not look as it would with the likeliest fault
)

// A Token is what a person says they see, in one word a machine can compare.
// Colour names come first.
type Token uint16

// The tokens that are no colour.
const (
	SeesAll      Token = 16 + iota // every pixel lit, in the colour sent
	SeesOther                      // every pixel lit, in one other colour
	SeesTail                       // dark from some place to the far end
	SeesFew                        // all but one to three pixels look alike
	SeesNone                       // nothing is lit
	SeesMixed                      // anything else
	SeesAsDrawn                    // the same as the picture
	SeesFirst                      // the very first pixel is already odd
	SeesMissing                    // the picture ends early
	SeesSteady                     // no pixel flickers
	SeesComesAll                   // all pixels flicker
	SeesComes                      // some pixels flicker
	SeesAlike                      // both ends look alike
	SeesSparkles                   // pixels flash in other colours
	SeesFades                      // the far end is dimmer or redder
	SeesElse                       // none of the answers offered
	seesAnything                   // no prediction: an unknown fault may change the answer
	seesNotAll                     // any answer but SeesAll
	seesPerhaps                    // SeesAll, or SeesMixed when the flicker is noticed
	seesFading                     // most people answer SeesFades
	seesFaintly                    // about half of the people answer SeesFades
	seesRun      Token = 64        // plus the run
	seesSequence Token = 1024      // plus three names, their count and sequenceMore
	sequenceMore Token = 512       // a sequence has more than three stretches
	roughly      Token = 1 << 14   // plus the likeliest token; the others are possible too
)

var tokenWords = map[Token]string{
	SeesAll: "all", SeesOther: "other", SeesTail: "tail", SeesFew: "few", SeesNone: "none", SeesMixed: "mixed",
	SeesAsDrawn: "as-drawn", SeesFirst: "first", SeesMissing: "missing", SeesSteady: "steady",
	SeesComesAll: "comes-all", SeesComes: "comes", SeesAlike: "alike", SeesFades: "fades", SeesSparkles: "sparkles", SeesElse: "else",
}

// Colour reports whether the token is the name of a colour, dark among them.
func (t Token) Colour() bool { return int(t) < len(nameWords) }

// definite reports whether the token is one answer, and stands for no others.
func (t Token) definite() bool { return t < seesAnything || t >= seesRun && t < roughly }

// Letter is the key of a colour, the same in every question; empty for what is
// no colour.
func (t Token) Letter() string {
	if !t.Colour() {
		return ""
	}
	return nameWords[t][:1]
}

// String is the token as the JSON lines write it: a colour name, a word, a run
// from 1 as "run-2", or a sequence as "red,green,blue" with ",more" added when
// more than three stretches are seen.
func (t Token) String() string {
	switch {
	case t < 8:
		return Name(t).String()
	case t >= seesSequence:
		names := t.sequence()
		s := make([]string, len(names))
		for i, n := range names {
			s[i] = n.String()
		}
		if t&sequenceMore != 0 {
			s = append(s, "more")
		}
		return strings.Join(s, ",")
	case t >= seesRun:
		return fmt.Sprintf("run-%d", t-seesRun+1)
	}
	return tokenWords[t]
}

// ParseToken reads what String writes.
func ParseToken(s string) (Token, error) {
	for i, w := range nameWords {
		if s == w {
			return Token(i), nil
		}
	}
	for t, w := range tokenWords {
		if s == w {
			return t, nil
		}
	}
	if n, ok := strings.CutPrefix(s, "run-"); ok {
		if r, err := strconv.Atoi(n); err == nil && r >= 1 && r <= int(seesSequence-seesRun) {
			return seesRun + Token(r-1), nil
		}
	}
	return parseSequence(s)
}

// sequenceToken packs up to three names, 3 bits each from bit 0, the flag
// sequenceMore in bit 9, and the number of names in bits 12 and 13: without the
// number a missing name would read as dark (0).
func sequenceToken(names []Name, more bool) Token {
	t := seesSequence | Token(len(names))<<12
	for i, n := range names {
		t |= Token(n) << (3 * i)
	}
	if more {
		t |= sequenceMore
	}
	return t
}

func (t Token) sequence() []Name {
	out := make([]Name, t>>12&3)
	for i := range out {
		out[i] = Name(t >> (3 * i) & 7)
	}
	return out
}

func parseSequence(s string) (Token, error) {
	var names []Name
	rest, more := strings.CutSuffix(s, ",more")
	for w := range strings.SplitSeq(rest, ",") {
		n := Hue(w).name()
		if n == Dark && w != "dark" || len(names) == 3 {
			return 0, fmt.Errorf("%q is nothing a person can see here", s)
		}
		names = append(names, n)
	}
	return sequenceToken(names, more), nil
}
