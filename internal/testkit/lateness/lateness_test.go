//go:build unix

package lateness

import (
	"fmt"
	"os"
	"os/exec"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A stopped process measures how long it was stopped. The kernel stops it, and this
// test's clock gives the true length.
func TestAStoppedProcessKnows(t *testing.T) {
	if os.Getenv("RINGOUT_TEST_ROLE") == "held up" {
		m := Watch(t)
		fmt.Println("here")
		fmt.Scanln()
		fmt.Println(m.Worst().Microseconds(), m.Total().Microseconds())
		return
	}
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self, "-test.run=^TestAStoppedProcessKnows$")
	cmd.Env = append(os.Environ(), "RINGOUT_TEST_ROLE=held up")
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	var word string
	fmt.Fscanln(out, &word)
	require.Equal(t, "here", word)

	var stood []time.Duration
	start := time.Now()
	for _, d := range []time.Duration{150 * time.Millisecond, 50 * time.Millisecond} {
		began := time.Now()
		require.NoError(t, cmd.Process.Signal(syscall.SIGSTOP))
		time.Sleep(d)
		stood = append(stood, time.Since(began))
		require.NoError(t, cmd.Process.Signal(syscall.SIGCONT))
		time.Sleep(50 * time.Millisecond)
	}
	fmt.Fprintln(in)
	var worst, total int64
	_, err = fmt.Fscanln(out, &worst, &total)
	require.NoError(t, err)
	require.NoError(t, cmd.Wait())
	assert.LessOrEqual(t, total, time.Since(start).Microseconds()+usual.Microseconds())
	const heard = 10 * time.Millisecond // the stop falls into its sleep, and takes a moment to be heard
	assert.GreaterOrEqual(t, worst, (stood[0] - heard).Microseconds(), "stood %v", stood)
	assert.GreaterOrEqual(t, total, (stood[0] + stood[1] - 2*heard).Microseconds(), "stood %v", stood)
}

// A delay that is normal on any system does not count.
func TestUsualIsNotLate(t *testing.T) {
	now := time.Now().Add(time.Hour) // so that asking adds nothing
	m := &Meter{before: now}
	late := func(d time.Duration) {
		now = now.Add(nap + d)
		m.look(now)
	}
	late(usual - 1)
	assert.Zero(t, m.Total())
	late(usual)
	late(5 * usual)
	late(2 * usual)
	assert.Equal(t, 5*usual, m.Worst())
	assert.Equal(t, 8*usual, m.Total())
}
