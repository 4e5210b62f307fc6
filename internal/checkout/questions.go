package checkout

import (
	"fmt"
	"slices"
)

// A question is one kind of question: all facts about it for the engine, the
// screens and the lines.
type question struct {
	kind    Kind
	large   []string // short forms in ever fewer words, drawn large; for onePixel only where the pixel is not the last or one from the start
	seconds float64  // for a person to look and answer (common practice: a glance at one colour is quick, walking along a strip is not)
	read    reading
	answers []Token // always offered; nil when they depend on the open hypotheses, see offeredAnswers
	ask     func(f *field, s *Spec) string
	hint    func(f *field, s *Spec) string
	meaning string // definition of the answers, as in internal/cli/pages/json-lines.md

	onePixel      bool                                                     // asks for one pixel: Spec.Run and Spec.Pixel
	toAll         bool                                                     // one colour, Spec.Base, is sent to every pixel
	bothEnds      bool                                                     // compares the brightness of both ends, at a higher level than other questions
	before        bool                                                     // the answer is the colour of the stretch just before the first odd place
	colours       bool                                                     // asks for a colour of the picture
	moves         bool                                                     // asks for flicker or brightness, which a still picture does not show
	direct        bool                                                     // yes means that there is a fault
	inRanges      bool                                                     // depends on the first odd place only, see family.inRanges
	beforeUnknown func(f *field, h *hypothesis, s *Spec, seen Token) Token // the answer when an unknown fault follows the one of h; nil when it cannot be predicted
	unknownOdds   func(given Token, offered int) float64                   // likelihood of an answer when the fault is not in the list (assumed); nil when all are equally likely
	repaints      bool                                                     // the picture to compare with is the light of the likeliest hypothesis
	texts         map[Token]string                                         // answer texts of its own, instead of answerTexts
	sparkles      bool                                                     // SeesSparkles is among its answers
}

// questions has a row for every kind of question. Readings see the light only,
// never the faults. It is set in init because functions of the rows look up
// questions.
//
// To add one:
//
//  1. name it in ask.go;
//  2. give it a row here, with more than 2 seconds, and its reading in reading.go.
//     Tokens that depend on the prop (runs, colours): leave answers nil, and the engine
//     offers those that open faults lead to and "something else". toAll only where an answer can say that
//     nothing lights; texts where a token means something else than in other rows;
//     for beforeUnknown, what follows h.place() on the way of the data is after it;
//  3. let a proposer add it (propose.go: opening for a picture that does not depend
//     on what is open, bands for places; spots.go; confirm.go). It is asked only
//     where it tells more a second than the others do. TestEachQuestionIsAsked
//     (asked_test.go) tries faults of every kind on the Porthole: where none of them
//     has it asked, give a fault that does, on a larger prop. With RINGOUT_LONG=1
//     TestManyGames of internal/testkit/outsider (five minutes) wants every kind
//     asked too;
//  4. write its meaning into internal/cli/pages/json-lines.md, word for word, its
//     answers into answerKinds (conformance_test.go), and at least four lights, one
//     for each token there, into testdata/conformance/rows.jsonl (README.md beside
//     it has the format);
//  5. teach it to those who answer by that page alone: See in checkouttest/eyes.go
//     and Answer in outsider/answer.go (both in internal/testkit);
//  6. put in the results and looks of check-outs as they are now: RINGOUT_FIGURES=write go
//     test -timeout 30m ./internal/checkout, and .ci/goldens ./tui ./tui/check
//     (two minutes each when nothing else runs; goldens may stay as they are). Look at
//     the differences: a question that tells nothing new makes check-outs longer.
//     TestEveryFaultOfSmallProps bounds the mean number of answers, and more
//     findings for as many check-outs mean that less is distinguished.
//
// Where one of 1 to 5 is missing a test fails in seconds: go test
// ./internal/checkout ./internal/testkit/outsider -run
// 'Conformance|QuestionRows|EachQuestion'.
var questions map[Kind]*question

func init() {
	questions = map[Kind]*question{}
	for _, q := range slices.Concat(wholeQuestions, dataQuestions) {
		q.sparkles = slices.Contains(q.answers, SeesSparkles)
		questions[q.kind] = q
	}
}

// row is the question's row, or an empty one for a kind that does not exist.
func (s *Spec) row() *question {
	if q := questions[s.Kind]; q != nil {
		return q
	}
	return &question{}
}

// Bright reports whether the question needs a higher level than others;
// Probe.Level holds it.
func (s Spec) Bright() bool { return s.row().bothEnds }

