package traffic

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/traffic"
)

// The large words are a warning as soon as one pixel is lit by another or by two, and not
// while we alone light the prop or no one does.
func TestLargeWordsWarn(t *testing.T) {
	for name, c := range map[string]struct {
		from []int
		want bool
	}{
		"ours":     {[]int{traffic.You, traffic.You}, false},
		"no one's": {[]int{traffic.No, traffic.No}, false},
		"another":  {[]int{traffic.You, 0}, true},
		"both":     {[]int{traffic.Merged, traffic.You}, true},
	} {
		m := Model{}
		for _, from := range c.from {
			m.light.Pixels = append(m.light.Pixels, traffic.Pixel{From: from})
		}
		assert.Equal(t, c.want, m.alarming(), name)
	}
}
