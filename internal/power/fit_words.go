package power

import (
	"fmt"
	"strings"

	"example.org/ringout/internal/words"
)

// mostNothing is the largest posterior of "nothing wrong" at which a fault is
// reported. It is small so that a good prop very rarely gets one.
const mostNothing = 0.1

// poorRatio is the ratio of residual to scatter above which readings count as
// unexplained: with six degrees of freedom in the scatter, chance exceeds it in
// about two of a thousand tests (found in simulation).
const poorRatio = 3.1

// sureWeight is the posterior from which a single place is named: at most one in
// twenty is wrong.
const sureWeight = 0.95

// poor reports whether no case explains the readings: the residual is more than
// a good meter's noise, and much more than the scatter of the readings.
func (r *FitResult) poor() bool { return r.Left > poorFit && r.Left > poorRatio*r.ownNoise }

// setVerdict sets the verdict and the text from the weights.
func (r *FitResult) setVerdict() {
	top := Suspect{}
	if len(r.Suspects) > 0 {
		top = r.Suspects[0]
	}
	switch {
	case r.poor():
		r.Verdict = FitPoor
		r.Text = fmt.Sprintf("No single joint or feed explains these readings (%s off): check the figures of the chip, the feeds and the rails in the plan; was every pixel lit alike? Then take the readings again. If none fits then: power off. Go over every joint and feed, nearest the supply first.", words.Millivolts(r.Left))
	case r.Nothing > mostNothing:
		r.Verdict = FitGood
		r.Text = "No joint or feed stands out: the readings are as the plan's copper would have them." + r.noiseText()
	case r.fine():
		r.Verdict = FitGood
		r.Text = fmt.Sprintf("About %s more than planned in %s: that costs %s, %s. Found and fine; worth mending is what costs more than %s.",
			words.Ohms(top.Ohms), top.Name, smallVolts(top.Cost), r.shareText(top), words.WholePercent(worthShare))
	case top.Weight >= sureWeight && top.Open():
		r.Verdict = FitFound
		r.Text = fmt.Sprintf("Plus or minus is as good as open in %s. Power off. Look for a fuse, a screw or a wire that is off. Make both conductors there again, then measure again. A meter between the rails cannot tell which of the two it is.", top.Name)
	case top.Weight >= sureWeight && top.Ohms > 0:
		r.Verdict = FitFound
		r.Text = fmt.Sprintf("About %s too much in %s (%s to %s), in plus or minus. Power off and make both conductors there again, then measure again. A meter between the rails cannot tell which of the two it is; it costs %s, %s.",
			words.Ohms(top.Ohms), top.Name, words.Figure(max(0, top.Ohms-top.PlusMinus)), words.Ohms(top.Ohms+top.PlusMinus), smallVolts(top.Cost), r.shareText(top))
	default:
		r.Verdict = FitCantTell
		r.Text = "Can't tell where from these readings: " + r.shortList() + ". Measure on both sides of each of them, at a higher level. Power off and make again the one where the volts drop, then measure again." + r.noiseText()
	}
}

// fine reports whether every possible fault costs too little to be mended.
func (r *FitResult) fine() bool {
	for _, s := range r.Suspects {
		if s.Weight >= leastWeight && (s.Open() || s.Cost > worthShare*r.Allowed) {
			return false
		}
	}
	return len(r.Suspects) > 0
}

// noiseText warns that the readings scatter more than those of a good meter;
// empty when they do not.
func (r *FitResult) noiseText() string {
	if r.Noise < 2*meterVolts {
		return ""
	}
	return fmt.Sprintf(" The readings scatter by some %s, so a small fault would not show.", words.Millivolts(r.Noise))
}

// shareText compares a cost with Allowed: `12 % of the 0.50 V that may be lost on
// the way to a pixel, at level 44 %`.
func (r *FitResult) shareText(s Suspect) string {
	return fmt.Sprintf("%s of the %s that may be lost on the way to a pixel, at level %d %%", words.WholePercent(s.Cost/r.Allowed), words.Volts(r.Allowed), FloorPercent(r.Level))
}

// smallVolts writes a voltage in millivolts below 0.1 V, else in volts.
func smallVolts(volts float64) string {
	if volts < 0.1 {
		return words.Millivolts(volts)
	}
	return words.Volts(volts)
}

func (r *FitResult) shortList() string {
	var names []string
	sum := r.Nothing
	for _, s := range r.Suspects {
		if sum > sureWeight && len(names) > 0 {
			break
		}
		names = append(names, s.Name)
		sum += s.Weight
	}
	return "it may be " + strings.Join(names, ", or ")
}
