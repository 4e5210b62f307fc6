package link

import (
	"fmt"
	"sync"
	"time"
)

// keptEvents is how many events a sender or listener remembers.
const keptEvents = 64

// sameEvent is the time within which two events with the same words count as
// one.
const sameEvent = 2 * time.Second

// An Event is a change of the network, in words.
type Event struct {
	At   time.Time
	Text string
}

// String is the time of day and the words.
func (e Event) String() string { return e.At.Format("15:04:05") + " " + e.Text }

// events keeps the newest events.
type events struct {
	mu   sync.Mutex
	list []Event // oldest first
}

// add keeps an event. A repeat of a recent one is left out: one unplugged cable
// gives the same event for every host behind it.
func (l *events) add(e Event) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for i := len(l.list) - 1; i >= 0 && e.At.Sub(l.list[i].At) < sameEvent; i-- {
		if l.list[i].Text == e.Text {
			return
		}
	}
	if len(l.list) == keptEvents {
		copy(l.list, l.list[1:])
		l.list = l.list[:keptEvents-1]
	}
	l.list = append(l.list, e)
}

func (l *events) all() []Event {
	l.mu.Lock()
	defer l.mu.Unlock()
	return append([]Event(nil), l.list...)
}

func (s *Sender) event(format string, args ...any) {
	s.log.add(Event{At: time.Now(), Text: fmt.Sprintf(format, args...)})
}

// Events is what happened to the network recently, oldest first.
func (s *Sender) Events() []Event { return s.log.all() }
