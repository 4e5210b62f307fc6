package link

import (
	"net/netip"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A status has a sentence in every state, with its destination, whether or not
// the error that led to it is known.
func TestSentencesWithoutAnError(t *testing.T) {
	dest := netip.MustParseAddrPort("192.0.2.9:5568")
	for state := Starting; state <= Unreachable+8; state++ {
		assert.Contains(t, Status{State: state, Target: Target{Host: "192.0.2.9"}, Dest: dest}.Sentence(), "192.0.2.9", "state %d", state)
	}
}
