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
		if !s.Ours || m.ownNews(s) {
			rows = append(rows, m.sourceRow(s))
		}
	}
	sorting.Stable(rows, func(a, b row) int { return rank(a) - rank(b) })
	return rows
}

// ownNews reports whether what is heard of our own packets says more than the rows of the
// hosts: some are lost, late or come twice.
func (m Model) ownNews(s traffic.Source) bool {
	return s.Heard && (m.prop == nil || s.Live && wireTrouble(s) != "" || len(m.snap.Links) == 0)
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
	text := fmt.Sprintf("You send %s %s.", advice.Named(h.Universes), to)
	if m.prop != nil {
		text = m.hostOnProp(h, to)
	}
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
	switch {
	case s.Ours: // how often we send stands with the host
		return fmt.Sprintf("%s: %s at priority %s.%s %s", who, us, priorities(s.Low, s.High), wireTrouble(s), followers(s.Treatments, it))
	case m.prop != nil:
		return m.sourceOnProp(s, from)
	}
	return fmt.Sprintf("%s sends %s at priority %s. %s%s", who, us, priorities(s.Low, s.High), followers(s.Treatments, it), wireTrouble(s))
}

// wireTrouble is what is wrong with a source's packets on their way, as a further sentence; empty
// where nothing is.
func wireTrouble(s traffic.Source) string {
	if !s.Judged {
		return " Two senders use one CID, so what is lost is not known."
	}
	var parts []string
	if s.Loss > 0 {
		parts = append(parts, percentage(s.Loss)+" of its packets are lost")
	}
	if s.Twice > 0 {
		parts = append(parts, fmt.Sprintf("%d came twice", s.Twice))
	}
	if s.Late > 0 {
		parts = append(parts, fmt.Sprintf("%d came late", s.Late))
	}
	if len(parts) == 0 {
		return ""
	}
	return " " + words.Sentence(words.Capital(words.And(parts)))
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
		text := fmt.Sprintf("Since %s: %s; %s, %s sent", h.Worst.Since.Format("15:04:05"), style.Clean(h.Worst.Sentence()), perSecond(h.Rate/float64(len(h.Universes))), words.Count(int(h.Packets), "packet"))
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
	text := fmt.Sprintf("Universe %d comes by %s, %s, %s of %s", st.Universe, way, perSecond(st.Rate), words.Count(int(st.Packets), "packet"), words.Count(st.Slots, "slot"))
	if traffic.Judged(st) {
		text += figures(st) + "."
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

// uneven is the jitter from which on it is said: light that changes 44 times a second has
// 23 ms a frame, and a fifth of that may be seen in a slow fade (common practice).
const uneven = 5 * time.Millisecond

// figures are those of a stream that say something: none that is zero.
func figures(st *protocol.StreamReport) (text string) {
	for _, f := range []struct {
		n    uint64
		what string
	}{{st.Missing, "missing"}, {st.Twice, "twice"}, {st.Late, "late"}} {
		if f.n > 0 {
			text += fmt.Sprintf(", %d %s", f.n, f.what)
		}
	}
	if st.Missing == 0 {
		text = ", none missing" + text
	}
	if st.Jitter >= uneven {
		text += "; jitter " + millis(st.Jitter)
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
// empty row between entries as far as there are free ones.
func (m Model) listLines(width, height int) []string {
	if len(m.rows) == 0 {
		return indented("No other source is heard.", width)
	}
	blocks := make([][]string, len(m.rows))
	all := len(blocks) - 1
	for i := range m.rows {
		blocks[i] = m.block(i, width)
		all += len(blocks[i])
	}
	if all <= height {
		return joined(blocks, height)
	}
	first, used := max(0, m.row), 0
	for i := first; i >= 0; i-- { // as many before the chosen one as leave it whole
		if used += len(blocks[i]); used > height-1 && i < max(0, m.row) {
			break
		}
		first = i
	}
	blocks = blocks[first:]
	used = 0
	for i, b := range blocks {
		if more := len(blocks) - i; used+len(b) > height-min(1, more-1) && i > 0 && i > m.row-first {
			below := "  " + m.style.More(fmt.Sprintf("… %d more below", more), "↓")
			blocks = append(blocks[:i:i], []string{below})
			if free := height - used - 2; free >= 0 && free < i { // a row apart from the text, which no other free one is
				blocks[i] = []string{"", below}
			}
			break
		}
		used += len(b)
	}
	return joined(blocks, height)
}

// joined are blocks one below the other in at most height rows, with an empty row between
// two as far as there are free ones, from the top on.
func joined(blocks [][]string, height int) (lines []string) {
	free := height
	for _, b := range blocks {
		free -= len(b)
	}
	for i, b := range blocks {
		if i > 0 && free > 0 {
			lines = append(lines, "")
			free--
		}
		lines = append(lines, b...)
	}
	return lines[:min(len(lines), max(0, height))]
}

// block is one entry of the list, wrapped, with its details where it is chosen.
func (m Model) block(i, width int) []string {
	r, chosen := &m.rows[i], i == m.row
	mark, look := m.rowMark(r, chosen)
	in := strings.Repeat(" ", style.Width(mark))
	var out []string
	for _, l := range style.Wrap(r.text, width-1-len(in)) {
		out = append(out, mark+look(l))
		mark = in
	}
	if !chosen {
		return out
	}
	for _, l := range style.Wrap(m.details(r), width-1-len(in)) {
		out = append(out, in+l)
	}
	if m.needsCID(r.source) { // on a line of its own, so that it is not broken
		out = append(out, in+"CID "+r.source.CID.String())
	}
	return out
}

// rowMark is what stands before an entry, and how its text looks. On the bench of a prop the sign of
// who lights it is there.
func (m Model) rowMark(r *row, chosen bool) (mark string, look func(string) string) {
	look = func(s string) string { return m.style.Strong.Render(s) }
	switch {
	case chosen:
		mark = m.style.AccentSign().Render("▸")
	case r.heavy:
		mark = m.style.Warn.Render("!")
	default:
		mark, look = " ", func(s string) string { return s }
	}
	if m.prop == nil {
		return mark + look(" "), look
	}
	return mark + look(" "+m.rowSign(r)+"  "), look
}

// rowSign is the sign of who lights pixels by what the row is about.
func (m Model) rowSign(r *row) string {
	switch {
	case r.source != nil:
		return m.signFor(r.source.CID)
	case r.host.Worst.State.OK() && m.light.Count(traffic.You) > 0:
		return youSign
	}
	return " "
}

// needsCID reports whether only its CID tells a source from the others: it has no name, or
// another has the same.
func (m Model) needsCID(s *protocol.SourceReport) bool {
	if s == nil {
		return false
	}
	if s.Name == "" {
		return true
	}
	same := 0
	for i := range m.news.Report.Sources {
		if m.news.Report.Sources[i].Name == s.Name {
			same++
		}
	}
	return same > 1
}
