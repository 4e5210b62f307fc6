// Package traffic puts what a listener heard into lines for a terminal and
// into JSON: sources, what they drive, and what matters to the builder.
//
// Universes and slots count from 1 in all text. Texts from the network are
// already printable (package protocol). Nothing here reads a clock or a socket.
package traffic

import (
	"fmt"
	"strings"
	"time"

	"github.com/mattn/go-runewidth"

	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/internal/words"
	"example.org/ringout/protocol"
)

// A Line is one source on one universe, in columns. Network figures that cannot
// be worked out are nil, and left out of JSON: the shares when there are too
// few packets, all of them while two senders use one CID.
type Line struct {
	Source   string   `json:"source"`
	Address  string   `json:"address"`
	CID      string   `json:"cid"`
	Universe int      `json:"universe"`
	State    string   `json:"state"` // live, lost, finished
	Priority int      `json:"priority"`
	Wins     bool     `json:"wins"`     // receivers follow it, alone or with others
	Followed string   `json:"followed"` // how: followed, tied, not followed, followed for some slots; empty when not live
	Preview  bool     `json:"preview"`
	Sync     int      `json:"sync"` // synchronization address; 0 is none
	Slots    int      `json:"slots"`
	Rate     float64  `json:"packets_per_second"`
	Loss     *float64 `json:"loss,omitempty"` // share, 0 to 1
	Doubled  *float64 `json:"doubled,omitempty"`
	Missing  *uint64  `json:"missing,omitempty"` // packets that never came
	Twice    *uint64  `json:"twice,omitempty"`
	Late     *uint64  `json:"late,omitempty"` // packets out of order
	JitterMS *float64 `json:"jitter_ms,omitempty"`
	Packets  uint64   `json:"packets"`
	Via      string   `json:"via"` // "multicast" or "unicast"
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
		Preview: st.Preview, Sync: int(st.SyncAddress), Slots: st.Slots, Rate: st.Rate, Packets: st.Packets, Via: "unicast"}
	l.addFigures(&st)
	if st.Multicast {
		l.Via = "multicast"
	}
	l.Address = Address(&s)
	if len(st.Addresses) > 0 && !st.Addresses[0].Addr().IsUnspecified() {
		l.Address = st.Addresses[0].Addr().Unmap().String()
	}
	if st.State == protocol.Live && !st.Preview {
		f := Follow(r, s.CID, st.Universe)
		l.Wins, l.Followed = f != Ignored, f.String()
	}
	return l
}

// WeightedSentence is one sentence with its weight.
type WeightedSentence struct {
	Weight   string `json:"weight"` // note, warning, trouble
	Universe int    `json:"universe,omitempty"`
	Text     string `json:"text"`
}

// AnnouncedSource is a source that only announces what it sends (ANSI
// E1.31-2018 4.3): it may send by unicast to other hosts, or its groups are not
// joined.
type AnnouncedSource struct {
	Source    string              `json:"source"`
	Address   string              `json:"address"`
	CID       string              `json:"cid"`
	Universes []protocol.Universe `json:"universes"`
}

func announced(r *protocol.Report) []AnnouncedSource {
	out := []AnnouncedSource{}
	for i := range r.Sources {
		if s := &r.Sources[i]; len(s.Streams) == 0 && len(s.Listed) > 0 {
			out = append(out, AnnouncedSource{s.Name, Address(s), s.CID.String(), s.Listed})
		}
	}
	return out
}

// A Summary is a report for programs.
type Summary struct {
	At        time.Time          `json:"at"`
	Datagrams uint64             `json:"datagrams"`
	Malformed uint64             `json:"malformed"`
	Dropped   uint64             `json:"dropped"` // by this machine, before they were read
	Streams   []Line             `json:"streams"`
	Announced []AnnouncedSource  `json:"announced"` // by sources of which no data is heard
	Sentences []WeightedSentence `json:"sentences"`
	Slots     []int              `json:"slots,omitempty"` // levels of the universe asked for, slot 1 first
}

