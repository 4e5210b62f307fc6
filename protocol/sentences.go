package protocol

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Weight says how much a sentence matters.
type Weight uint8

// The weights.
const (
	Note    Weight = iota // worth knowing
	Warning               // may spoil what the strip shows
	Trouble               // does spoil it
)

// String is the name of the weight.
func (w Weight) String() string { return [...]string{"note", "warning", "trouble"}[min(w, Trouble)] }

// MarshalText is String.
func (w Weight) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

// A Sentence tells the builder one thing about the traffic, and what to do.
type Sentence struct {
	Weight    Weight
	Universe  Universe   // the first of Universes; 0 if there is none
	Universes []Universe // that it is about, ascending
	About     CID        // the source it is about; zero if none
	Text      string     // printable
}

// Ours is what we send ourselves; the zero value is for who only listens.
type Ours struct {
	CID       CID
	Priority  uint8
	Universes []Universe
}

func (o Ours) drives(u Universe) bool { return slices.Contains(o.Universes, u) }

// Thresholds for speaking up (from memory; no standard gives them).
const (
	lossWorthSaying  = 0.01 // below it a strip hardly shows it
	lossIsTrouble    = 0.1
	doublesWorthIt   = 0.2
	packetsToJudge   = 20 // fewer give no fair share
	rateWorthSaying  = 46 // packets per second: the ceiling of 44 and what a coarse timer adds
	recentEnough     = 60 * time.Second
	malformedToSpeak = 3
)

// Sentences puts into words what matters in the report to somebody who sends
// ours: the heaviest first, then by universe, of whom it follows before others. The same report always gives the
// same sentences.
func (r *Report) Sentences(ours Ours) []Sentence {
	w := &writer{r: r, ours: ours, said: map[saying]int{}}
	for i := range r.Sources {
		s := &r.Sources[i]
		if s.CID == ours.CID && ours.CID != (CID{}) {
			w.ourTwin(s)
			continue
		}
		for j := range s.Streams {
			w.stream(s, &s.Streams[j])
		}
		w.quality(s)
		w.announced(s)
	}
	w.strangersAtOdds()
	w.malformed()
	if n := r.Counts.TurnedAway; n > 0 {
		w.say(Warning, 0, CID{}, "More sources than can be followed at once: %s left out of these counts.", packets(n))
	}
	w.nameUniverses()
	slices.SortStableFunc(w.out, func(a, b Sentence) int {
		return cmp.Or(cmp.Compare(b.Weight, a.Weight), cmp.Compare(a.Universe, b.Universe), cmp.Compare(r.leads(b), r.leads(a)))
	})
	return w.out
}

// leads is 1 when the universe of a sentence follows the source it is about.
func (r *Report) leads(s Sentence) int {
	if u := r.Universe(s.Universe); u != nil && slices.Contains(u.Winners, s.About) {
		return 1
	}
	return 0
}

type writer struct {
	r    *Report
	ours Ours
	out  []Sentence
	said map[saying]int // where in out
}

// A saying is what two sentences have in common that differ in nothing but the
// universe: a source on 500 universes gets one sentence, not 500.
type saying struct {
	weight Weight
	about  CID
	text   string
}

// here stands in a text for its universes until they are all known. Names
// from the network are printable, so none holds it.
const here = "\x00"

// say adds a sentence; where it is about a universe, its text says so by "{u}".
func (w *writer) say(weight Weight, u Universe, about CID, format string, args ...any) {
	key := saying{weight, about, fmt.Sprintf(strings.Replace(format, "{u}", here, 1), args...)}
	at, ok := w.said[key]
	if !ok {
		at = len(w.out)
		w.said[key] = at
		w.out = append(w.out, Sentence{Weight: weight, About: about, Text: key.text})
	}
	if u != 0 {
		w.out[at].Universes = append(w.out[at].Universes, u)
	}
}

// nameUniverses puts the universes into the texts.
func (w *writer) nameUniverses() {
	for i := range w.out {
		s := &w.out[i]
		if len(s.Universes) == 0 {
			continue
		}
		slices.Sort(s.Universes)
		s.Universes = slices.Compact(s.Universes)
		s.Universe = s.Universes[0]
		s.Text = strings.Replace(s.Text, here, named(s.Universes), 1)
	}
}

// Called is the source's name and address as sentences put them.
func (s *SourceReport) Called() string {
	name := "a source without a name"
	if s.Name != "" {
		name = "'" + s.Name + "'"
	}
	if !s.From.IsValid() {
		return name
	}
	if s.From.Addr().IsUnspecified() { // as some systems write on their own loopback
		return name + " on this machine"
	}
	return name + " at " + s.From.Addr().Unmap().String()
}

