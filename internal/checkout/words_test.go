package checkout

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// TestEveryKindHasItsOwnWords: no kind of question is asked in the words of
// another, or in none.
func TestEveryKindHasItsOwnWords(t *testing.T) {
	s, err := New(prop.Porthole(), Options{})
	require.NoError(t, err)
	seen := map[string]Kind{noWords: "none"}
	for _, k := range Kinds() {
		q := s.field.question(&Spec{Kind: k, Base: HueRed})
		require.Empty(t, seen[q], "%s: %s", k, q)
		seen[q] = k
	}
}
