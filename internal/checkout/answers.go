package checkout

import (
	"cmp"
	"math"
	"slices"
)

// How people err: one answer in fifty, of those who look (common practice). A
// wrong answer is taken to be any of the others. TestWrongAnswers has people
// who err in one of twenty.
const (
	errRate = 0.02
	maxKeys = 6 // answers on keys 1 to 6; 0 is "not sure"
)

// fixed are the answers of kinds that always offer the same.
var fixed = map[Kind][]Token{
	AskEven:   {SeesAll, SeesOther, SeesTail, SeesFew, SeesNone, SeesMixed},
	AskSteady: {SeesSteady, SeesComes, SeesComesAll, SeesElse},
	AskFade:   {SeesAlike, SeesFades, SeesElse},
}

// offer chooses the answers of a probe from what the open hypotheses would
// show: the most likely ones, in an order that reads well, and "something
// else" behind them.
func offer(s *Spec, seen []Token, share []float64) []Token {
	if f := fixed[s.Kind]; f != nil {
		return f
	}
	by := map[Token]float64{}
	for i, t := range seen {
		if t < SeesElse || t >= seesRun {
			by[t] += share[i]
		}
	}
	tokens := make([]Token, 0, len(by))
	for t := range by {
		tokens = append(tokens, t)
	}
	slices.SortFunc(tokens, func(a, b Token) int {
		return cmp.Or(cmp.Compare(by[b], by[a]), cmp.Compare(a, b))
	})
	if len(tokens) > maxKeys-1 {
		tokens = tokens[:maxKeys-1]
	}
	slices.SortFunc(tokens, func(a, b Token) int { return cmp.Compare(s.rank(a), s.rank(b)) })
	return append(tokens, SeesElse)
}

// rank puts colours in the order they are painted in, the rest after them.
func (s *Spec) rank(t Token) int {
	for i, st := range s.Paint {
		if t < 8 && Token(st.Colour.name()) == t {
			return i
		}
	}
	return 1<<20 + int(t)
}

// place is where a token stands among the answers: itself, or "something
// else"; -1 when neither is offered, which leaves "not sure".
func place(answers []Token, t Token) int {
	if i := slices.Index(answers, t); i >= 0 {
		return i
	}
	if t >= seesAnything && t < seesRun {
		return -1
	}
	return slices.Index(answers, SeesElse)
}

// likelihood is the logarithm of the chance of an answer when another or the
// same was due, apart from the chance of "not sure", which is the same for all.
func likelihood(due, given, n int) float64 {
	switch {
	case due < 0:
		return -math.Log(float64(n))
	case due == given:
		return math.Log(1 - errRate)
	}
	return math.Log(errRate / float64(n-1))
}

// gain is the information, in bits, that a probe's answer is expected to give
// when its answers are due with these shares.
func gain(due []float64, n int) float64 {
	e := errRate / float64(n-1)
	h := 0.0
	for _, p := range due {
		if q := p*(1-errRate) + (1-p)*e; q > 0 {
			h -= q * math.Log2(q)
		}
	}
	noise := -(1-errRate)*math.Log2(1-errRate) - errRate*math.Log2(e)
	return max(0, h-noise)
}
