package traffic

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/internal/words"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// Words returns all sentences for the builder: about the hosts that we send to,
// what was heard, and what cannot be heard; the most serious first.
func (n News) Words(links []link.Status) []advice.Sentence {
	var out []advice.Sentence
	say := func(w advice.Weight, text string) {
		out = append(out, advice.Sentence{Weight: w, Text: text})
	}
	for _, h := range Hosts(links) {
		if !h.Worst.State.OK() {
			say(advice.Trouble, words.Sentence(h.Worst.Sentence()))
		}
	}
	if n.Trouble != nil {
		say(advice.Warning, nothingHeard(n.Trouble, len(n.Ours.Universes) > 0))
	}
	if n.Dropped > 0 {
		say(advice.Note, fmt.Sprintf("This machine lost %s before they were read.", words.Count(n.Dropped, "packet")))
	}
	out = append(out, n.Sentences...)
	sorting.Stable(out, func(a, b advice.Sentence) int { return int(b.Weight) - int(a.Weight) })
	if n.Report != nil && len(n.Ours.Universes) > 0 && advice.Alone(n.Report, n.Ours, out) {
		say(advice.Note, "No other source is heard on "+advice.Named(n.Ours.Universes)+".")
	}
	if hosts := n.unheard(links); len(hosts) > 0 && n.Report != nil {
		say(advice.Note, fmt.Sprintf("What others send to %s by unicast cannot be heard here; only their announcements can.", hosts))
	}
	return out
}

// nothingHeard says why nothing is heard.
func nothingHeard(err error, sending bool) string {
	goesOn, though := "", ""
	if sending {
		goesOn, though = "; sending goes on", ", though sending goes on"
	}
	var taken *link.PortError
	if errors.As(err, &taken) {
		return fmt.Sprintf("Port %d is taken by %s on this machine, so nothing is heard here%s. Close that program: listening then starts by itself.", taken.Port, taken.By(), goesOn)
	}
	return "Nothing is heard here" + though + ": " + strings.TrimSuffix(protocol.Printable(err.Error()), ".") + "."
}

// unheard names up to three hosts that get their data by unicast, which is not
// heard here. It leaves out a receiver on this machine that offers copies, by
// which our own packets are heard.
func (n News) unheard(links []link.Status) string {
	var hosts []string
	for _, h := range Hosts(links) {
		if h.Worst.Dest.Addr().IsLoopback() && n.hearsCopies(h.Universes) {
			continue
		}
		if name := protocol.Printable(h.Worst.Target.Host); name != "" && !slices.Contains(hosts, name) {
			hosts = append(hosts, name)
		}
	}
	slices.Sort(hosts)
	if len(hosts) > 3 {
		hosts = append(hosts[:3], fmt.Sprintf("%d more", len(hosts)-3))
	}
	return words.And(hosts)
}

// hearsCopies reports whether our own packets for a universe are heard by unicast.
func (n News) hearsCopies(us []protocol.Universe) bool {
	if n.Report == nil {
		return false
	}
	s := n.Report.Source(n.Ours.CID)
	return s != nil && slices.ContainsFunc(us, func(u protocol.Universe) bool {
		st := s.Stream(u)
		return st != nil && st.State == protocol.Live && st.Copied
	})
}
