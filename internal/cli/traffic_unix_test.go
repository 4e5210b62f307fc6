//go:build unix

package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/lateness"
)

// promised is the time limit for a problem with a host to be on the screen: 1 s, and
// 0.5 s for a busy machine.
const promised = time.Second + time.Second/2

// A host where no program listens is reported within a second, and the Traffic screen
// explains it.
func TestTrafficTellsOfARefusingHost(t *testing.T) {
	text := strings.Replace(prop.DemoFile("porthole"), `host     = "127.0.0.1"`, "host = \"127.0.0.1\"\nport = "+freePort(t), 1)
	file := filepath.Join(t.TempDir(), "prop.toml")
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	term := start(t, file)
	term.see("Fuse")
	began, late := time.Now(), lateness.Watch(t)
	term.press("\r")
	term.see("no program listens at 127.0.0.1")
	assert.Less(t, time.Since(began), promised+late.Total())
	toTraffic(term)
	term.see("No program listens at 127.0.0.1: the host answered port") // the line may end here
	term.press("q")
	require.NoError(t, term.left())
}

// toTraffic turns the pages until the traffic screen is shown.
func toTraffic(term *terminal) {
	term.t.Helper()
	for range 8 {
		if strings.Contains(term.drawn(), "● Traffic") {
			return
		}
		term.press("\t")
		time.Sleep(200 * time.Millisecond)
	}
	term.see("● Traffic")
}
