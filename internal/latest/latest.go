// Package latest hands the newest value from one goroutine to another.
package latest

// A Value is a channel with room for one value, where a newer one takes the
// place of the one that was not taken yet. One goroutine takes; any may put,
// and none ever waits for another.
type Value[T any] chan T

// New is an empty one.
func New[T any]() Value[T] { return make(Value[T], 1) }

// Put leaves v for the one who takes.
func (c Value[T]) Put(v T) {
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
