package bench

import (
	"net/netip"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/underway"
)

// noListener reports whether the prop should be on this machine, and no prop listens
// there: the host refuses, or only this program has the port.
func (m Model) noListener() bool {
	p := m.status.ready.Prop
	if p == nil || m.status.ready.Demo || !m.status.any || !local(p.Address.Host) {
		return false
	}
	return underway.NetworkOf(p, m.status.snap.Links, m.status.news).Refused
}

// local reports whether a host is this machine itself.
func local(host string) bool {
	a, err := netip.ParseAddr(host)
	return host == "localhost" || err == nil && a.IsLoopback()
}

// offer is the key that helps there.
func (m Model) offer() string {
	if !m.canSimulate() {
		return " Start ringout strip, or give another host in Set-up."
	}
	return " " + m.opt.Style.Accent.Render("I") + " imitates it here."
}

// canSimulate reports whether I does anything now.
func (m Model) canSimulate() bool {
	return m.opt.Simulate != nil && !m.connecting && (m.simulated || m.noListener())
}

// simulate puts a simulated prop under the bench, or takes it away again. What it
// is found to be is no record of the real prop, so the bench forgets the file
// meanwhile.
func (m Model) simulate() (Model, tea.Cmd) {
	p := m.status.ready.Prop
	m.simulated = !m.simulated
	m.opt.Simulate(m.simulated)
	if m.simulated {
		m.path, m.real = "", m.path
	} else {
		m.path = m.real
	}
	m.connecting, m.trouble = true, ""
	return m, m.use(p)
}
