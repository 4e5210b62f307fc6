//go:build linux

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// wineFolder is where Debian's Wine keeps its own libraries.
const wineFolder = "/usr/lib/x86_64-linux-gnu/wine"

// exported is a line of objdump's list of what a library exports.
var exported = regexp.MustCompile(`(?m)^\s*\[ *\d+\] (\S+)$`)

// newWine makes a Windows of its own for the tests and gives the environment
// that programs in it need. Debian's Wine lacks two things that Go 1.26 asks
// for; testdata says which.
func newWine(t *testing.T) []string {
	t.Helper()
	dir := t.TempDir()
	env := append(os.Environ(), "WINEPREFIX="+filepath.Join(dir, "prefix"), "WINEDEBUG=-all", "WINEDLLPATH="+dir)
	inWine := func(name string, args ...string) {
		c := exec.Command(name, args...)
		c.Env = env
		out, err := c.CombinedOutput()
		require.NoError(t, err, "%s: %s", name, out)
	}
	inWine("wineboot", "--init")
	inWine("wineserver", "--wait")
	t.Cleanup(func() { c := exec.Command("wineserver", "--kill"); c.Env = env; _ = c.Run() })

	system := filepath.Join(dir, "prefix", "drive_c", "windows", "system32")
	compile(t, filepath.Join(system, "bcryptprimitives.dll"), "testdata/bcryptprimitives.c", "-ladvapi32")

	real := filepath.Join(wineFolder, "x86_64-windows", "ws2_32.dll")
	list, err := exec.Command("x86_64-w64-mingw32-objdump", "-p", real).Output()
	require.NoError(t, err)
	_, names, found := strings.Cut(string(list), "[Ordinal/Name Pointer] Table")
	require.True(t, found, "objdump lists no exports of %s", real)
	def := "LIBRARY ws2_32.dll\nEXPORTS\n"
	for _, m := range exported.FindAllStringSubmatch(names, -1) {
		if m[1] == "WSAIoctl" {
			def += m[1] + "\n"
		} else {
			def += m[1] + " = ws2_real." + m[1] + "\n"
		}
	}
	defFile := filepath.Join(dir, "ws2_32.def")
	require.NoError(t, os.WriteFile(defFile, []byte(def), 0o644))
	require.NoError(t, os.Remove(filepath.Join(system, "ws2_32.dll")))
	compile(t, filepath.Join(system, "ws2_32.dll"), "testdata/ws2_32.c", defFile)
	copyFile(t, real, filepath.Join(system, "ws2_real.dll"))
	copyFile(t, real, filepath.Join(dir, "x86_64-windows", "ws2_real.dll"))
	copyFile(t, filepath.Join(wineFolder, "x86_64-unix", "ws2_32.so"), filepath.Join(dir, "x86_64-unix", "ws2_real.so"))
	return append(env, "WINEDLLOVERRIDES=ws2_32=n")
}

// compile makes a Windows library.
func compile(t *testing.T, to, source string, more ...string) {
	t.Helper()
	out, err := exec.Command("x86_64-w64-mingw32-gcc", append([]string{"-shared", "-O1", "-o", to, source}, more...)...).CombinedOutput()
	require.NoError(t, err, string(out))
}

func copyFile(t *testing.T, from, to string) {
	t.Helper()
	content, err := os.ReadFile(from)
	require.NoError(t, err)
	require.NoError(t, os.MkdirAll(filepath.Dir(to), 0o755))
	require.NoError(t, os.WriteFile(to, content, 0o755))
}
