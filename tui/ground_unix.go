//go:build unix

package tui

import (
	"io"
	"os"

	"golang.org/x/sys/unix"
	"golang.org/x/term"

	"example.org/ringout/tui/style"
)

// groundWait is how long a terminal is waited for, in milliseconds; one at the other end
// of a line may take longer, and is then treated as one that does not know.
const groundWait = 150

// askForGround asks a terminal for its background. What was typed meanwhile comes back
// too; answered is false when the answer may still come.
func askForGround(in *os.File, out io.Writer) (g style.Ground, typed []byte, answered bool) {
	before, err := term.MakeRaw(int(in.Fd()))
	if err != nil {
		return style.AnyGround, nil, true // nothing was asked
	}
	defer term.Restore(int(in.Fd()), before)
	if _, err := io.WriteString(out, askGround); err != nil {
		return style.AnyGround, nil, true
	}
	var all []byte
	for range 32 { // pieces
		ready := []unix.PollFd{{Fd: int32(in.Fd()), Events: unix.POLLIN}}
		if n, err := unix.Poll(ready, groundWait); err != nil || n == 0 || ready[0].Revents&unix.POLLIN == 0 {
			break
		}
		piece := make([]byte, 256)
		n, err := unix.Read(int(in.Fd()), piece)
		if err != nil || n <= 0 {
			break
		}
		all = append(all, piece[:n]...)
		if g, typed, answered = groundAnswered(all); answered {
			return g, typed, true
		}
	}
	g, typed, _ = groundAnswered(all)
	return g, typed, false
}
