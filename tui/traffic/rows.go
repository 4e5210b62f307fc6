package traffic

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/internal/words"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/style"
)

// A row is one entry of the list: a host we send to, or a source that is heard.
type row struct {
	key       string // identifies it, so that it stays chosen when the list changes
	text      string // its state, in a sentence or two
	universes []protocol.Universe
	heavy     bool // has a problem
	source    *protocol.SourceReport
	host      *traffic.Host
}

// makeRows lists the hosts we send to, then the sources heard; rows with a problem come
// first.
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
	to := "by multicast"
	if t.Host != "" {
		to = "to " + style.Clean(t.Host)
	}
	text := fmt.Sprintf("You send %s %s", advice.Named(h.Universes), to)
	if m.prop != nil {
		text += fmt.Sprintf(" at priority %d", m.prop.Address.Priority)
	}
	text += fmt.Sprintf(", %s.", perSecond(h.Rate/float64(len(h.Universes))))
	if !h.Worst.State.OK() {
		text += " " + words.Sentence(style.Clean(h.Worst.Sentence()))
	}
	return row{key: fmt.Sprintf("host %q %q %d", t.Host, t.Interface, t.Port), text: text, universes: h.Universes, heavy: !h.Worst.State.OK(), host: &h}
}

func (m Model) sourceRow(s traffic.Source) row {
	from := m.news.Report.Source(s.CID)
	return row{key: "source " + s.CID.String(), text: style.Clean(m.sourceWords(s, from)), universes: s.Universes, heavy: s.Rival, source: from}
}

// sourceWords describe a source and how receivers treat it.
func (m Model) sourceWords(s traffic.Source, from *protocol.SourceReport) string {
	who, it := advice.Capital(advice.Called(from)), "it"
	if s.Ours {
		who, it = "Your own packets, heard from "+s.Address, "them"
	}
	us := advice.Named(s.Universes)
	switch {
	case !s.Heard && len(s.Universes) > 0:
		return fmt.Sprintf("%s announces %s; none of it is heard here.", who, us)
	case !s.Heard:
		return who + " has sent nothing yet."
	case !s.Live && m.listener != nil && !slices.ContainsFunc(s.Universes, m.listens):
		return fmt.Sprintf("%s sent %s, not joined now.", who, us)
	case !s.Live:
		return fmt.Sprintf("%s sent %s: %s.", who, us, s.Standing)
	}
	if s.Ours { // how often we send stands in the row of the host
		return fmt.Sprintf("%s: %s at priority %s%s. %s", who, us, priorities(s.Low, s.High), fate(s), followers(s.Treatments, it))
	}
	return fmt.Sprintf("%s sends %s at priority %s, %s%s. %s", who, us, priorities(s.Low, s.High), perSecond(s.Rate), fate(s), followers(s.Treatments, it))
}

// fate is the losses and the timing of a source's packets, in words.
func fate(s traffic.Source) string {
	if !s.Judged {
		return "; two senders use one CID, so what is lost is not known"
	}
	text := ", none lost"
	if s.Loss > 0 {
		text = fmt.Sprintf(", %s lost", percentage(s.Loss))
	}
	if s.Twice > 0 {
		text += fmt.Sprintf(", %d twice", s.Twice)
	}
	if s.Late > 0 {
		text += fmt.Sprintf(", %d late", s.Late)
	}
	return text
}

// followers describe the receivers that follow a live source.
func followers(t traffic.Treatments, it string) string {
	some := func(n int) string {
		if n == t.Live {
			return ""
		}
		return fmt.Sprintf(" on %d of %d universes", n, t.Live)
	}
	switch {
	case t.Preview == t.Live:
		return "It is for preview only: strips leave it out."
	case t.Tied > 0:
		return fmt.Sprintf("Receivers may merge %s with others of that priority%s.", it, some(t.Tied))
	case t.Followed > 0:
		return fmt.Sprintf("Receivers follow %s%s.", it, some(t.Followed))
	}
	return fmt.Sprintf("Receivers do not follow %s.", it)
}

