//go:build linux

package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestVersionsThatEveryPackagerTakes(t *testing.T) {
	for v, good := range map[string]bool{
		"1.2.3": true, "0.0.0+20261128.916d1a2a6686": true, "1.2.3-rc1": true, "1.2.3+1.changed": true,
		"": false, "1": false, "v1.2.3": false, "1.2": false, "1.2.3 beta": false, "1.2.3\n": false, "1.2.3-": false,
	} {
		assert.Equal(t, good, goodVersion.MatchString(v), "%q", v)
	}
}

func TestOnlyAKnownPlatform(t *testing.T) {
	all, err := choose("")
	require.NoError(t, err)
	assert.Len(t, all, 6)
	one, err := choose("linux/arm")
	require.NoError(t, err)
	require.Len(t, one, 1)
	assert.Equal(t, "arm6", one[0].packageArch())
	_, err = choose("linux/mips")
	assert.ErrorContains(t, err, `no platform "linux/mips": give one of linux/amd64, `)
}

func TestAFolderWithAnEarlierReleaseIsRefused(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, emptyFolder(filepath.Join(dir, "new", "deep")))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "old"), nil, 0o644))
	assert.ErrorContains(t, emptyFolder(dir), "is not empty")
}

func TestLinksOfAPage(t *testing.T) {
	page := "[a](pages/a.md) ![p](pictures/p.png) [b](pages/a.md#part) [web](https://example.org/x) [top](#top) [l](LICENSE)"
	assert.Equal(t, []string{"pages/a.md", "pictures/p.png"}, links(page))
}

// The archives contain the same as the files, read back by the standard library.
func TestArchivesReadBack(t *testing.T) {
	dir := t.TempDir()
	when := time.Date(2026, 11, 28, 12, 0, 0, 0, time.UTC)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "x"), []byte("a program"), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "y"), []byte("a page"), 0o600))
	files := []file{{name: "ringout", from: filepath.Join(dir, "x"), exec: true}, {name: "man/man1/ringout.1", from: filepath.Join(dir, "y")}}
	want := map[string]string{"r/ringout": "755 a program", "r/man/man1/ringout.1": "644 a page"}

	name := filepath.Join(dir, "a.tar.gz")
	require.NoError(t, writeTarGz(name, "r", files, when))
	packed, err := os.Open(name)
	require.NoError(t, err)
	defer packed.Close()
	zr, err := gzip.NewReader(packed)
	require.NoError(t, err)
	got := map[string]string{}
	for tr := tar.NewReader(zr); ; {
		h, err := tr.Next()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		content, err := io.ReadAll(tr)
		require.NoError(t, err)
		assert.True(t, h.ModTime.Equal(when))
		got[h.Name] = fmt.Sprintf("%o %s", h.Mode, content)
	}
	assert.Equal(t, want, got)

	name = filepath.Join(dir, "a.zip")
	require.NoError(t, writeZip(name, "r", files, when))
	z, err := zip.OpenReader(name)
	require.NoError(t, err)
	defer z.Close()
	got = map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		content, err := io.ReadAll(r)
		require.NoError(t, err)
		got[f.Name] = fmt.Sprintf("%o %s", f.Mode().Perm(), content)
	}
	assert.Equal(t, want, got)
}

func TestEveryLinkedModuleHasItsLicence(t *testing.T) {
	dir := t.TempDir()
	var text strings.Builder
	assert.ErrorContains(t, licenceOf(&text, "m v1", dir), "m v1 has no licence file")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "README.md"), []byte("# m\n\nuse it\n"), 0o644))
	assert.ErrorContains(t, licenceOf(&text, "m v1", dir), "its page names no licence")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "README.md"), []byte("# m\n\nuse it\n\n## License\n\nMIT\n"), 0o644))
	require.NoError(t, licenceOf(&text, "m v1", dir))
	assert.Contains(t, text.String(), "m v1 (README.md)\n\n## License\n\nMIT\n")
	for _, name := range []string{"COPYING.txt", "Licence", "license.go.txt", "NOTICE"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte("words of "+name), 0o644))
	}
	text.Reset()
	require.NoError(t, licenceOf(&text, "m v1", dir))
	for _, name := range []string{"COPYING.txt", "Licence", "license.go.txt", "NOTICE"} {
		assert.Contains(t, text.String(), "words of "+name)
	}
	assert.NotContains(t, text.String(), "MIT", "the page is for modules without a file")
}

// long skips a test that takes a minute unless long tests are enabled.
func long(t *testing.T) {
	t.Helper()
	if os.Getenv("RINGOUT_LONG") != "1" {
		t.Skip("RINGOUT_LONG=1 makes whole releases")
	}
	t.Parallel() // one loads packages while others compile or wait for Wine
}

// made makes a release of one platform from a clone of this repository, with extra
// environment variables.
func made(t *testing.T, platform string, env ...string) string {
	t.Helper()
	out, err := makeIn(t.TempDir(), platform, env...)
	require.NoError(t, err)
	return out
}

func makeIn(dir, platform string, env ...string) (string, error) {
	ctx := context.Background()
	root, err := output(ctx, "", "go", "list", "-m", "-f", "{{.Dir}}")
	if err != nil {
		return "", err
	}
	clone, out := filepath.Join(dir, "some", "where"), filepath.Join(dir, "dist")
	if err := command(ctx, "", nil, "git", "clone", "-q", root, clone); err != nil {
		return "", err
	}
	return out, command(ctx, clone, env, "go", "run", "./internal/release", "-only", platform, "-out", out)
}

