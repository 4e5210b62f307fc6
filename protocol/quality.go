package protocol

import (
	"fmt"
	"strings"
)

// quality speaks of loss, packets that come twice, and too high a rate: once
// for a source, over all its universes where that is so.
func (w *writer) quality(s *SourceReport) {
	var lossy, doubled, fast share
	for i := range s.Streams {
		st := &s.Streams[i]
		if st.State != Live || st.Shared {
			continue
		}
		if st.recent >= packetsToJudge && st.Loss >= lossWorthSaying {
			lossy.add(st.Universe, st.Loss, st.recent)
		}
		if st.recent >= packetsToJudge && st.Doubled >= doublesWorthIt {
			doubled.add(st.Universe, st.Doubled, st.recent)
		}
		if st.Rate >= rateWorthSaying {
			fast.add(st.Universe, st.Rate, 1)
		}
	}
	weight := Warning
	if lossy.mean() >= lossIsTrouble {
		weight = Trouble
	}
	who := s.Called()
	w.sayOf(lossy, weight, s.CID, "%.0f %% of the packets from %s on {u} are lost on the way: look at the wireless link, the cable and the switch.", 100*lossy.mean(), who)
	w.sayOf(doubled, Note, s.CID, "%.0f %% of the packets from %s on {u} come twice: it reaches here by two ways.", 100*doubled.mean(), who)
	w.sayOf(fast, Note, s.CID, "%s sends {u} %.0f times a second; the standard allows 44, and slow receivers may stumble.", upper(who), fast.mean())
}

// A share is a figure over some universes, weighed by their packets.
type share struct {
	universes []Universe
	sum       float64
	weight    int
}

func (s *share) add(u Universe, value float64, weight int) {
	s.universes = append(s.universes, u)
	s.sum += value * float64(weight)
	s.weight += weight
}

func (s *share) mean() float64 { return s.sum / float64(max(1, s.weight)) }

// sayOf says a thing of all universes of a share, and nothing if it has none.
func (w *writer) sayOf(of share, weight Weight, about CID, format string, args ...any) {
	for _, u := range of.universes {
		w.say(weight, u, about, format, args...)
	}
}

// mostNamed is how many universes or stretches of them a sentence names.
const mostNamed = 6

// named is a list in words: universe 3; universes 3, 4 and 7 to 12.
func named(us []Universe) string {
	if len(us) == 1 {
		return fmt.Sprintf("universe %d", us[0])
	}
	var parts []string
	left := 0
	for i := 0; i < len(us); {
		j := i
		for j+1 < len(us) && us[j+1] == us[j]+1 {
			j++
		}
		switch {
		case len(parts) >= mostNamed:
			left += j - i + 1
		case j >= i+2:
			parts = append(parts, fmt.Sprintf("%d to %d", us[i], us[j]))
		default:
			j = i
			parts = append(parts, fmt.Sprint(us[i]))
		}
		i = j + 1
	}
	if left > 0 {
		parts = append(parts, fmt.Sprintf("%d more", left))
	}
	last := len(parts) - 1
	if last == 0 {
		return "universes " + parts[0]
	}
	return "universes " + strings.Join(parts[:last], ", ") + " and " + parts[last]
}
