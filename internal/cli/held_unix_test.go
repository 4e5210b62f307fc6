//go:build unix

package cli

import (
	"os"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/testkit/striptest"
)

// If another program has locked the record, the bench says at once what it waits for.
// Every way to leave ends the wait, turns the prop off and keeps the note.
func TestBenchSaysThatItWaitsForTheRecord(t *testing.T) {
	for name, road := range map[string]func(*terminal){
		"q": func(r *terminal) {
			r.press("q")
			r.see("has unsaved changes")
			r.press("q")
		},
		"Ctrl-C":  func(r *terminal) { r.press("\x03\x03") },
		"SIGTERM": func(r *terminal) { r.cmd.Process.Signal(syscall.SIGTERM) },
		"SIGHUP":  func(r *terminal) { r.cmd.Process.Signal(syscall.SIGHUP) },
	} {
		t.Run(name, func(t *testing.T) {
			n, p := startNode(t, prop.Porthole())
			term, held := waiting(t, p)
			road(term)
			term.left()
			striptest.WaitEnded(t, n)
			striptest.WaitDark(t, n)
			text, err := os.ReadFile(held.Name())
			require.NoError(t, err)
			assert.Empty(t, text)
			if strings.HasPrefix(name, "SIG") { // those who press keys were asked
				kept, err := os.ReadFile(held.Name() + ".unsaved")
				require.NoError(t, err)
				assert.Contains(t, string(kept), "joint warm")
			}
		})
	}
}

// waiting is a bench whose note waits for a record that is held.
func waiting(t *testing.T, p *prop.Prop) (*terminal, *os.File) {
	t.Helper()
	file, term := benchOn(t, p)
	held, err := os.OpenFile(record.Beside(file).Path, os.O_RDWR|os.O_CREATE, 0o600)
	require.NoError(t, err)
	t.Cleanup(func() { held.Close() })
	require.NoError(t, unix.Flock(int(held.Fd()), unix.LOCK_EX))
	term.see("Expected")
	term.press("\t\t\t")
	term.see("Bench record")
	term.press("n")
	term.press("joint warm\r")
	term.see("WAITING") // the sentence may be wrapped
	return term, held
}

func TestNoteIsRecordedOnceTheRecordIsFree(t *testing.T) {
	_, p := startNode(t, prop.Porthole())
	term, held := waiting(t, p)
	require.NoError(t, unix.Flock(int(held.Fd()), unix.LOCK_UN))
	term.see("Recorded in")
	term.press("q")
	require.NoError(t, term.left())
	text, err := os.ReadFile(held.Name())
	require.NoError(t, err)
	assert.Contains(t, string(text), "joint warm")
}
