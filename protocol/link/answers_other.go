//go:build !linux || portable

package link

import "syscall"

// hearAnswers does nothing: the system reports every error by default.
func hearAnswers(syscall.RawConn, bool) {}

// pending reports whether an error came back for an earlier packet.
func (w *wire) pending() bool { return len(w.heard) > 0 }

// answers takes the errors that reads have returned. A write may return one
// too.
func (w *wire) answers(list []answer) []answer {
	for {
		select {
		case a := <-w.heard:
			list = append(list, a)
		default:
			return list
		}
	}
}
