//go:build linux

package camera

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// driver stands in for v4l2-ctl and a camera: a file a control, whose text is
// its value. It answers as v4l2-ctl does (v4l-utils, v4l2-ctl-common.cpp):
// "NAME: VALUE", a menu with its text after it, "unknown control" on stderr.
const driver = `#!/bin/sh
cd "$(dirname "$0")/controls" || exit 1
case "$3" in
-C) [ -f "$4" ] || { echo "unknown control '$4'" >&2; exit 255; }
    echo "$4: $(cat "$4")" ;;
-c) name=${4%%=*}
    [ -f "$name" ] || { echo "unknown control '$name'" >&2; exit 255; }
    [ -w "$name" ] || { echo "VIDIOC_S_EXT_CTRLS: failed: Permission denied" >&2; exit 255; }
    echo "${4#*=}" >"$name" ;;
esac
`

func TestACameraIsHeldAndSetBack(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "v4l2-ctl"), []byte(driver), 0o755))
	require.NoError(t, os.Mkdir(filepath.Join(dir, "controls"), 0o755))
	at := func(name string) string { return filepath.Join(dir, "controls", name) }
	put := func(name, value string) { require.NoError(t, os.WriteFile(at(name), []byte(value+"\n"), 0o644)) }
	has := func(name, value string) {
		text, err := os.ReadFile(at(name))
		require.NoError(t, err)
		require.Equal(t, value+"\n", string(text), name)
	}
	t.Setenv("PATH", dir+":/usr/bin:/bin")
	put("auto_exposure", "3 (Aperture Priority Mode)")
	put("white_balance_temperature_auto", "1")
	source := Source{Kind: Device, Name: "0", args: []string{"-f", "v4l2", "-i", "/dev/video0"}}

	held := Lock(context.Background(), source)
	require.Equal(t, "This camera sets its own focus: keep the room light steady.", held.Left, "it has no focus control")
	has("auto_exposure", "1")
	has("white_balance_temperature_auto", "0")
	held.Release()
	has("auto_exposure", "3")
	has("white_balance_temperature_auto", "1")

	put("auto_exposure", "1")
	put("focus_automatic_continuous", "1")
	held = Lock(context.Background(), source)
	require.Empty(t, held.Left)
	put("auto_exposure", "2") // by another program meanwhile
	held.Release()
	has("auto_exposure", "2")
	has("focus_automatic_continuous", "1")

	phone := Lock(context.Background(), Source{Kind: Stream, args: []string{"-i", "http://127.0.0.1:9/"}})
	require.Equal(t, "This camera sets its own exposure, white balance and focus: keep the room light steady.", phone.Left)
	t.Setenv("PATH", t.TempDir())
	require.NotEmpty(t, Lock(context.Background(), source).Left, "v4l2-ctl is not installed")
}
