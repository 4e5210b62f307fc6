package advice

import (
	"example.org/ringout/internal/words"
	"example.org/ringout/protocol"
)

// Thresholds for a sentence. No standard gives them (from memory).
const (
	lossWorthSaying    = 0.01 // below it a strip hardly shows it
	lossIsTrouble      = 0.1
	doublesWorthSaying = 0.2
	packetsToJudge     = 20 // fewer give no reliable share
	rateWorthSaying    = 46 // packets per second: the ceiling of 44 (6.6.1) plus the error of a coarse timer
	packetsToTime      = 45 // a second at the ceiling; fewer are a burst, not a rate
)

// quality reports loss, packets out of order, duplicate packets and too high a rate, in
// one sentence for all universes of a source. It skips streams of two senders under one
// CID, whose sequence numbers interleave.
func (w *writer) quality(s *protocol.SourceReport) {
	var lossy, late, doubled, fast share
	for i := range s.Streams {
		st := &s.Streams[i]
		if st.State != protocol.Live || st.Shared {
			continue
		}
		judged := st.Judged >= packetsToJudge
		lossy.addIf(judged && st.Loss >= lossWorthSaying, st, st.Loss)
		late.addIf(judged && st.Reordered >= lossWorthSaying, st, st.Reordered)
		doubled.addIf(judged && st.Doubled >= doublesWorthSaying, st, st.Doubled)
		fast.addIf(st.Judged >= packetsToTime && st.Rate >= rateWorthSaying, st, st.Rate)
	}
	who, from := Called(s), address(s)
	w.sayOf(lossy, Sentence{Weight: weigh(lossy.mean()), About: s.CID, Do: "Check wireless link, cable and switch", Why: "packets from " + from + " are lost",
		Text: text("%s of the packets from %s on {u} are lost: look at the wireless link, the cable and the switch.", words.WholePercent(lossy.mean()), who)})
	w.sayOf(late, Sentence{Weight: weigh(late.mean()), About: s.CID, Do: "Leave one way from " + from, Why: "packets come out of order",
		Text: text("%s of the packets from %s on {u} come after a later one: receivers drop them. They take two ways, or something on the way holds some back. Leave one cable or one wireless link between you.", words.WholePercent(late.mean()), who)})
	w.sayOf(doubled, Sentence{About: s.CID,
		Text: text("%s of the packets from %s on {u} come twice: it reaches here by two ways.", words.WholePercent(doubled.mean()), who)})
	w.sayOf(fast, Sentence{About: s.CID,
		Text: text("%s sends {u} %.0f times a second; the standard allows 44, and slow receivers may stumble.", Capital(who), fast.mean())})
}

// weigh returns the weight of a share of packets that are lost or dropped.
func weigh(share float64) Weight {
	if share >= lossIsTrouble {
		return Trouble
	}
	return Warning
}

// A share is the mean of a figure over some universes, weighted by their judged
// packets.
type share struct {
	universes []protocol.Universe
	sum       float64
	weight    int
}

func (s *share) addIf(is bool, st *protocol.StreamReport, value float64) {
	if !is {
		return
	}
	s.universes = append(s.universes, st.Universe)
	s.sum += value * float64(st.Judged)
	s.weight += st.Judged
}

func (s *share) mean() float64 { return s.sum / float64(max(1, s.weight)) }

// sayOf adds a sentence about all universes of a share, if it has any.
func (w *writer) sayOf(of share, s Sentence) {
	if len(of.universes) > 0 {
		w.say(s, of.universes...)
	}
}
