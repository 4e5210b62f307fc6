package node

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// Without Options.Addr a node listens where its prop file sends to, if that is this
// machine.
func TestANodeListensWhereItsPropIsSent(t *testing.T) {
	for _, row := range []struct {
		of     prop.Address
		groups bool
		want   string
	}{
		{prop.Address{Host: "127.0.0.1"}, false, "127.0.0.1:5568"},
		{prop.Address{Host: "127.0.0.1", Port: 5777}, false, "127.0.0.1:5777"},
		{prop.Address{Host: "127.0.0.9", Port: 5777}, false, "127.0.0.9:5777"},
		{prop.Address{Host: "10.1.2.3", Port: 5777}, false, "127.0.0.1:5777"},
		{prop.Address{Host: "harbour.local"}, false, "127.0.0.1:5568"},
		{prop.Address{}, true, "0.0.0.0:5568"},
	} {
		require.Equal(t, row.want, usualAddr(row.of, row.groups).String(), "%+v", row)
	}
}