// upper makes a sentence begin with a capital letter.
func upper(s string) string {
	if strings.HasPrefix(s, "a source") {
		return "A" + s[1:]
	}
	return s
}

// stream says what there is to say about one source on one universe.
func (w *writer) stream(s *SourceReport, st *StreamReport) {
	who, u := upper(s.Called()), st.Universe
	if st.State != Live {
		w.gone(s, st)
		return
	}
	switch {
	case !st.hasLevels():
		w.say(Note, u, s.CID, "%s sends {u} only with START code %s, which are no levels: strips leave it out.", who, st.otherCodes())
	case st.Preview:
		w.say(Note, u, s.CID, "%s sends {u} for preview only: receivers must not show it.", who)
	case w.ours.drives(u):
		w.rival(s, st)
	}
	if codes := st.otherCodes(); codes != "" && st.hasLevels() {
		w.say(Note, u, s.CID, "%s also sends START code %s on {u}: %s", who, codes, st.codesMean())
	}
	w.synchronised(s, st)
	if st.Shared {
		w.say(Trouble, u, s.CID, "Two senders at %s use one CID on {u} (%s): receivers take them for one source and drop packets of both. Give one of them a CID of its own.",
			st.hosts(), s.CID)
	}
}

// rival is for a live source on a universe that we drive too.
func (w *writer) rival(s *SourceReport, st *StreamReport) {
	who, u, p, mine := upper(s.Called()), st.Universe, int(st.Priority), int(w.ours.Priority)
	switch {
	case st.sendsSlotPriority():
		w.say(Trouble, u, s.CID, "%s also drives {u} with a priority for each slot (START code 0xdd): receivers that know it decide slot by slot who is followed. Stop it there while you test.", who)
	case p > mine && p < MaxPriority:
		w.say(Trouble, u, s.CID, "%s also drives {u} at priority %d, so your strip follows it, not you (%d). Stop it there, or send at more than %d.", who, p, mine, p)
	case p > mine:
		w.say(Trouble, u, s.CID, "%s also drives {u} at priority %d, the highest there is, so your strip follows it, not you (%d). Stop it there.", who, p, mine)
	case p == mine && p == MaxPriority:
		w.say(Trouble, u, s.CID, "%s also drives {u} at your own priority, %d: receivers may merge, flicker or ignore one of you. Stop it there.", who, p)
	case p == mine:
		w.say(Trouble, u, s.CID, "%s also drives {u} at your own priority, %d: receivers may merge, flicker or ignore one of you. Stop it there, or send at more than %d.", who, p, p)
	default:
		w.say(Warning, u, s.CID, "%s also drives {u} at priority %d: your strip follows you (%d) as long as you send, and it when you stop.", who, p, mine)
	}
}

// gone is for a source that ended a universe or fell silent on it.
func (w *writer) gone(s *SourceReport, st *StreamReport) {
	ago := w.r.At.Sub(st.Since)
	if ago > recentEnough {
		return
	}
	who, u := upper(s.Called()), st.Universe
	if st.State == Finished {
		w.say(Note, u, s.CID, "%s ended {u} %s ago.", who, seconds(ago))
		return
	}
	weight := Note
	if w.ours.drives(u) {
		weight = Warning
	}
	w.say(weight, u, s.CID, "%s fell silent on {u} %s ago without ending it: it was cut off, or a switch stopped passing its multicast on.", who, seconds(w.r.At.Sub(st.Last)))
}

// synchronised speaks of data that waits.
func (w *writer) synchronised(s *SourceReport, st *StreamReport) {
	if st.SyncAddress == 0 {
		return
	}
	who, u := upper(s.Called()), st.Universe
	switch {
	case st.Frozen:
		w.say(Trouble, u, s.CID, "%s has {u} wait for synchronization packets on universe %d, and none has come for 2.5 s: receivers stand still until one does.", who, st.SyncAddress)
	case w.r.synced(st.SyncAddress):
		w.say(Note, u, s.CID, "%s has {u} wait for synchronization packets on universe %d, and they come.", who, st.SyncAddress)
	default:
		w.say(Note, u, s.CID, "%s names universe %d for synchronization of {u}, but no such packet was heard here: receivers act at once.", who, st.SyncAddress)
	}
}

// synced reports whether anybody sends synchronization packets for address.
func (r *Report) synced(address Universe) bool {
	for i := range r.Sources {
		for _, y := range r.Sources[i].Syncs {
			if y.Address == address && y.Live {
				return true
			}
		}
	}
	return false
}

func seconds(d time.Duration) string { return fmt.Sprintf("%d s", int(d.Round(time.Second).Seconds())) }

func packets(n uint64) string {
	if n == 1 {
		return "1 packet was"
	}
	return fmt.Sprintf("%d packets were", n)
}
