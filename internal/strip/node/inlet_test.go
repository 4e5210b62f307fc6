package node

import (
	"errors"
	"fmt"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A given port is tried once. For port 0 further ports are tried, up to mostPorts, and
// none after an error other than EADDRINUSE.
func TestOtherPortsAreTriedWhereAnyWillDo(t *testing.T) {
	inUse, other := fmt.Errorf("bind: %w", syscall.EADDRINUSE), errors.New("no such interface")
	for _, row := range []struct {
		name    string
		anyPort bool
		fails   []error // of the first tries
		tries   int
		want    error
	}{
		{"free", true, nil, 1, nil},
		{"named and taken", false, []error{inUse}, 1, inUse},
		{"taken twice", true, []error{inUse, inUse}, 3, nil},
		{"taken, then another error", true, []error{inUse, other}, 2, other},
		{"another error", true, []error{other}, 1, other},
	} {
		tries := 0
		got := tryPorts(row.anyPort, func() error {
			tries++
			if tries <= len(row.fails) {
				return row.fails[tries-1]
			}
			return nil
		})
		assert.Equal(t, row.want, got, row.name)
		assert.Equal(t, row.tries, tries, row.name)
	}
	tries := 0
	assert.Equal(t, inUse, tryPorts(true, func() error { tries++; return inUse }))
	assert.Equal(t, mostPorts, tries)
}
