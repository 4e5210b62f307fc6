package light

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/patterns"
)

// Every pattern has a number key, and the hint names as many.
func TestNumberKeysOfPatterns(t *testing.T) {
	k := newKeys()
	assert.GreaterOrEqual(t, len(k.Pick.Keys()), len(patterns.All()), "there is no key for an eleventh pattern")
	assert.Equal(t, numberKeys(len(patterns.All())), k.Pick.Help().Key)
	for n, want := range map[int]string{8: "1-8", 9: "1-9", 10: "1-9 0"} {
		assert.Equal(t, want, numberKeys(n))
	}
}
