package screen

import tea "github.com/charmbracelet/bubbletea"

// Waiting is a command that does work. Once work calls its argument, as it has
// to wait for another program, the message waits is sent ahead of its own.
func Waiting(work func(waits func()) tea.Msg, waits tea.Msg) tea.Cmd {
	held := make(chan struct{}, 1)
	done := func() tea.Msg {
		defer close(held)
		return work(func() {
			select {
			case held <- struct{}{}:
			default: // it is said already
			}
		})
	}
	said := func() tea.Msg {
		if _, ok := <-held; ok {
			return waits
		}
		return nil
	}
	return tea.Batch(done, said)
}
