package light

// A memo is what was made of a key last.
type memo[K comparable, V any] struct {
	of   K
	is   V
	made bool
}

// get is what is made of a key, made again only when the key differs.
func (m *memo[K, V]) get(of K, make func() V) V {
	if !m.made || m.of != of {
		*m = memo[K, V]{of, make(), true}
	}
	return m.is
}