// shared is a release for this system that two tests look at: it is made once.
var shared = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "ringout-release-test-")
	if err != nil {
		return "", err
	}
	toRemove = dir
	return makeIn(dir, "linux/amd64")
})

// toRemove is the folder of shared, once that was made.
var toRemove string

func TestMain(m *testing.M) {
	code := m.Run()
	if toRemove != "" {
		os.RemoveAll(toRemove)
	}
	os.Exit(code)
}

// madeOnce is what shared made.
func madeOnce(t *testing.T) string {
	t.Helper()
	out, err := shared()
	require.NoError(t, err)
	return out
}

// The same commit gives the same bytes on another path, and all that belongs to
// a release is in it.
func TestSameCommitSameBytes(t *testing.T) {
	long(t)
	a, b := madeOnce(t), made(t, "linux/amd64")
	sums, err := os.ReadFile(filepath.Join(a, "SHA256SUMS"))
	require.NoError(t, err)
	again, err := os.ReadFile(filepath.Join(b, "SHA256SUMS"))
	require.NoError(t, err)
	assert.Equal(t, string(sums), string(again))
	kinds := map[string]bool{}
	for line := range strings.Lines(string(sums)) {
		sum, name, _ := strings.Cut(strings.TrimSpace(line), "  ")
		content, err := os.ReadFile(filepath.Join(a, name))
		require.NoError(t, err)
		assert.Equal(t, fmt.Sprintf("%x", sha256.Sum256(content)), sum, name)
		kinds[filepath.Ext(name)] = true
		if filepath.Ext(name) == ".json" {
			readBill(t, content)
		}
	}
	assert.Equal(t, map[string]bool{".gz": true, ".deb": true, ".rpm": true, ".json": true}, kinds)
}

// It is so too where nothing was compiled before, so that no cache carries the
// bytes from one to the other. Compiling all takes minutes: nightly.
func TestSameBytesWithoutACache(t *testing.T) {
	long(t)
	var sums []string
	for _, dir := range []string{made(t, "linux/arm"), made(t, "linux/arm", "GOCACHE="+t.TempDir())} {
		text, err := os.ReadFile(filepath.Join(dir, "SHA256SUMS"))
		require.NoError(t, err)
		sums = append(sums, string(text))
	}
	require.NotEmpty(t, sums[0])
	assert.Equal(t, sums[0], sums[1])
}

// readBill checks that the bill of materials names what is linked in.
func readBill(t *testing.T, content []byte) {
	var bill struct {
		Format     string `json:"bomFormat"`
		Components []struct{ Name, Version string }
	}
	require.NoError(t, json.Unmarshal(content, &bill))
	assert.Equal(t, "CycloneDX", bill.Format)
	var names []string
	for _, c := range bill.Components {
		names = append(names, c.Name)
		assert.NotEmpty(t, c.Version, c.Name)
	}
	assert.Subset(t, names, []string{"std", "github.com/charmbracelet/bubbletea", "golang.org/x/net", "github.com/spf13/cobra", "github.com/pelletier/go-toml/v2"})
	assert.NotContains(t, names, "github.com/stretchr/testify", "it is for tests")
}

// inRoot are commands for a clean Debian, and what each must print.
var inRoot = []struct{ command, prints string }{
	{"ringout --version", "ringout 0.0.0+"},
	{"cd /tmp && ringout new mole --defaults && ringout plan mole.toml", "Wrote mole.toml"},
	{"man -w ringout", "/usr/share/man/man1/ringout.1"},
	{"man -w ringout-send", "/usr/share/man/man1/ringout-send.1"},
	{"man -w 5 ringout-prop-file", "/usr/share/man/man5/ringout-prop-file.5"},
	{"man -P cat ringout", "bench tester"},
	{`bash -c '. /usr/share/bash-completion/bash_completion; _completion_loader ringout; complete -p ringout'`, "ringout"},
	{`zsh -c 'autoload -U compinit; compinit -D; print -r -- $_comps[ringout]'`, "_ringout"},
	{`fish -c "complete -C 'ringout pla'"`, "plan"},
	{"test -s /usr/share/doc/ringout/LICENCES.txt && dpkg -r ringout && ! command -v ringout && echo gone", "gone"},
}

// The deb is installed in a clean Debian, runs there and is removed again.
func TestDebInACleanRoot(t *testing.T) {
	long(t)
	needTools(t, "debootstrap", "chroot", "dpkg-deb")
	root := filepath.Join(t.TempDir(), "root")
	out, err := exec.Command("debootstrap", "--variant=minbase", "--include=man-db,bash-completion,zsh,fish", "bookworm", root).CombinedOutput()
	require.NoError(t, err, string(out[max(0, len(out)-500):]))
	debs, err := filepath.Glob(filepath.Join(madeOnce(t), "*.deb"))
	require.NoError(t, err)
	require.Len(t, debs, 1)
	deb, err := os.ReadFile(debs[0])
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(root, "ringout.deb"), deb, 0o644))
	in := func(command string) string {
		c := exec.Command("chroot", root, "sh", "-c", command)
		c.Env = []string{"PATH=/usr/sbin:/usr/bin:/sbin:/bin", "HOME=/root", "LANG=C.UTF-8", "TERM=xterm"}
		var said bytes.Buffer
		c.Stdout, c.Stderr = &said, &said
		require.NoError(t, c.Run(), "%s: %s", command, said.String())
		return said.String()
	}
	in("dpkg -i /ringout.deb")
	for _, c := range inRoot {
		assert.Contains(t, in(c.command), c.prints, c.command)
	}
}
