package power

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// deadShare is the part of the supply's voltage below which a place counts as
// without any: no pixel works there (from memory: the lowest of them begin at
// about two thirds of their voltage), and a meter on an open lead, or on a rail
// fed through the data line, still shows a small voltage.
const deadShare = 0.05

// openAs is the resistance assumed for an open place, ohms.
const openAs = 1e6

// Dead reports whether a reading is close to 0 V: under 0.25 V of 5, 0.6 of 12.
func Dead(p *prop.Prop, r Reading) bool { return r.Volts < deadShare*p.Supply.Volts }

// deadResult is the result for readings close to 0 V; false when there are none.
// They are not fitted: the ladder explains a voltage drop, not a missing supply.
func deadResult(p *prop.Prop, readings []Reading) (FitResult, bool) {
	none := func(r Reading) bool { return Dead(p, r) }
	if !slices.ContainsFunc(readings, none) {
		return FitResult{}, false
	}
	r := FitResult{Verdict: FitNone}
	if !slices.ContainsFunc(readings, func(r Reading) bool { return !none(r) }) {
		r.Text = noVoltageText(p, readings)
		return r, true
	}
	if text, ok := intermittentText(p, readings, none); ok {
		r.Text = text
		return r, true
	}
	r.Text = r.stretches(p, readings, none)
	return r, true
}

// noVoltageText says what to check when all readings are close to 0 V.
func noVoltageText(p *prop.Prop, readings []Reading) string {
	most := 0.0
	for _, r := range readings {
		most = max(most, r.Volts)
	}
	what := fmt.Sprintf("all %d readings are", len(readings))
	if len(readings) == 1 {
		what = "the only reading is"
	}
	feed := "the first pixel"
	if len(p.Feeds) > 0 {
		feed = FeedName(p, 0)
	}
	return fmt.Sprintf("No voltage arrives: %s %s. Look in this order: is the supply on and its own lamp lit? Is its fuse whole? Are plus and minus not swapped? Does the lead from the supply to %s carry? A short between plus and minus also makes a supply switch itself off. Power off before you touch wires or fuse. The mains side is for licensed people.",
		what, nearZeroText(most), feed)
}

// nearZeroText is a voltage close to 0 in words: under 5 mV a meter with two
// decimals shows 0.00.
func nearZeroText(volts float64) string {
	if volts < 0.005 {
		return "0 V"
	}
	return fmt.Sprintf("next to 0 V (%s at most)", words.Volts(volts))
}

// intermittentText names a place that had voltage at one level and none at
// another: a contact or fuse that opened, not a missing wire. It is false when
// there is none.
func intermittentText(p *prop.Prop, readings []Reading, none func(Reading) bool) (string, bool) {
	for _, d := range readings {
		for _, a := range readings {
			switch {
			case !none(d) || none(a) || a.Pixel != d.Pixel:
			case a.Level < d.Level:
				return fmt.Sprintf("The voltage went away: %s at %s at level %s, none there at level %s. A fuse has blown, a contact has opened or the supply has switched itself off: power off; look for what is hot or shorted, and whether the supply is large enough; then measure again from the lowest level.",
					words.Volts(a.Volts), PlaceName(p, d.Pixel), words.WholePercent(a.Level), words.WholePercent(d.Level)), true
			default:
				return fmt.Sprintf("The voltage comes and goes: none at %s at level %s, %s there at level %s. A contact is loose, or the meter's tips slipped: measure there again.",
					PlaceName(p, d.Pixel), words.WholePercent(d.Level), words.Volts(a.Volts), words.WholePercent(a.Level)), true
			}
		}
	}
	return "", false
}

