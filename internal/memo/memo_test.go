package memo

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A value is made for the first key, for another key and for one that comes back, and for no
// key twice in a row, the zero key too.
func TestLast(t *testing.T) {
	var m Last[int, string]
	made := []int{}
	for _, k := range []int{0, 0, 1, 1, 0} {
		got := m.Get(k, func() string {
			made = append(made, k)
			return string(rune('a' + k))
		})
		assert.Equal(t, string(rune('a'+k)), got)
	}
	assert.Equal(t, []int{0, 1, 0}, made)
}