// Summarise makes a Summary; universe, when not 0, is the one whose levels are
// wanted.
func Summarise(r *protocol.Report, ours protocol.Ours, dropped uint64, universe protocol.Universe) Summary {
	s := Summary{At: r.At, Datagrams: r.Counts.Datagrams, Malformed: r.Counts.Malformed, Dropped: dropped,
		Streams: Lines(r), Announced: announced(r), Sentences: []WeightedSentence{}}
	if s.Streams == nil {
		s.Streams = []Line{}
	}
	for _, t := range advice.Sentences(r, ours) {
		s.Sentences = append(s.Sentences, WeightedSentence{t.Weight.String(), int(t.Universe), t.Text})
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
	fmt.Fprintf(&b, "%s  %s heard", s.At.Format("15:04:05"), words.Count(s.Datagrams, "packet"))
	if s.Malformed > 0 {
		fmt.Fprintf(&b, ", %d of them malformed", s.Malformed)
	}
	if s.Dropped > 0 {
		fmt.Fprintf(&b, ", %d more lost by this machine", s.Dropped)
	}
	b.WriteString("\n")
	s.writeSources(&b)
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

func (s Summary) writeSources(b *strings.Builder) {
	if len(s.Streams) == 0 {
		b.WriteString("  no data is heard\n")
	} else {
		b.WriteString("  " + header + "\n")
	}
	for _, l := range s.Streams {
		b.WriteString("  " + l.Text() + "\n")
	}
	for _, a := range s.Announced {
		fmt.Fprintf(b, "  %s %s only announces %s\n", cell(a.Source, 20), cell(a.Address, 15), advice.Named(a.Universes))
	}
}

// cell is text in exactly width cells of a terminal, cut or filled.
func cell(text string, width int) string {
	return runewidth.FillRight(runewidth.Truncate(text, width, "…"), width)
}

const columns = "%s %s %8s %8s %6s %6s %5s %9s  %s"

var header = strings.TrimRight(fmt.Sprintf(columns, cell("source", 20), cell("address", 15), "universe", "priority", "per s", "lost", "late", "jitter", "state"), " ")

// addFigures adds the network figures that can be worked out.
func (l *Line) addFigures(st *protocol.StreamReport) {
	if st.Judged > 0 {
		l.Loss, l.Doubled = &st.Loss, &st.Doubled
	}
	if Judged(st) {
		ms := float64(st.Jitter) / float64(time.Millisecond)
		l.Missing, l.Twice, l.Late, l.JitterMS = &st.Missing, &st.Twice, &st.Late, &ms
	}
}

// Judged reports whether the sequence numbers of a stream show loss. With two
// senders under one CID they do not.
func Judged(st *protocol.StreamReport) bool { return st.State != protocol.Live || st.Judged > 0 }

// Unknown means a figure that cannot be worked out.
const Unknown = "–"

// figure formats *v times factor; Unknown if v is nil.
func figure[T uint64 | float64](format string, v *T, factor T) string {
	if v == nil {
		return Unknown
	}
	return fmt.Sprintf(format, factor*(*v))
}

// Text is the line in the columns of the header.
func (l Line) Text() string {
	state := l.State
	switch {
	case l.State != protocol.Live.String():
	case l.Preview:
		state = "preview only"
	default:
		state += ", " + l.Followed
	}
	name := l.Source
	if name == "" {
		name = "(no name)"
	}
	return fmt.Sprintf(columns, cell(name, 20), cell(l.Address, 15), fmt.Sprint(l.Universe), fmt.Sprint(l.Priority), fmt.Sprintf("%.1f", l.Rate),
		figure("%.0f %%", l.Loss, 100), figure("%d", l.Late, 1), figure("%.1f ms", l.JitterMS, 1), state)
}
