package checkout

import (
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A check-out of 10,000 pixels begins within 200 MB: all that a process of its
// own has asked the system for by then.
func TestALongPropFitsInMemory(t *testing.T) {
	const env = "RINGOUT_LONG_PROP"
	if os.Getenv(env) != "" {
		s, err := New(ringProp("four rings", 2500, 2500, 2500, 2500), Options{})
		require.NoError(t, err)
		_, ok := s.Next()
		require.True(t, ok)
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		fmt.Printf("\nSYS %d\n", m.Sys)
		return
	}
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self, "-test.run=^TestALongPropFitsInMemory$")
	cmd.Env = append(os.Environ(), env+"=1")
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", out)
	var sys int
	for line := range strings.SplitSeq(string(out), "\n") {
		_, _ = fmt.Sscanf(line, "SYS %d", &sys) // other lines are not it
	}
	t.Logf("%d MB", sys>>20)
	require.Positive(t, sys, "%s", out)
	require.LessOrEqual(t, sys, 200<<20)
}
