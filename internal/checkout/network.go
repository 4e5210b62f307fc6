package checkout

import (
	"fmt"
	"math"
	"slices"

	"example.org/ringout/internal/strip"
)

// A Network is what the sender and the listener report about the path to the
// prop. It distinguishes faults with the same light, such as no supply and a
// wrong host.
type Network struct {
	Refused     bool   `json:"refused,omitempty"`     // the host is up, but nothing listens on the port
	Unreachable bool   `json:"unreachable,omitempty"` // no way to the host, or its name gives no address
	Trouble     string `json:"trouble,omitempty"`     // the sender's own sentence about that
	Rival       string `json:"rival,omitempty"`       // another source that drives a universe of the prop
}

// A Link is the state of sending to one host.
type Link struct {
	OK      bool
	Refused bool   // the host is up, but nothing listens on the port
	Says    string // the sender's own sentence about it
}

// NetworkOf sums up the states of the sender's targets. A refusal proves that
// nothing listens now; silence proves nothing (RFC 792; common practice).
func NetworkOf(links []Link) Network {
	var n Network
	for _, l := range links {
		switch {
		case l.OK:
			continue
		case l.Refused:
			n.Refused = true
		default:
			n.Unreachable = true
		}
		if n.Trouble == "" {
			n.Trouble = l.Says
		}
	}
	return n
}

// rivalFactor multiplies the weight of flickering faults when another source
// drives the universe (common practice, rough).
const rivalFactor = 8

// SetNetwork replaces the state of the network. It may be called at any time.
func (s *Session) SetNetwork(n Network) {
	if n == s.network {
		return
	}
	s.network = n
	s.replay(s.steps)
}

// Network is the state of the network that was set last.
func (s *Session) Network() Network { return s.network }

// raise raises the weight of the hypotheses that the network's state makes more
// likely.
func (n Network) raise(b *belief, f *field) {
	for i := range b.hyps {
		h := &b.hyps[i]
		if h.family < 0 || math.IsInf(b.log[i], -1) {
			continue
		}
		if f.families[h.family].facts.Unsteady && n.Rival != "" {
			b.log[i] += math.Log(rivalFactor)
		}
	}
}

// causes are the explanations of a suspect that lie in the network. They come
// before those of the strip, since the other source was heard.
func (n Network) causes(su Suspect) []Cause {
	for _, set := range su.Causes {
		for _, ft := range set {
			if strip.FactsOf(ft.Kind).Unsteady && n.Rival != "" {
				return []Cause{{Text: fmt.Sprintf("Another source, %q, drives the same universe: the light comes and goes between the two.", n.Rival),
					Remedy: "Stop the other source, or give this one a higher priority; then look whether it still comes and goes."}}
			}
		}
	}
	return nil
}

// sourceAfter puts another source among causes where one of them keeps all data away, or lights a
// prop of one pixel whatever is sent: what another source sends, black too, looks so. It comes after
// those that take no solder. A source that sends to the prop alone is not heard here, so it is
// named also where none was.
func (n Network) sourceAfter(f *field, causes []Cause) []Cause {
	if len(causes) == 0 || len(causes[0].Faults) == 0 || !slices.ContainsFunc(causes, f.ignoresData) {
		return causes
	}
	c := Cause{Text: "Another source drives the prop. Sent to the prop alone, it is not heard here.", Remedy: remedySource}
	if n.Rival != "" {
		c.Text = fmt.Sprintf("Another source, %q, drives the same universe: the prop may follow it.", n.Rival)
	}
	at := slices.IndexFunc(causes, func(c Cause) bool { return slices.ContainsFunc(c.Faults, needsSolder) })
	if at = max(at, 1); at >= len(causes) {
		return append(causes, c)
	}
	return slices.Insert(causes, at, c)
}

// needsSolder reports whether a fault is in the copper, and not in a setting or the supply.
func needsSolder(ft strip.Fault) bool {
	return ft.Kind != strip.WrongAddress && ft.Kind != strip.NoSupply
}

// ignoresData reports whether one of a cause's faults alone makes the prop dark, or lights its only
// pixel.
func (f *field) ignoresData(c Cause) bool {
	m := stripBuilder{field: f}
	black := m.darkFingerprint()
	return slices.ContainsFunc(c.Faults, func(ft strip.Fault) bool {
		light, ok := m.lightOf([]strip.Fault{ft})
		return ok && light == black || f.pixels == 1 && (ft.Kind == strip.StuckOn || ft.Kind == strip.StuckChannel)
	})
}

// Absent reports whether the prop cannot be reached: its host refuses, or there
// is no route to it. The sentence says which.
func (n Network) Absent() (string, bool) {
	switch {
	case n.Refused:
		return "The prop is not there: " + n.Trouble + ".", true
	case n.Unreachable:
		return "No packet reaches the prop: " + n.Trouble + ".", true
	}
	return "", false
}

// Advice is the sentence of Absent and its remedy; both are empty when Absent
// is false.
func (n Network) Advice() (why, remedy string) {
	why, absent := n.Absent()
	switch {
	case !absent:
		return "", ""
	case n.Refused:
		return why, remedyRefused
	}
	return why, remedyUnreachable
}

// absent is the finding shown while the prop cannot be reached.
func (s *Session) absent(why string) Finding {
	_, remedy := s.network.Advice()
	c := Cause{Text: why, Remedy: remedy}
	return Finding{Absent: true, Title: why, Sure: Possible, Percent: 1, Causes: []Cause{c}, Because: s.reasons()}
}

const (
	remedyRefused     = "Check the host's address in the prop file. The controller must take streaming ACN (E1.31) on this port."
	remedySource      = "Stop every other sender, also one that the controller runs itself. Then look whether the prop lights as it is sent."
	remedyUnreachable = "Check the cable, the host's address and this machine's network."
)