// Large is short forms of the question in ever fewer words, to be drawn large: the first
// that has room is taken. Where one colour is sent to all, its name is in them. None
// begins with a number: it would be taken for a key.
func (s Spec) Large() []string {
	switch q := s.row(); {
	case q.toAll && s.Base != "":
		return []string{fmt.Sprintf("All %s?", s.Base), fmt.Sprintf("%s?", s.Base)}
	case q.onePixel && s.Pixel == -1:
		return []string{"Last pixel: colour?", "Last: colour?", "Last one?"}
	case q.onePixel && s.Pixel >= 0:
		n := s.Pixel + 1
		return []string{fmt.Sprintf("Colour of pixel %d?", n), fmt.Sprintf("Pixel %d: colour?", n), fmt.Sprintf("Pixel %d?", n)}
	default:
		return q.large
	}
}

// wholeQuestions are about the prop as a whole.
var wholeQuestions = []*question{
	{
		kind: AskEven, toAll: true, large: []string{"What do you see?"}, seconds: 4, read: readEven,
		answers: []Token{SeesAll, SeesOther, SeesTail, SeesFew, SeesNone, SeesSparkles, SeesMixed},
		ask: func(f *field, s *Spec) string {
			if f.dark != nil {
				return fmt.Sprintf("Every pixel is sent %s, but for empty parts. What do you see?", s.Base)
			}
			if f.pixels == 1 {
				return fmt.Sprintf("The one pixel is sent %s. What do you see?", s.Base)
			}
			return fmt.Sprintf("Every pixel is sent %s. What do you see?", s.Base)
		},
		hint:     always("colour counts, not brightness"),
		meaning:  "`none`: nothing is lit. Else `sparkles` if a pixel takes another colour at times, without going dark. Else `mixed` if any of it comes and goes. Else, with the lit colour that most pixels have as the main one: `tail` if the far end is dark and at most 3 pixels before it are not in the main colour; `all` if every pixel has it and it is the colour sent; `other` if every pixel has it and it is not; `few` if all but 1 to 3 have it; `mixed` otherwise",
		inRanges: true,
		beforeUnknown: func(_ *field, _ *hypothesis, _ *Spec, seen Token) Token {
			if seen != SeesAll {
				return seesNotAll
			}
			return seesAnything
		},
		unknownOdds: func(given Token, _ int) float64 {
			if given == SeesAll {
				return 0.4 // many faults do not show in every colour
			}
			return 0.12
		},
	},
	{
		kind: AskRuns, large: []string{"First wrong run?", "Which run?", "Which?"}, seconds: 7, read: readRuns,
		ask:           always("Compare with the picture. Which is the first run that looks different?"),
		hint:          runsHint,
		meaning:       "the first run, as `run-1`, whose own stretches are not the picture's: other names or another number of them; a stretch drawn as 1 or 2 pixels that has another count; a longer one that is off by more than 3 pixels and a quarter of the drawn count, rounded down (8 drawn: 3 to 13 pass). `as-drawn` if every run agrees",
		beforeUnknown: sureWhenOdd,
	},
	{
		kind: AskConfirm, large: []string{"Does it match?", "Matches?"}, seconds: 7, read: readRuns, repaints: true,
		ask:     always("The picture now has the likeliest fault in it. Which is the first run that looks different?"),
		hint:    always("compare colours and gaps run by run; how bright they are does not matter"),
		meaning: "as `first-run`, but the picture is `probe.expected`: for every run the stretches to compare with. `as-drawn` if none differs",
		unknownOdds: func(given Token, _ int) float64 {
			if given == SeesAsDrawn {
				return 0.1
			}
			return 0.3
		},
	},
	{
		kind: AskSteady, moves: true, large: []string{"Bend it: steady?", "Bend: steady?", "Steady?"}, seconds: 5, read: readSteady,
		answers: []Token{SeesSteady, SeesComes, SeesComesAll, SeesSparkles, SeesElse},
		ask:     always("Bend every joint and lead a little and watch. Does any of the light come and go?"),
		hint:    always("watch for some seconds; a short dark moment counts"),
		meaning: "watch for two seconds, while someone bends every joint and lead a little: `steady`; `sparkles` if a pixel takes another colour at times, without going dark; `comes-all` if all of it goes out at times; `comes` if a part does",
		direct:  true,
		unknownOdds: func(given Token, _ int) float64 {
			if given == SeesSteady {
				return 0.9
			}
			return 0.03
		},
	},
	{
		kind: AskFade, moves: true, bothEnds: true, large: []string{"Far end dimmer?", "End dimmer?", "Dimmer?"}, seconds: 4, read: readFade,
		answers: []Token{SeesAlike, SeesFades, SeesElse},
		ask:     always("Compare the first pixel with the very last one. Is the last one dimmer, yellower or redder?"),
		hint:    always("do not stare into the light: look from the side or at a wall"),
		meaning: "the first pixel of the first run against the last of the last: `fades` if the last is lit but has another name or less than six tenths of the brightness (strongest of red, green, blue, plus the whites); `alike`; `else` if either is dark",
		direct:  true,
		unknownOdds: func(given Token, _ int) float64 {
			return map[Token]float64{SeesAlike: 0.8, SeesFades: 0.02, SeesElse: 0.18}[given]
		},
	},
}

