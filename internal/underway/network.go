package underway

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// NetworkOf sums up the network path to a prop: the state of sending, and what was
// heard on its universes.
func NetworkOf(p *prop.Prop, links []link.Status, news traffic.News) checkout.Network {
	var ways []checkout.Link
	for _, l := range links {
		ways = append(ways, checkout.Link{OK: l.State.OK(), Refused: l.State == link.Refused, Says: l.Sentence()})
	}
	n := checkout.NetworkOf(ways)
	if n.Trouble == "" && loopsBack(p, news) {
		n.Refused = true
		n.Trouble = fmt.Sprintf("what is sent to %s comes back to this program, so nothing else listens there", protocol.Printable(p.Address.Host))
	}
	n.Rival = Rival(news)
	return n
}

// loopsBack reports whether our own unicast packets come back to this program. A
// unicast datagram reaches one socket of its host (see package port), so no prop
// receives it, unless it came as a copy.
func loopsBack(p *prop.Prop, news traffic.News) bool {
	return p.Address.Host != "" && slices.ContainsFunc(streams(news, true), func(s protocol.StreamReport) bool { return !s.Multicast && !s.Copied })
}

// Rival names another source that is live on one of our universes; empty for none.
func Rival(news traffic.News) string {
	if news.Report == nil {
		return ""
	}
	for _, s := range news.Report.Sources {
		if s.CID != news.Ours.CID && slices.ContainsFunc(s.Streams, func(st protocol.StreamReport) bool { return drives(st, news.Ours) }) {
			return nameOf(s)
		}
	}
	return ""
}

// drives reports whether a stream currently lights one of our universes.
func drives(st protocol.StreamReport, ours protocol.Ours) bool {
	return st.State == protocol.Live && !st.Preview && slices.Contains(ours.Universes, st.Universe)
}

// streams lists the streams of our own source, or of all others, that light one of our
// universes.
func streams(news traffic.News, own bool) (out []protocol.StreamReport) {
	if news.Report == nil {
		return nil
	}
	for _, s := range news.Report.Sources {
		if (s.CID == news.Ours.CID) != own {
			continue
		}
		for _, st := range s.Streams {
			if drives(st, news.Ours) {
				out = append(out, st)
			}
		}
	}
	return out
}

func nameOf(s protocol.SourceReport) string {
	if n := protocol.Printable(s.Name); n != "" {
		return n
	}
	return "a source without a name at " + s.From.Addr().String()
}
