package screen

import (
	"net/netip"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/protocol/link"
)

func TestLinkLine(t *testing.T) {
	refused := link.Status{Target: link.Target{Universe: 3, Host: "po\x1brch"}, State: link.Refused, Dest: netip.MustParseAddrPort("192.0.2.5:5568")}
	assert.Equal(t, "no program listens at porch (192.0.2.5): the host answered port unreachable on port 5568", LinkLine(refused, 88))
	assert.Equal(t, "no program listens at porch (192.0.2.5)", LinkLine(refused, 87), "what is, where what it comes from does not fit")
	assert.Equal(t, "sending to multicast", LinkLine(link.Status{Target: link.Target{Universe: 1}, State: link.Sending}, 5), "no colon: all of it")
}

func TestWorstLink(t *testing.T) {
	ok, bad := link.Status{State: link.Sending}, link.Status{State: link.Refused}
	assert.Equal(t, bad, WorstLink([]link.Status{ok, bad, ok}))
	assert.Equal(t, ok, WorstLink([]link.Status{ok}))
	assert.Equal(t, link.Status{}, WorstLink(nil))
}
