package checkout

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/protocol/link"
)

func TestNetworkTellsDarkPropsApart(t *testing.T) {
	p := prop.Porthole()
	st, err := strip.New(p, strip.Fault{Kind: strip.NoSupply})
	require.NoError(t, err)
	rows := []struct {
		name, source string
		links        []link.Status
		first        string
	}{
		{"refused", "RFC 792, type 3 code 3: nothing listens on the port",
			[]link.Status{{Target: link.Target{Universe: 1, Host: "127.0.0.1"}, State: link.Refused}}, "Nobody listens"},
		{"no way", "common practice",
			[]link.Status{{Target: link.Target{Universe: 1, Host: "127.0.0.1"}, State: link.Unresolved, Err: errors.New("no such host")}}, "The packets do not get"},
		{"silence proves nothing", "common practice",
			[]link.Status{{State: link.Sending}}, "The prop has no supply"},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			s, err := New(p, Options{})
			require.NoError(t, err)
			s.Hear(NetworkOf(r.links))
			finish(t, s, st)
			f := s.Findings()[0]
			require.NotEmpty(t, f.Causes)
			assert.Contains(t, f.Causes[0].Text, r.first, r.source)
			assert.Equal(t, f.Causes[0].Text, f.Title)
			assert.Greater(t, len(f.Causes), 5, "supply, wrong end, universe, open lead and more look the same")

			again, err := Restore(p, Options{}, s.Log())
			require.NoError(t, err)
			assert.Equal(t, s.Findings(), again.Findings(), "the log keeps what was heard")
		})
	}
}

func TestRivalIsNamedWhenItFlickers(t *testing.T) {
	p := prop.Porthole()
	st, err := strip.New(p, strip.Fault{Kind: strip.Flicker, Pixel: 30})
	require.NoError(t, err)
	s, err := New(p, Options{})
	require.NoError(t, err)
	s.Hear(Network{Rival: "porch"})
	finish(t, s, st)
	f := s.Findings()[0]
	assert.Contains(t, f.Causes[0].Text, `Another source, "porch"`)
	assert.Contains(t, f.Causes[1].Text, "comes and goes from pixel 31")
}
