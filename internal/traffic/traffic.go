// Package traffic puts what a listener heard into lines for a terminal and
// into JSON: sources, what they drive, and what matters to the builder.
//
// Universes and slots count from 1 in all text. Texts of the network are
// printable already (package protocol). Nothing here reads a clock or a socket.
package traffic

import (
	"fmt"
	"strings"
	"time"

	"example.org/ringout/protocol"
)

// A Line is one source on one universe, in columns.
type Line struct {
	Source   string  `json:"source"`
	Address  string  `json:"address"`
	CID      string  `json:"cid"`
	Universe int     `json:"universe"`
	State    string  `json:"state"` // live, lost, finished
	Priority int     `json:"priority"`
	Wins     bool    `json:"wins"` // receivers follow it
	Preview  bool    `json:"preview"`
	Sync     int     `json:"sync"` // synchronization address; 0 is none
	Slots    int     `json:"slots"`
	Rate     float64 `json:"packets_per_second"`
	Loss     float64 `json:"loss"` // share, 0 to 1
	Doubled  float64 `json:"doubled"`
	Late     uint64  `json:"late"` // packets out of order
	JitterMS float64 `json:"jitter_ms"`
	Packets  uint64  `json:"packets"`
	Via      string  `json:"via"` // "multicast" or "unicast"
}

// Lines are all streams of a report, by source, then universe.
func Lines(r *protocol.Report) []Line {
	var out []Line
	for _, s := range r.Sources {
		for _, st := range s.Streams {
			out = append(out, line(r, s, st))
		}
	}
	return out
}

func line(r *protocol.Report, s protocol.SourceReport, st protocol.StreamReport) Line {
	l := Line{Source: s.Name, CID: s.CID.String(), Universe: int(st.Universe), State: st.State.String(), Priority: int(st.Priority),
		Preview: st.Preview, Sync: int(st.SyncAddress), Slots: st.Slots, Rate: st.Rate, Loss: st.Loss, Doubled: st.Doubled,
		Late: st.Late, JitterMS: float64(st.Jitter) / float64(time.Millisecond), Packets: st.Packets, Via: "unicast"}
	if st.Multicast {
		l.Via = "multicast"
	}
	if len(st.Addresses) > 0 {
		l.Address = st.Addresses[0].Addr().String()
	} else if s.From.IsValid() {
		l.Address = s.From.Addr().String()
	}
	if u := r.Universe(st.Universe); u != nil {
		for _, w := range u.Winners {
			l.Wins = l.Wins || w == s.CID
		}
	}
	return l
}

// Said is one sentence with its weight.
type Said struct {
	Weight   string `json:"weight"` // note, warning, trouble
	Universe int    `json:"universe,omitempty"`
	Text     string `json:"text"`
}

// A Summary is a report for programs.
type Summary struct {
	At        time.Time `json:"at"`
	Datagrams uint64    `json:"datagrams"`
	Malformed uint64    `json:"malformed"`
	Dropped   uint64    `json:"dropped"` // by this machine, before they were read
	Streams   []Line    `json:"streams"`
	Sentences []Said    `json:"sentences"`
	Slots     []int     `json:"slots,omitempty"` // levels of the universe asked for, slot 1 first
}

// Summarise makes a Summary; universe, when not 0, is the one whose levels are
// wanted.
func Summarise(r *protocol.Report, ours protocol.Ours, dropped uint64, universe protocol.Universe) Summary {
	s := Summary{At: r.At, Datagrams: r.Counts.Datagrams, Malformed: r.Counts.Malformed, Dropped: dropped,
		Streams: Lines(r), Sentences: []Said{}}
	if s.Streams == nil {
		s.Streams = []Line{}
	}
	for _, t := range r.Sentences(ours) {
		s.Sentences = append(s.Sentences, Said{t.Weight.String(), int(t.Universe), t.Text})
	}
	if u := r.Universe(universe); u != nil {
		for _, v := range u.Output.Slots[:u.Output.Count] {
			s.Slots = append(s.Slots, int(v))
		}
	}
	return s
}

// Text is the summary for a terminal.
func (s Summary) Text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s  %d packets heard", s.At.Format("15:04:05"), s.Datagrams)
	if s.Malformed > 0 {
		fmt.Fprintf(&b, ", %d of them malformed", s.Malformed)
	}
	if s.Dropped > 0 {
		fmt.Fprintf(&b, ", %d more lost by this machine", s.Dropped)
	}
	b.WriteString("\n")
	if len(s.Streams) == 0 {
		b.WriteString("  nobody is sending\n")
	} else {
		b.WriteString("  " + header + "\n")
	}
	for _, l := range s.Streams {
		b.WriteString("  " + l.Text() + "\n")
	}
	for _, t := range s.Sentences {
		fmt.Fprintf(&b, "  %s: %s\n", t.Weight, t.Text)
	}
	for i := 0; i < len(s.Slots); i += 16 {
		fmt.Fprintf(&b, "  %3d ", i+1)
		for _, v := range s.Slots[i:min(i+16, len(s.Slots))] {
			fmt.Fprintf(&b, " %3d", v)
		}
		b.WriteString("\n")
	}
	return b.String()
}

var header = fmt.Sprintf("%-24s %-15s %8s %8s %7s %6s  %s", "source", "address", "universe", "priority", "per s", "loss", "state")

// Text is the line in the columns of the header.
func (l Line) Text() string {
	state := l.State
	switch {
	case l.State != "live":
	case l.Preview:
		state = "preview only"
	case l.Wins:
		state = "live, followed"
	default:
		state = "live, not followed"
	}
	name := l.Source
	if r := []rune(name); len(r) > 24 {
		name = string(r[:23]) + "…"
	}
	return fmt.Sprintf("%-24s %-15s %8d %8d %7.1f %5.1f%%  %s", name, l.Address, l.Universe, l.Priority, l.Rate, 100*l.Loss, state)
}
