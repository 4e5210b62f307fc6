package bench

import (
	"net/netip"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/underway"
)

// noListener reports whether the prop's host is this machine and no prop listens there:
// the host refuses, or only this program has the port.
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

// offer is the hint to the key that simulates the prop then.
func (m Model) offer() string {
	if !m.canSimulate() {
		return " Start ringout strip, or give another host in Set-up."
	}
	return " " + m.opt.Style.Accent.Render("I") + " simulates it here."
}

// canSimulate reports whether the key I has an effect now.
func (m Model) canSimulate() bool {
	return m.opt.Simulate != nil && !m.connecting && (m.simulated || m.noListener())
}

// simulate connects a simulated prop, or the real one again. Findings of the simulated
// prop must not go into the real one's record, so the bench drops its path meanwhile.
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
