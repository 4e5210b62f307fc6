package checkout

import "fmt"

// A Confidence is how certain a finding is, in words. Screens, lines, the record
// and the sheet use these words only.
type Confidence string

// The degrees of confidence. At least 99.5 % of findings called certain are right,
// 95 % of very likely and 80 % of likely; testdata/checkout-proofs.md has the
// measured figures.
const (
	Certain    Confidence = "certain"
	VeryLikely Confidence = "very likely"
	Likely     Confidence = "likely"
	Possible   Confidence = "possible"
	Unsettled  Confidence = "not settled" // part of the prop was not seen; has no percentage
)

// The least posterior of each degree.
const (
	certainAt    = 0.9995
	veryLikelyAt = 0.95
	likelyAt     = 0.80
)

// Firm reports whether a finding is certain enough to sign off or mend a prop:
// certain or very likely.
func (s Confidence) Firm() bool { return s == Certain || s == VeryLikely }

// Certainty turns the posterior of a finding, 0 to 1, into a word and a whole
// percentage from 1 to 99, rounded down: a few looks never prove anything. A
// finding that an answer contradicts is Likely at most.
func Certainty(posterior float64, contradicted bool) (Confidence, int) {
	percent := Percent(posterior)
	switch {
	case contradicted && posterior >= likelyAt:
		return Likely, min(percent, int(veryLikelyAt*100)-1)
	case posterior >= certainAt:
		return Certain, percent
	case posterior >= veryLikelyAt:
		return VeryLikely, percent
	case posterior >= likelyAt:
		return Likely, percent
	}
	return Possible, percent
}

// Percent is a posterior, 0 to 1, as it is written: a whole number, rounded down, 1 to 99.
func Percent(posterior float64) int { return min(99, max(1, int(posterior*100))) }

// Chance is the sureness and the percentage of a finding: "very likely, 97 %". What is
// certain has no number: 99 % would leave room for something else.
func (f Finding) Chance() string {
	if f.Sure == Unsettled || f.Sure == Certain {
		return string(f.Sure)
	}
	return fmt.Sprintf("%s, %d %%", f.Sure, f.Percent)
}

// Certainty is the chance of a finding for lines and the record. Where several causes look
// alike it is that of all of them together: light does not say which.
func (f Finding) Certainty() string {
	if n := len(f.Causes); n > 1 {
		return fmt.Sprintf("one of %d causes that look alike: %s", n, f.Chance())
	}
	return f.Chance()
}
