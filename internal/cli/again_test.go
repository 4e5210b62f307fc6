package cli

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/filmtest"
	"example.org/ringout/patterns"
)

var askedPlace = regexp.MustCompile(`Where is planned pixel (\d+)`)

// The built program makes a second run from another side with a stream. In the first
// run white glare covers place 20, which stays unread. The test types y and marks the
// requested places; the second run, without glare, reads place 20. It takes a minute
// and runs only with RINGOUT_LONG=1.
func TestASecondRunFromAnotherSideLive(t *testing.T) {
	port, file, p := longPorthole(t)
	sides := [2]*filmtest.Stage{
		filmtest.New(p, filmtest.Room{W: 640, H: 480, Tilt: 20, Around: 60, Fill: 0.8}),
		filmtest.New(p, filmtest.Room{W: 640, H: 480, Tilt: 25, Around: 200, Fill: 0.8}),
	}
	var side atomic.Int32
	stop, now := watchStrip(t, p, file, "", port)
	defer stop()
	shots := [2]func([]patterns.Colour) []byte{shotsOf(sides[0]), shotsOf(sides[1])}
	address := serveStream(t, func() []byte {
		light := append([]patterns.Colour(nil), now()...)
		if side.Load() == 0 && !light[19].Dark() {
			light[19] = patterns.Colour{R: 255, G: 255, B: 255}
		}
		return shots[side.Load()](light)
	})
	args := append([]string{"check", file, "--camera", address, "--no-record", "--again"}, marksOf(filmScene{seed: 5}, p, sides[0])...)
	c := exec.Command(program(t), args...)
	in, err := c.StdinPipe()
	require.NoError(t, err)
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	c.Stderr = os.Stderr
	require.NoError(t, c.Start())
	said := converse(t, bufio.NewReader(out), in, func(text string) string {
		switch {
		case strings.Contains(text, "Type y to run it again from there"):
			side.Store(1)
			return "y"
		case strings.Contains(text, "Type X,Y in camera pixels"):
			m := askedPlace.FindAllStringSubmatch(text, -1)
			place, err := strconv.Atoi(m[len(m)-1][1])
			require.NoError(t, err)
			x, y := sides[1].At(place - 1)
			return fmt.Sprintf("%.0f,%.0f", x, y)
		case strings.Contains(text, "reading 1 of"):
			return "x" // the sign-off has a test of its own
		}
		return ""
	})
	require.NoError(t, c.Wait())
	require.Contains(t, said, "1 of 144 places were not read")
	require.Contains(t, said, "144 places: 144 as planned")
}

// converse reads the output of a program and writes the reply of answer, unless that is
// empty, to the text since the last reply.
func converse(t *testing.T, out *bufio.Reader, in io.WriteCloser, answer func(since string) string) string {
	var all, since strings.Builder
	for {
		b, err := out.ReadByte()
		if err != nil {
			return all.String()
		}
		all.WriteByte(b)
		since.WriteByte(b)
		if b != ' ' && b != '\n' {
			continue
		}
		if text := answer(since.String()); text != "" {
			_, err := fmt.Fprintln(in, text)
			require.NoError(t, err)
			since.Reset()
		}
	}
}
