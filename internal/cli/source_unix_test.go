//go:build unix

package cli

import (
	"encoding/hex"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/settings"
)

// sentName returns the source name, octets 44 to 107 with NUL padding, in all packets of
// a short send (ANSI E1.31-2018 table 4-1).
func sentName(t *testing.T, flags ...string) string {
	t.Helper()
	port, heard := packets(t)
	code, _, errs := command(t, "", append([]string{"send", "even", "--to", "127.0.0.1", "--port", port, "--pixels", "5", "--for", "50ms"}, flags...)...)
	require.Zero(t, code, errs)
	all := heard()
	require.NotEmpty(t, all)
	for _, p := range all {
		require.Equal(t, all[0][44:108], p[44:108])
	}
	return string(all[0][44:108])
}

func TestSourceNameOnTheWire(t *testing.T) {
	t.Setenv("RINGOUT_CONFIG", t.TempDir())
	folder, err := settings.Default()
	require.NoError(t, err)
	pad := func(s string) string { return s + strings.Repeat("\x00", 64-len(s)) }
	assert.Equal(t, pad("ringout bench"), sentName(t))
	longest := strings.Repeat("灯", 21) // 63 octets
	assert.Equal(t, pad(longest), sentName(t, "--source-name", longest))
	assert.Equal(t, pad("ringout bench"), sentName(t), "the flag holds for one time")
	require.NoError(t, folder.KeepSourceName("Schöne Laterne"))
	assert.Equal(t, pad("Schöne Laterne"), sentName(t), "the kept one")
	assert.Equal(t, pad("other"), sentName(t, "--source-name", "other"), "the flag wins")

	n := &identity{name: "other"}
	require.NoError(t, n.rename("other"))
	kept, err := folder.SourceName()
	require.NoError(t, err)
	assert.Equal(t, "Schöne Laterne", kept, "what the flag said is not kept by opening the form")
	require.NoError(t, n.rename("by the form"))
	assert.Equal(t, pad("by the form"), sentName(t))
}

func TestSourceNameRefused(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("RINGOUT_CONFIG", dir)
	long := strings.Repeat("灯", 21) + "x"
	for _, args := range [][]string{{}, {"demo"}, {"check", "none.toml"}, {"send", "even", "--to", "127.0.0.1", "--pixels", "5", "--for", "1ms"}} {
		for name, want := range map[string]string{long: "--source-name: the source name has 64 bytes and at most 63 fit", "": "--source-name: the source name is empty"} {
			code, _, errs := command(t, "", append(args, "--source-name", name)...)
			assert.Equal(t, 2, code, errs)
			assert.Contains(t, errs, want)
		}
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "source-name"), []byte(long), 0o644))
	code, _, errs := command(t, "", "send", "even", "--to", "127.0.0.1", "--pixels", "5", "--for", "1ms")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, filepath.Join(dir, "source-name")+": the source name has 64 bytes")
}

// cids are the CIDs, octets 22 to 37, of all packets that reach a tap.
func (w *wireTap) cids() map[string]bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	seen := map[string]bool{}
	for _, p := range w.all {
		seen[string(p[22:38])] = true
	}
	return seen
}

// Two ringouts of one user at once are two components and have two CIDs (ANSI
// E1.31-2018 5.6); the first has the kept one.
func TestTwoAtOnceHaveTwoCIDs(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("RINGOUT_CONFIG", dir)
	first, second := tap(t), tap(t)
	var all []*exec.Cmd
	for _, w := range []*wireTap{first, second} {
		c := exec.Command(program(t), "send", "even", "--file", fileAt(t, "porthole", w))
		require.NoError(t, c.Start())
		all = append(all, c)
		require.Eventually(t, func() bool { return w.count() > 0 }, 10*time.Second, 5*time.Millisecond)
	}
	for _, c := range all {
		require.NoError(t, c.Process.Signal(os.Interrupt))
		require.NoError(t, c.Wait())
	}
	first.end()
	second.end()
	kept, err := os.ReadFile(filepath.Join(dir, "cid"))
	require.NoError(t, err)
	one, two := slices.Collect(maps.Keys(first.cids())), slices.Collect(maps.Keys(second.cids()))
	require.Len(t, one, 1)
	require.Len(t, two, 1)
	assert.NotEqual(t, one, two)
	assert.Equal(t, strings.ReplaceAll(strings.TrimSpace(string(kept)), "-", ""), hex.EncodeToString([]byte(one[0])))
}

// An invalid CID file is reported and replaced. The next command reports nothing and has
// the same CID.
func TestSpoiltCIDIsSaidAndMended(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("RINGOUT_CONFIG", dir)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "cid"), []byte("rubbish\n"), 0o644))
	var said []string
	var cids []map[string]bool
	for range 2 {
		w := tap(t)
		code, _, errs := command(t, "", "send", "even", "--file", fileAt(t, "porthole", w), "--for", "50ms")
		require.Zero(t, code)
		w.end()
		said, cids = append(said, errs), append(cids, w.cids())
	}
	assert.Contains(t, said[0], "holds no CID")
	assert.Contains(t, said[0], "a new CID was written")
	assert.NotContains(t, said[1], "CID")
	assert.Equal(t, cids[0], cids[1])
	assert.Len(t, cids[0], 1)
}
