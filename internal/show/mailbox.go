package show

// latest holds the newest value and forgets older ones. One goroutine takes;
// any may put, and none ever waits for another.
type latest[T any] chan T // made with room for one

func (c latest[T]) put(v T) {
	for {
		select {
		case c <- v:
			return
		default:
		}
		select {
		case <-c: // stale
		default:
		}
	}
}
