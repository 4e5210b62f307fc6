//go:build !unix

package tui

import (
	"io"
	"os"

	"example.org/ringout/tui/style"
)

// askForGround asks nothing here: consoles of this system have no one way to answer.
func askForGround(*os.File, io.Writer) (g style.Ground, typed []byte, answered bool) {
	return style.AnyGround, nil, true
}