// perSecond is a rate in whole packets.
func perSecond(rate float64) string { return fmt.Sprintf("%.0f times a second", rate) }

// listens reports whether a universe is among those listened to.
func (m Model) listens(u protocol.Universe) bool {
	return slices.Contains(m.news.Ours.Universes, u) || slices.Contains(m.more, u)
}

func priorities(low, high uint8) string {
	if low == high {
		return fmt.Sprint(low)
	}
	return fmt.Sprintf("%d to %d", low, high)
}

// percentage is a share in per cent; 0 and very small shares differ.
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

// details are further sentences on the chosen row.
func (m Model) details(r *row) string {
	if r.host != nil {
		h := r.host
		text := fmt.Sprintf("Since %s: %s; %s sent", h.Worst.Since.Format("15:04:05"), style.Clean(h.Worst.Sentence()), words.Count(int(h.Packets), "packet"))
		if h.Refused > 0 {
			text += fmt.Sprintf(", %d came back as refused and were sent again", h.Refused)
		}
		return text + "."
	}
	s := r.source
	text := fmt.Sprintf("First heard at %s.", s.First.Format("15:04:05"))
	if st := m.detailed(s); st != nil {
		text += " " + streamDetails(st, m.news.Report.At)
	}
	if len(s.Listed) > 0 {
		text += " It announces " + advice.Named(s.Listed) + "."
	}
	return text
}

// detailed is the stream that details describe: the one on the universe shown, else the
// first.
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
		text += ". Two senders have recently used one CID: their numbers, mixed, do not tell what is lost, late or twice."
	}
	if st.Jumps > 0 {
		text += fmt.Sprintf(" Its numbers began again %s.", words.Count(int(st.Jumps), "time"))
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

// listLines are the list with the details of the chosen row, as far as they fit, with an
// empty row between entries if all fit.
func (m Model) listLines(width, height int) []string {
	if len(m.rows) == 0 {
		return indented("Nobody else is heard.", width)
	}
	blocks := make([][]string, len(m.rows))
	all := 0
	for i := range m.rows {
		blocks[i] = m.block(i, width)
		all += len(blocks[i]) + 1
	}
	gap := []string{""}
	if all-1 > height {
		gap = nil
	}
	first, used := max(0, m.row), 0
	for i := first; i >= 0; i-- { // as many before the chosen one as leave it whole
		if used += len(blocks[i]) + len(gap); used-len(gap) > height-1 && i < max(0, m.row) {
			break
		}
		first = i
	}
	var lines []string
	for i := first; i < len(blocks); i++ {
		if i > first {
			lines = append(lines, gap...)
		}
		if more := len(blocks) - i; len(lines)+len(blocks[i]) > height-min(1, more-1) && i > max(0, m.row) {
			return append(lines, m.style.Quiet.Render(fmt.Sprintf("  … %d more below: ↓", more)))
		}
		lines = append(lines, blocks[i]...)
	}
	return lines[:min(len(lines), max(0, height))]
}

// block is one entry of the list, wrapped, with its details where it is chosen.
func (m Model) block(i, width int) []string {
	r := &m.rows[i]
	chosen := i == m.row
	mark, look := "  ", func(s string) string { return s }
	switch {
	case chosen:
		mark, look = "▸ ", func(s string) string { return m.style.Accent.Render(s) }
	case r.heavy:
		mark, look = "! ", func(s string) string { return m.style.Strong.Render(s) }
	}
	var out []string
	for _, l := range style.Wrap(r.text, width-3) {
		out = append(out, look(mark+l))
		mark = "  "
	}
	if chosen {
		for _, l := range style.Wrap(m.details(r), width-5) {
			out = append(out, strings.Repeat(" ", 4)+l)
		}
		if r.source != nil { // on a line of its own, so that it is not broken
			out = append(out, "    CID "+r.source.CID.String())
		}
	}
	return out
}
