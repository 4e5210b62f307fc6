package settings

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// random is a source of so many equal bytes.
func random(b byte) *bytes.Reader { return bytes.NewReader(bytes.Repeat([]byte{b}, 16)) }

func TestCIDStaysTheSame(t *testing.T) {
	f := Folder(filepath.Join(t.TempDir(), "new", "folder"))
	a, err := f.Component(random(0x5a))
	require.NoError(t, err)
	a.Release()
	b, err := f.Component(strings.NewReader(""))
	require.NoError(t, err, "a kept CID draws nothing")
	b.Release()
	assert.Equal(t, a.CID, b.CID)
	// RFC 4122 4.4: version 4 in the high digit of octet 6, variant 10 in octet 8.
	assert.Equal(t, byte(0x40), a.CID[6]&0xf0)
	assert.Equal(t, byte(0x80), a.CID[8]&0xc0)
}

// Two at once are two components (ANSI E1.31-2018 5.6). The first keeps the kept
// CID, and the second has one of its own that is kept as well.
func TestTwoAtOnceHaveTwoCIDs(t *testing.T) {
	f := Folder(t.TempDir())
	var first []*Component
	for n := range maxComponents {
		c, err := f.Component(random(byte(n)))
		require.NoError(t, err)
		for _, other := range first {
			require.NotEqual(t, other.CID, c.CID)
		}
		first = append(first, c)
	}
	one, err := f.Component(random(0xee))
	require.ErrorContains(t, err, "this time only")
	require.NotZero(t, one.CID)
	one.Release()
	for _, c := range first {
		c.Release()
	}
	for _, c := range first {
		again, err := f.Component(strings.NewReader(""))
		require.NoError(t, err)
		require.Equal(t, c.CID, again.CID)
		defer again.Release()
	}
}

// A file that holds no CID, or cannot be read, is put aside and a new CID kept.
func TestSpoiltCIDIsMended(t *testing.T) {
	for name, spoil := range map[string]func(path string) error{
		"rubbish":  func(path string) error { return os.WriteFile(path, []byte("not a cid\n"), 0o644) },
		"a folder": func(path string) error { return os.Mkdir(path, 0o755) },
		"too long": func(path string) error { return os.WriteFile(path, make([]byte, maxFile+1), 0o644) },
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			path := filepath.Join(dir, "cid")
			require.NoError(t, spoil(path))
			was, _ := os.ReadFile(path)
			c, err := Folder(dir).Component(random(1))
			require.ErrorContains(t, err, path)
			require.ErrorContains(t, err, "a new CID was written, and the old file is kept as "+path+".unreadable")
			c.Release()
			kept, _ := os.ReadFile(path + ".unreadable")
			assert.Equal(t, was, kept, "nothing is lost")
			again, err := Folder(dir).Component(strings.NewReader(""))
			require.NoError(t, err)
			assert.Equal(t, c.CID, again.CID)
			again.Release()
		})
	}
}

func TestCIDFolderThatCannotBeWritten(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a file")
	require.NoError(t, os.WriteFile(file, nil, 0o644))
	for _, f := range []Folder{Folder(filepath.Join(file, "below")), ""} {
		c, err := f.Component(random(1))
		require.Error(t, err)
		assert.NotZero(t, c.CID)
	}
}

func TestCIDWithoutRandomNumbers(t *testing.T) {
	_, err := Folder(t.TempDir()).Component(strings.NewReader("short"))
	require.ErrorContains(t, err, "no random numbers")
}

func TestWriteLeavesNothingBeside(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, Folder(dir).Write("last.toml", []byte("a")))
	require.NoError(t, Folder(dir).Write("last.toml", []byte("b")))
	got, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, got, 1)
	text, err := Folder(dir).Read("last.toml")
	require.NoError(t, err)
	assert.Equal(t, "b", string(text))
}

func TestMarksStay(t *testing.T) {
	f := Folder(filepath.Join(t.TempDir(), "new"))
	assert.False(t, f.Mark("seen"))
	require.NoError(t, f.SetMark("seen", false))
	require.NoError(t, f.SetMark("seen", true))
	assert.True(t, f.Mark("seen"))
	require.NoError(t, f.SetMark("seen", true))
	require.NoError(t, f.SetMark("seen", false))
	assert.False(t, f.Mark("seen"))
}
