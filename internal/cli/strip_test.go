package cli

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// A strip hears what its own prop file sends to this machine, unless told otherwise.
func TestAStripListensWhereItsFileSends(t *testing.T) {
	for _, row := range []struct {
		of            prop.Address
		iface, listen string
		want          string
	}{
		{prop.Address{Host: "127.0.0.1"}, "", "", "127.0.0.1:5568"},
		{prop.Address{Host: "127.0.0.1", Port: 5777}, "", "", "127.0.0.1:5777"},
		{prop.Address{Host: "127.0.0.9", Port: 5777}, "", "", "127.0.0.9:5777"},
		{prop.Address{Host: "10.1.2.3", Port: 5777}, "", "", "127.0.0.1:5777"},
		{prop.Address{Host: "harbour.local"}, "", "", "127.0.0.1:5568"},
		{prop.Address{}, "eth0", "", "0.0.0.0:5568"},
		{prop.Address{Host: "127.0.0.1", Port: 5777}, "", "127.0.0.1:0", "127.0.0.1:0"},
	} {
		got, err := (&stripFlags{iface: row.iface, listen: row.listen}).addr(row.of)
		require.NoError(t, err)
		require.Equal(t, row.want, got, "%+v", row)
	}
}
