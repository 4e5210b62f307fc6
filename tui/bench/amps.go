package bench

import (
	"fmt"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
)

// litByOthers is how the prop is lit where another source lights some of it: what we send then does
// not tell what the supply gives.
type litByOthers struct {
	some bool    // another source lights some of it
	all  bool    // we light none of it
	amps float64 // of the light that the prop shows
}

// heard is the status after what was heard.
func (s status) heard(n traffic.News) status {
	s.news, s.lit = n, litByOthers{}
	p := s.ready.Prop
	if p == nil || n.Report == nil {
		return s
	}
	patch, err := prop.PatchFor(p)
	if err != nil { // the show has refused it
		return s
	}
	var sent patterns.Frame
	if s.any && len(s.snap.Sent) == p.Pixels() {
		sent = s.snap.Sent
	}
	light := traffic.LightOf(patch, p.Chip.Order, n.Report, n.Ours, sent)
	s.lit.some = len(light.Sources) > 0 || light.Count(traffic.Merged) > 0
	s.lit.all = light.Count(traffic.You) == 0 && light.Count(traffic.Merged) == 0
	s.lit.amps = power.FrameAmps(p.Chip, light.Shown())
	return s
}

// current is the current of what the prop shows, as far as it is known.
func (m Model) current() float64 {
	if m.status.lit.some {
		return m.status.lit.amps
	}
	return m.status.snap.Amps
}

// amps is the current, and the supply's continuous limit: its rating times the share for
// continuous load. Others may go beyond it: nothing holds their light.
func (m Model) amps(short bool) string {
	s, supply, amps := m.status.snap, m.status.ready.Prop.Supply, m.current()
	text := fmt.Sprintf("about %s", words.Amps(amps))
	switch {
	case s.MaxAmps > 0 && short:
		text = "~" + words.Figure(amps) + " of " + words.Amps(s.MaxAmps)
	case s.MaxAmps > 0:
		text = fmt.Sprintf("about %s of %s (%s of the supply's %s)", words.Amps(amps), words.Amps(s.MaxAmps), words.WholePercent(s.MaxAmps/supply.Amps), words.Given(supply.Amps, "A"))
	}
	return m.alarm() + text + m.by(short)
}

// bareAmps is the current in few cells.
func (m Model) bareAmps() string { return m.alarm() + "~" + words.Amps(m.current()) + m.by(true) }

// alarm says that we light less than is wanted, or others more than is good; empty for neither.
func (m Model) alarm() string {
	s := m.status.snap
	switch {
	case m.status.lit.some && s.MaxAmps > 0 && m.current() > s.MaxAmps:
		return m.opt.Style.Warn.Render("OVER ")
	case !m.status.lit.some && s.Limited:
		return m.opt.Style.Warn.Render("LIMITED ")
	}
	return ""
}

// by says whose light the current is of; empty where it is ours alone.
func (m Model) by(short bool) string {
	switch {
	case !m.status.lit.some:
		return ""
	case m.status.lit.all && short:
		return " by others"
	case m.status.lit.all:
		return ", lit by others"
	case short:
		return " with others"
	}
	return ", lit by others too"
}
