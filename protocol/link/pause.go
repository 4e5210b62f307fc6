package link

import "context"

// Pause ends the stream of every universe as Close does: black, then three
// packets with Stream_Terminated (6.2.6), then silence, universe discovery
// included. The sender stays open, and slots put meanwhile wait. With false the
// streams begin again with the newest slots. It never blocks and may be called
// from any goroutine.
func (s *Sender) Pause(on bool) {
	s.mu.Lock()
	s.pause = on
	s.mu.Unlock()
	s.alarm.ring()
}

// rest carries out Pause. Only the sender's goroutine calls it.
func (s *Sender) rest() {
	s.mu.Lock()
	want := s.pause
	s.mu.Unlock()
	switch {
	case want == s.silent.Load():
	case want:
		s.terminate(context.Background())
		for _, st := range s.streams {
			st.used, st.changed, st.repeats = false, false, 0
		}
		s.silent.Store(true)
	default:
		s.silent.Store(false)
		s.unsent = nil
		s.putAgain()
	}
}

// putAgain sends the newest slots of every universe as if just put.
func (s *Sender) putAgain() {
	s.mu.Lock()
	defer s.mu.Unlock()
	for i, slots := range s.inbox {
		if slots != nil {
			s.fresh[i], s.any = true, true
		}
	}
}