// stretches says where each stretch without voltage lies, and stores the places
// to check as suspects.
func (r *FitResult) stretches(p *prop.Prop, readings []Reading, none func(Reading) bool) string {
	volts := map[int]float64{} // of each place, the last
	for _, x := range readings {
		volts[x.Pixel] = x.Volts
	}
	var places []int
	for at := range volts {
		places = append(places, at)
	}
	slices.Sort(places)
	gone := func(i int) bool { return none(Reading{Volts: volts[places[i]]}) }
	var sentences []string
	for i := 0; i < len(places); i++ {
		if !gone(i) {
			continue
		}
		to := i
		for to+1 < len(places) && gone(to+1) {
			to++
		}
		s := stretch{before: -1, first: places[i], last: places[to], after: -1}
		if i > 0 {
			s.before, s.volts = places[i-1], volts[places[i-1]]
		}
		if to+1 < len(places) {
			s.after = places[to+1]
		}
		sentences = append(sentences, s.sentence(p))
		r.Suspects = append(r.Suspects, s.suspects(p)...)
		i = to
	}
	for i := range r.Suspects {
		r.Suspects[i].Ohms, r.Suspects[i].PlusMinus, r.Suspects[i].Weight = openAs, openAs, 1/float64(len(r.Suspects))
	}
	return strings.Join(sentences, " ") + " Power off first, then make plus and minus there again; a meter between the rails cannot tell which of the two is open."
}

// A stretch is a range of places without voltage, with the next places on
// either side that have voltage.
type stretch struct {
	before, first, last, after int     // pixels; -1 for none
	volts                      float64 // before it
}

// sentence says where the stretch is and which places to check.
func (s stretch) sentence(p *prop.Prop) string {
	where := fmt.Sprintf("at pixels %d to %d", s.first+1, s.last+1)
	if s.first == s.last {
		where = fmt.Sprintf("at %s", PlaceName(p, s.first))
	}
	in, out := joints(p, s.before, s.first), joints(p, s.last, s.after)
	switch {
	case s.before >= 0 && len(in) == 1:
		where = fmt.Sprintf("after %s, %s (%s before it)", in[0].Name, where, words.Volts(s.volts))
	case s.before < 0 && len(out) == 1:
		where = fmt.Sprintf("before %s, %s", out[0].Name, where)
	}
	names := s.breaks(p)
	return fmt.Sprintf("No voltage %s: look at %s.", where, strings.Join(names, ", and at "))
}

// breaks are the places that must all be open for the stretch to be dead.
func (s stretch) breaks(p *prop.Prop) (names []string) {
	for _, side := range [][2]int{{s.before, s.first}, {s.last, s.after}} {
		a, b := side[0], side[1]
		if a < 0 || b < 0 {
			continue
		}
		all := joints(p, a, b)
		switch run, _ := p.Find(a); {
		case len(all) > 0:
			names = append(names, nameOf(all))
		case !parted(p, a, b):
			names = append(names, fmt.Sprintf("the strip between pixels %d and %d of %s", a-p.FirstPixel(run)+1, b-p.FirstPixel(run)+1, p.QuotedRun(run)))
		}
	}
	for _, f := range s.feeds(p) {
		names = append(names, f.Name+" with its fuse")
	}
	return names
}

func nameOf(all []Suspect) string {
	var names []string
	for _, s := range all {
		names = append(names, s.Name)
	}
	return strings.Join(names, " or ")
}

// suspects are the joints and feeds of breaks.
func (s stretch) suspects(p *prop.Prop) []Suspect {
	return slices.Concat(joints(p, s.before, s.first), joints(p, s.last, s.after), s.feeds(p))
}

// feeds are the feeds that enter within the stretch.
func (s stretch) feeds(p *prop.Prop) (out []Suspect) {
	for i, f := range p.Feeds {
		if f.Pixel >= s.first && f.Pixel <= s.last {
			out = append(out, Suspect{Feed: i, Name: FeedName(p, i)})
		}
	}
	if len(p.Feeds) == 0 && s.first == 0 {
		out = append(out, Suspect{Name: "the supply lead"})
	}
	return out
}

// joints are the joints between two pixels that carry plus; none when either
// pixel is -1.
func joints(p *prop.Prop, a, b int) (out []Suspect) {
	starts := p.Starts()
	for i := 1; a >= 0 && i < len(p.Runs); i++ {
		if at := starts[i]; at > a && at <= b && !p.Runs[i].Apart {
			out = append(out, jointOf(p, i))
		}
	}
	return out
}

// parted reports whether the plan has no plus wire between two pixels.
func parted(p *prop.Prop, a, b int) bool {
	starts := p.Starts()
	for i := 1; i < len(p.Runs); i++ {
		if at := starts[i]; at > a && at <= b && p.Runs[i].Apart {
			return true
		}
	}
	return false
}
