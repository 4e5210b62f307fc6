// Package advice puts a report of the traffic into sentences for the builder:
// what was found, and what to do about it. It knows the rules of ANSI E1.31
// through package protocol and adds what a builder can do; thresholds are its
// own.
//
// Rates are packets per second of one universe, shares 0 to 1. Names from the
// network are printable and cannot be mistaken for an address (see Called).
// Nothing here reads a clock or opens a socket.
package advice

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/mattn/go-runewidth"

	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/words"
	"example.org/ringout/protocol"
)

// Weight is how serious a sentence is.
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

// A Sentence is one statement about the traffic, and what to do.
type Sentence struct {
	Weight    Weight
	Universe  protocol.Universe   // the first of Universes; 0 if there is none
	Universes []protocol.Universe // that it is about, ascending
	About     protocol.CID        // the source it is about; zero if none
	Text      string              // printable
	Do        string              // the remedy alone, without a full stop; empty where there is none
	Why       string              // the cause in a few words
}

// Line is the sentence for one line of a given number of cells: whole where it fits,
// else the remedy and then the cause, so that a cut never takes the remedy.
func (s Sentence) Line(width int) string {
	if s.Do == "" || runewidth.StringWidth(s.Text) <= width {
		return s.Text
	}
	return s.Do + ": " + s.Why + "."
}

// Sentences describes what matters in a report to the sender of ours: the most
// serious first, then by universe, with the source that the universe follows
// before others. The same report always gives the same sentences.
func Sentences(r *protocol.Report, ours protocol.Ours) []Sentence {
	w := &writer{r: r, ours: ours, at: map[group]int{}}
	for i := range r.Sources {
		s := &r.Sources[i]
		if s.CID == ours.CID && ours.CID != (protocol.CID{}) {
			w.ownCIDTwice(s)
			continue
		}
		for j := range s.Streams {
			w.stream(s, &s.Streams[j])
		}
		w.quality(s)
		w.announced(s)
	}
	w.strangersTied()
	w.malformed()
	if n := r.Counts.TurnedAway; n > 0 {
		w.say(Sentence{Weight: Warning, Text: fmt.Sprintf("More sources than can be followed at once: %s left out of these counts.", words.Count(n, "packet")+words.Plural(n, " was", " were"))})
	}
	w.nameUniverses()
	sorting.Stable(w.out, func(a, b Sentence) int {
		return cmp.Or(cmp.Compare(b.Weight, a.Weight), cmp.Compare(a.Universe, b.Universe), cmp.Compare(leads(r, b), leads(r, a)))
	})
	return w.out
}

// leads is 1 when the universe of a sentence follows the source it is about.
func leads(r *protocol.Report, s Sentence) int {
	if u := r.Universe(s.Universe); u != nil && slices.Contains(u.Winners, s.About) {
		return 1
	}
	return 0
}

type writer struct {
	r    *protocol.Report
	ours protocol.Ours
	out  []Sentence
	at   map[group]int // index in out
}

// A group is sentences that differ in the universe only: a source on 500
// universes gets one sentence, not 500.
type group struct {
	weight Weight
	about  protocol.CID
	text   string
}

// here marks the place of the universes in a text until they are all known.
// Names from the network are printable, so none holds it.
const here = "\x00"

// text fills in a format in which {u} represents the universes.
func text(format string, args ...any) string {
	return fmt.Sprintf(strings.ReplaceAll(format, "{u}", here), args...)
}

// say adds a sentence about universes, or about none.
func (w *writer) say(s Sentence, us ...protocol.Universe) {
	key := group{s.Weight, s.About, s.Text}
	at, ok := w.at[key]
	if !ok {
		at = len(w.out)
		w.at[key] = at
		w.out = append(w.out, s)
	}
	w.out[at].Universes = append(w.out[at].Universes, us...)
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
		s.Text = strings.ReplaceAll(s.Text, here, Named(s.Universes))
		s.Why = strings.ReplaceAll(s.Why, here, Named(s.Universes))
	}
}
