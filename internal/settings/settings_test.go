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

func TestCIDStaysTheSame(t *testing.T) {
	f := Folder(filepath.Join(t.TempDir(), "new", "folder"))
	a, err := f.CID(bytes.NewReader(bytes.Repeat([]byte{0x5a}, 16)))
	require.NoError(t, err)
	b, err := f.CID(strings.NewReader(""))
	require.NoError(t, err, "a kept CID draws nothing")
	assert.Equal(t, a, b)
	// RFC 4122 4.4: version 4 in the high digit of octet 6, variant 10 in octet 8.
	assert.Equal(t, byte(0x40), a[6]&0xf0)
	assert.Equal(t, byte(0x80), a[8]&0xc0)
}

func TestCIDSpoiltFileIsToldAndKept(t *testing.T) {
	f := Folder(t.TempDir())
	require.NoError(t, f.Write("cid", []byte("not a cid\n")))
	cid, err := f.CID(bytes.NewReader(bytes.Repeat([]byte{1}, 16)))
	require.ErrorContains(t, err, "holds no CID")
	assert.NotZero(t, cid)
	text, err := f.Read("cid")
	require.NoError(t, err)
	assert.Equal(t, "not a cid\n", string(text), "the builder's file is left alone")
}

func TestCIDFolderThatCannotBeWritten(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a file")
	require.NoError(t, os.WriteFile(file, nil, 0o644))
	cid, err := Folder(filepath.Join(file, "below")).CID(bytes.NewReader(bytes.Repeat([]byte{1}, 16)))
	require.Error(t, err)
	assert.NotZero(t, cid)
}

func TestCIDWithoutRandomNumbers(t *testing.T) {
	_, err := Folder(t.TempDir()).CID(strings.NewReader("short"))
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
