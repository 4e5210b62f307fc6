package traffic

import (
	"fmt"
	"slices"
	"time"

	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/internal/words"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/style"
)

// A row is one line of the list: a host we send to, or a source that is heard.
type row struct {
	key       string // what it is, so that the choice stays with it
	name      string
	address   string
	universes []protocol.Universe
	priority  string
	rate      string
	loss      string
	twice     string
	late      string
	jitter    string
	standing  string
	heavy     bool // needs a look
	source    *protocol.SourceReport
	host      *traffic.Host
}

// makeRows lists the hosts we send to, then what is heard; what needs a look
// comes before all else.
func (m Model) makeRows() []row {
	var rows []row
	for _, h := range traffic.Hosts(m.snap.Links) {
		rows = append(rows, m.hostRow(h))
	}
	for _, s := range traffic.Sources(m.news.Report, m.news.Ours) {
		if !s.Ours || s.Heard { // the rows above say what we send
			rows = append(rows, m.sourceRow(s))
		}
	}
	sorting.Stable(rows, func(a, b row) int { return rank(a) - rank(b) })
	return rows
}

func rank(r row) int {
	if r.heavy {
		return 0
	}
	return 1
}

func (m Model) hostRow(h traffic.Host) row {
	t := h.Worst.Target
	r := row{key: fmt.Sprintf("host %q %q %d", t.Host, t.Interface, t.Port), name: "you send", universes: h.Universes,
		address: "by multicast", rate: fmt.Sprintf("%.0f", h.Rate/float64(len(h.Universes))), standing: h.Worst.State.String(),
		heavy: !h.Worst.State.OK(), host: &h}
	if t.Host != "" {
		r.address = style.Clean(t.Host)
	}
	if m.prop != nil {
		r.priority = fmt.Sprint(m.prop.Address.Priority)
	}
	return r
}

func (m Model) sourceRow(s traffic.Source) row {
	r := row{key: "source " + s.CID.String(), name: called(s.Name), address: s.Address, universes: s.Universes,
		standing: s.Standing, heavy: s.Rival, source: m.news.Report.Source(s.CID)}
	if s.Ours {
		r.name = "you, as heard"
	}
	switch {
	case !s.Heard:
		return r
	case !s.Live && m.listener != nil && !slices.ContainsFunc(s.Universes, m.listens):
		r.standing = "not joined"
	}
	r.priority = priorities(s.Low, s.High)
	r.twice, r.late = fmt.Sprint(s.Twice), fmt.Sprint(s.Late)
	if s.Live {
		r.rate, r.loss, r.jitter = fmt.Sprintf("%.1f", s.Rate), percentage(s.Loss), millis(s.Jitter)
	}
	if !s.Judged {
		r.twice, r.late, r.loss, r.jitter = traffic.Unknown, traffic.Unknown, traffic.Unknown, traffic.Unknown
	}
	return r
}

// listens reports whether a universe is among those listened to.
func (m Model) listens(u protocol.Universe) bool {
	return slices.Contains(m.news.Ours.Universes, u) || slices.Contains(m.more, u)
}

// called is a source's name in quotes, so that none can pass for one of ours.
func called(name string) string {
	if name = advice.Quoted(name); name == "" {
		return "(no name)"
	}
	return name
}

func priorities(low, high uint8) string {
	if low == high {
		return fmt.Sprint(low)
	}
	return fmt.Sprintf("%d-%d", low, high)
}

// percentage of a share; none at all is told from very little.
func percentage(share float64) string {
	switch {
	case share <= 0:
		return "0 %"
	case share < 0.01:
		return "<1 %"
	}
	return words.WholePercent(share)
}

func millis(d time.Duration) string {
	return fmt.Sprintf("%.1f ms", float64(d)/float64(time.Millisecond))
}

// details is all that is known of the chosen row, for wrapping.
func (m Model) details(r *row) string {
	if r.host != nil {
		h := r.host
		text := style.Clean(h.Worst.Sentence())
		where := r.address // "by multicast"
		if h.Worst.Target.Host != "" {
			where = "to " + where
		}
		text = fmt.Sprintf("You send %s %s. Since %s: %s; %d left", advice.Named(h.Universes), where, h.Worst.Since.Format("15:04:05"), text, h.Packets)
		if h.Refused > 0 {
			text += fmt.Sprintf(", %d came back as refused and were sent again", h.Refused)
		}
		return text + "."
	}
	s := r.source
	text := fmt.Sprintf("%s, CID %s, from %s, first heard %s.", r.name, s.CID, r.address, s.First.Format("15:04:05"))
	if st := m.detailed(s); st != nil {
		text += " " + streamDetails(st, m.news.Report.At)
	}
	if len(s.Listed) > 0 {
		text += " It announces " + advice.Named(s.Listed) + "."
	}
	return text
}

// detailed is the stream told at length: on the universe that is shown, else
// its first.
func (m Model) detailed(s *protocol.SourceReport) *protocol.StreamReport {
	if st := s.Stream(m.at()); st != nil || len(s.Streams) == 0 {
		return st
	}
	return &s.Streams[0]
}

func streamDetails(st *protocol.StreamReport, at time.Time) string {
	way := "unicast"
	if st.Multicast {
		way = "multicast"
	}
	if st.Interface != "" {
		way += " on " + style.Clean(st.Interface)
	}
	text := fmt.Sprintf("Universe %d by %s: %s of %s", st.Universe, way, words.Count(int(st.Packets), "packet"), words.Count(st.Slots, "slot"))
	if traffic.Judged(st) {
		text += fmt.Sprintf(", %d missing, %d twice, %d late; jitter %s.", st.Missing, st.Twice, st.Late, millis(st.Jitter))
	} else {
		text += ". Two senders have lately used one CID: their numbers, mixed, do not tell what is lost, late or twice."
	}
	if st.Jumps > 0 {
		text += fmt.Sprintf(" Its numbers began anew %d times.", st.Jumps)
	}
	if st.SyncAddress != 0 {
		text += fmt.Sprintf(" It waits for synchronization on universe %d.", st.SyncAddress)
	}
	if st.State != protocol.Live {
		text += " It " + goneWords(st, at) + "."
	}
	return text
}

func goneWords(st *protocol.StreamReport, at time.Time) string {
	if st.State == protocol.Lost || st.State == protocol.Unheard {
		return "has been " + traffic.Ago(st, at)
	}
	return traffic.Ago(st, at)
}
