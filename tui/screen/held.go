package screen

import tea "github.com/charmbracelet/bubbletea"

// Waiting is a command that does work. When work calls its argument, because it must wait
// for another program, the message waits is sent before the result.
func Waiting(work func(waits func()) tea.Msg, waits tea.Msg) tea.Cmd {
	held := make(chan struct{}, 1)
	done := func() tea.Msg {
		defer close(held)
		return work(func() {
			select {
			case held <- struct{}{}:
			default: // sent before
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
