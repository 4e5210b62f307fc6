package light

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/patterns"
)

// Every pattern has a number key, and the hint names as many.
func TestNumberKeysOfPatterns(t *testing.T) {
	k := newKeys()
	assert.GreaterOrEqual(t, len(k.Pick.Keys()), len(patterns.All()))
	assert.Equal(t, "1-9", k.Pick.Help().Key, "nine patterns; with a tenth the hint has 0 too")
}
