//go:build !linux || portable

package link

import "syscall"

// hearAnswers does nothing: the system reports everything unasked.
func hearAnswers(syscall.RawConn, bool) {}

// pending says that something came back.
func (w *wire) pending() bool { return len(w.heard) > 0 }

// answers takes everything that came back through reads. A write may return an
// answer too.
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
