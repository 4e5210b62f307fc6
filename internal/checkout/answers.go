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

// mostOthers is the largest number of answers offered that are not a colour of
// the picture, "something else" not counted.
const mostOthers = 5

// colourOrder is the order in which colours are offered, in every question.
var colourOrder = []Token{Token(Red), Token(Green), Token(Blue), Token(Yellow), Token(Magenta), Token(Cyan), Token(White), Token(Dark)}

// offeredAnswers returns the answers of a probe: the colours of the picture and
// those that an open hypothesis would show, in colourOrder; then the most likely
// other tokens; then "something else".
func offeredAnswers(s *Spec, seen []Token, share []float64) []Token {
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
	others := topTokens(by)
	slices.Sort(others)
	return append(append(tokens, others...), SeesElse)
}

// likelyAnswers returns the most likely answers, and "something else" last.
func likelyAnswers(s *Spec, seen []Token, share []float64) []Token {
	if f := questions[s.Kind].answers; f != nil {
		return f
	}
	return append(topTokens(byToken(seen, share)), SeesElse)
}

// byToken sums the posterior of each token that can be offered.
func byToken(seen []Token, share []float64) map[Token]float64 {
	by := map[Token]float64{}
	for i, t := range seen {
		if t < SeesElse || t >= seesRun {
			by[t] += share[i]
		}
	}
	return by
}

// topTokens returns at most mostOthers tokens, likeliest first.
func topTokens(by map[Token]float64) []Token {
	var tokens []Token
	for t := range by {
		tokens = append(tokens, t)
	}
	sorting.By(tokens, func(a, b Token) int {
		return cmp.Or(cmp.Compare(by[b], by[a]), cmp.Compare(a, b))
	})
	return tokens[:min(len(tokens), mostOthers)]
}

// answerIndex is the index of a token among the answers, or the index of
// "something else" when the token is not offered. It is -1 when neither is
// offered, so that only "not sure" is left.
func answerIndex(answers []Token, t Token) int {
	if i := slices.Index(answers, t); i >= 0 {
		return i
	}
	if t >= seesAnything && t < seesRun {
		return -1
	}
	return slices.Index(answers, SeesElse)
}

// likelihood is the natural logarithm of the probability that answer number
// given of n is chosen when number due is the right one; due is -1 when no
// answer is predicted. "Not sure" has no factor: it is the same for all.
func likelihood(due, given, n int) float64 {
	switch {
	case due < 0:
		return -math.Log(float64(n))
	case due == given:
		return math.Log(1 - errRate)
	}
	return math.Log(errRate / float64(n-1))
}

// information is the mutual information, in bits, between the right answer and
// the one given. due holds the probability of each of n answers being right;
// the builder errs at errRate.
func information(due []float64, n int) float64 {
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
