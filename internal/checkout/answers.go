package checkout

import (
	"cmp"
	"math"
	"slices"

	"example.org/ringout/internal/sorting"
)

// errRate is the share of wrong answers, one in fifty (common practice). A
// wrong answer is assumed to be any of the others with equal probability.
// TestWrongAnswers tries one in twenty.
const errRate = 0.02

// mostOthers is how many answers are offered at most beside "something else",
// every colour of the picture aside.
const mostOthers = 5

// colourOrder is the order in which colours are offered, the same always.
var colourOrder = []Token{Token(Red), Token(Green), Token(Blue), Token(Yellow), Token(Magenta), Token(Cyan), Token(White), Token(Dark)}

// offer chooses the answers of a probe: every colour of the picture and every
// other that an open hypothesis would show, in one order; then the most likely
// of what is no colour, and "something else" last.
func offer(s *Spec, seen []Token, share []float64) []Token {
	if f := questions[s.Kind].answers; f != nil {
		return f
	}
	by, tokens := byToken(seen, share), []Token{}
	for _, t := range colourOrder {
		if questions[s.Kind].colours && (by[t] > 0 || t != Token(Dark) && s.Paint.has(Name(t))) {
			tokens = append(tokens, t)
		}
		delete(by, t)
	}
	others := sorted(by)
	slices.Sort(others)
	return append(append(tokens, others...), SeesElse)
}

// likeliest are the answers that are most likely, and "something else".
func likeliest(s *Spec, seen []Token, share []float64) []Token {
	if f := questions[s.Kind].answers; f != nil {
		return f
	}
	return append(sorted(byToken(seen, share)), SeesElse)
}

// byToken is the share of each token that can be offered.
func byToken(seen []Token, share []float64) map[Token]float64 {
	by := map[Token]float64{}
	for i, t := range seen {
		if t < SeesElse || t >= seesRun {
			by[t] += share[i]
		}
	}
	return by
}

// sorted are the likeliest few tokens, likeliest first.
func sorted(by map[Token]float64) []Token {
	var tokens []Token
	for t := range by {
		tokens = append(tokens, t)
	}
	sorting.By(tokens, func(a, b Token) int {
		return cmp.Or(cmp.Compare(by[b], by[a]), cmp.Compare(a, b))
	})
	return tokens[:min(len(tokens), mostOthers)]
}

// place is the index of a token among the answers, or that of "something else";
// -1 when neither is offered, so only "not sure" is left.
func place(answers []Token, t Token) int {
	if i := slices.Index(answers, t); i >= 0 {
		return i
	}
	if t >= seesAnything && t < seesRun {
		return -1
	}
	return slices.Index(answers, SeesElse)
}

// likelihood is the log likelihood of an answer when the same or another was
// due, without that of "not sure", which is the same for all.
func likelihood(due, given, n int) float64 {
	switch {
	case due < 0:
		return -math.Log(float64(n))
	case due == given:
		return math.Log(1 - errRate)
	}
	return math.Log(errRate / float64(n-1))
}

// gain is the expected information of a probe's answer, in bits, when its
// answers are due with these probabilities.
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
