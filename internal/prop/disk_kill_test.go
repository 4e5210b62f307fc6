package prop

import (
	"fmt"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A program killed at any moment while it saves leaves one of the good texts,
// never a piece of one.
func TestKilledWhileSaving(t *testing.T) {
	const child = "RINGOUT_TEST_SAVE_FOREVER"
	if path := os.Getenv(child); path != "" {
		saveForever(path)
	}
	rounds := 15
	if os.Getenv("RINGOUT_LONG") == "1" {
		rounds = 200
	}
	path := filepath.Join(t.TempDir(), "porthole.toml")
	draw := rand.New(rand.NewSource(1))
	saved := 0
	for i := range rounds {
		require.NoError(t, os.WriteFile(path, []byte(DemoFile("porthole")), 0o600))
		cmd := exec.Command(os.Args[0], "-test.run=^TestKilledWhileSaving$")
		cmd.Env = append(os.Environ(), child+"="+path)
		require.NoError(t, cmd.Start())
		wait := time.Duration(10+draw.Intn(40)) * time.Millisecond
		if saved == 0 {
			wait *= time.Duration(1 + i) // on a busy machine it takes its time to begin
		}
		time.Sleep(wait)
		require.NoError(t, cmd.Process.Kill())
		require.Error(t, cmd.Wait(), "it ends only when killed")
		p, _, err := Load(path)
		require.NoError(t, err, "round %d", i)
		if p.Runs[0].Pixels != 36 {
			saved++
		}
	}
	require.NotZero(t, saved, "at least one kill must come after a save")
}

// saveForever saves ever other counts, each a text of another length.
func saveForever(path string) {
	_, d, err := Load(path)
	for n := 37; err == nil; n = 37 + (n*7)%2000 {
		if err = d.SetPixels(0, n); err == nil {
			err = d.Save(path)
		}
	}
	fmt.Fprintln(os.Stderr, err)
	os.Exit(3)
}
