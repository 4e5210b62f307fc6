package screen

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/protocol/link"
)

func TestStatusLinkWords(t *testing.T) {
	to := link.Target{Universe: 3, Host: "porch", Interface: "eth1"}
	for _, row := range []struct {
		s    link.Status
		want string
	}{
		{link.Status{Target: to}, "nothing sent yet"},
		{link.Status{Target: to, State: link.Sending}, "sending to porch"},
		{link.Status{Target: link.Target{Universe: 1}, State: link.Sending}, "sending to multicast"},
		{link.Status{Target: to, State: link.Refused}, "porch is there, but nothing listens on port 5568: is its E1.31 input on?"},
		{link.Status{Target: to, State: link.Unreachable}, "no way to porch: check cable, power and address"},
		{link.Status{Target: to, State: link.Unresolved}, "the name porch gives no address: check it, or type the address"},
		{link.Status{Target: to, State: link.NoInterface}, "interface eth1 is missing or down: choose another in Set-up"},
		{link.Status{Target: to, State: link.Failed, Err: errors.New("odd\x07")}, "sending to porch fails: odd"},
		{link.Status{Target: to, State: link.Failed}, "sending to porch fails"},
	} {
		assert.Equal(t, row.want, LinkWords(row.s))
	}
	ok, bad := link.Status{State: link.Sending}, link.Status{State: link.Refused}
	assert.Equal(t, bad, WorstLink([]link.Status{ok, bad, ok}))
	assert.Equal(t, ok, WorstLink([]link.Status{ok}))
	assert.Equal(t, link.Status{}, WorstLink(nil))
}