// dataQuestions are about one place, or about the pixels in data order.
var dataQuestions = []*question{
	{
		kind: AskLastLit, colours: true, before: true, large: []string{"Last lit: colour?", "Last colour?", "Last lit?"}, seconds: 5, read: readLastLit, hint: along,
		ask:     always("Follow the data from its start. Which colour is the last pixel that is lit?"),
		meaning: "the name of the last lit pixel along the data; `none`",
	},
	{
		kind: AskBefore, colours: true, before: true, large: []string{"Last good colour?", "Last good?", "Last ok?"}, seconds: 8, hint: along, inRanges: true, beforeUnknown: sureWhenOdd,
		read:    func(_ *Spec, see *sight) Token { b, _ := firstOdd(see); return b },
		ask:     always("Follow the data to the first place that is not as in the picture. Which colour is just before it?"),
		meaning: "walk along the data and the picture stretch by stretch, whatever their lengths, to the first stretch that is not the picture's: the name of the stretch before it, `first` if there is none; `as-drawn` if all agree",
	},
	{
		kind: AskOdd, colours: true, large: []string{"First wrong colour?", "First wrong?", "Wrong?"}, seconds: 8, hint: along, inRanges: true, beforeUnknown: sureWhenOdd,
		read:    func(_ *Spec, see *sight) Token { _, o := firstOdd(see); return o },
		ask:     always("Follow the data to the first place that is not as in the picture. Which colour do you see there?"),
		meaning: "the same walk: the name of that stretch itself, `missing` if the light ends first",
	},
	{
		kind: AskMark, colours: true, large: []string{"Last good mark?", "Last mark?", "Mark?"}, seconds: 8, read: readMark, hint: along, inRanges: true, beforeUnknown: sureWhenOdd,
		ask: func(_ *field, s *Spec) string {
			return fmt.Sprintf("Marks on %s. Follow the data to the first place that differs. Which mark did you pass last?", s.Base)
		},
		texts:   map[Token]string{SeesFirst: "none: it comes before the first mark"},
		meaning: "the same walk: the last name passed that is not the base's, `first` if there is none",
	},
	{
		kind: AskPlace, onePixel: true, colours: true, large: []string{"What do you see?"}, seconds: 5,
		read: func(s *Spec, see *sight) Token { return Token(nameAt(see.light.Runs[s.Run], s.Pixel)) },
		ask:  func(f *field, s *Spec) string { return fmt.Sprintf("Which colour is %s?", f.spotText(s.Run, s.Pixel)) },
		hint: func(f *field, s *Spec) string {
			if s.Pixel < 0 {
				return f.runText(s.Run) + ": the far end is the one the data should leave by"
			}
			return f.runText(s.Run) + ": counted from the end where data should enter"
		},
		meaning: "the name of that pixel of that run, counted from the end where the plan says data enters; `dark` if it is not there",
		beforeUnknown: func(f *field, h *hypothesis, s *Spec, seen Token) Token {
			if s.Pixel >= 0 && f.firsts[s.Run]+s.Pixel < h.place() {
				return seen
			}
			return seesAnything
		},
	},
	{
		kind: AskSequence, large: []string{"Which colours?", "Colours?"}, seconds: 7, read: readSequence, hint: along,
		ask:     always("Follow the data from its start. Which colours do you meet, in which order?"),
		meaning: "the first three names along the data with commas between, and `,more` after them if there are more: `red,green,blue,more`",
	},
	{
		kind: AskStaysLit, moves: true, colours: true, before: true, large: []string{"Bend: dark after?", "Dark after?", "Dark?"}, seconds: 5, read: readStaysLit, hint: along,
		ask:     always("Bend every joint and lead. If a part goes dark, which colour is the last pixel that stays lit?"),
		meaning: "as it is bent: the name of the last pixel that stays lit when a part goes out; `steady`; `none`. The moment with the fewest lit pixels counts",
	},
}

// along is the hint of questions that are answered in data order.
func along(f *field, _ *Spec) string {
	return "the data starts at " + f.runText(0) + " and follows the arrows"
}

// runsHint says what a run of the wiring picture looks like; one of fewer than four pixels has its halves only.
func runsHint(f *field, s *Spec) string {
	for r := range f.sizes {
		if first, last, ok := f.ends(r); ok && last-first >= 3 && len(s.Paint) > 0 {
			return fmt.Sprintf("every run begins %s and ends white; each half has its own colour", s.Paint.around(first)[1])
		}
	}
	return "each half of a run has its own colour"
}

// always is a question or hint with the same text for every prop.
func always(text string) func(*field, *Spec) string {
	return func(*field, *Spec) string { return text }
}

// sureWhenOdd predicts the answer seen if it names the first odd place: a fault
// after that place does not change it.
func sureWhenOdd(_ *field, _ *hypothesis, _ *Spec, seen Token) Token {
	if seen != SeesAsDrawn {
		return seen
	}
	return seesAnything
}
