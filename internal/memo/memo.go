// Package memo keeps the last value that was worked out, so that a page which is drawn again
// with every frame works it out only when something differs.
package memo

// A Last is what was made of a key last. The zero value is empty; one goroutine uses it.
type Last[K comparable, V any] struct {
	Is   V // the value, which may be changed where it hangs on more than its key
	of   K
	made bool
}

// Get is what make makes of a key, made again only when the key differs.
func (m *Last[K, V]) Get(of K, make func() V) V {
	if !m.made || m.of != of {
		*m = Last[K, V]{make(), of, true}
	}
	return m.Is
}
