package outsider

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/program"
)

// A talk is a check-out that is spoken with line by line.
type talk struct {
	t   *testing.T
	cmd *exec.Cmd
	in  io.WriteCloser
	out *bufio.Scanner
}

// begin starts a check-out of a prop that is there but gives no light.
func begin(t *testing.T, program string) *talk {
	t.Helper()
	folder := t.TempDir()
	file := filepath.Join(folder, "prop.toml")
	require.NoError(t, os.WriteFile(file, fmt.Appendf(nil, propFiles[0].text, listen(t).port(), 9000), 0o600))
	c := &talk{t: t, cmd: exec.Command(program, "check", file, "--json")}
	c.cmd.Env = append(os.Environ(), "RINGOUT_CONFIG="+folder)
	in, err := c.cmd.StdinPipe()
	require.NoError(t, err)
	out, err := c.cmd.StdoutPipe()
	require.NoError(t, err)
	c.in, c.out = in, bufio.NewScanner(out)
	c.out.Buffer(nil, 1<<20)
	require.NoError(t, c.cmd.Start())
	t.Cleanup(func() { _ = c.cmd.Process.Kill() }) // it has ended unless the test failed
	require.Equal(t, "begin", c.next().Say)
	return c
}

// next is the next line that tells something: on a busy machine, a line may say
// before it that something takes long.
func (c *talk) next() line {
	c.t.Helper()
	for {
		var l line
		require.True(c.t, c.out.Scan(), "a further line: %v", c.out.Err())
		require.NoError(c.t, json.Unmarshal(c.out.Bytes(), &l))
		if l.Say != "wait" {
			return l
		}
	}
}

// say writes a line.
func (c *talk) say(text string) {
	c.t.Helper()
	_, err := io.WriteString(c.in, text+"\n")
	require.NoError(c.t, err)
}

// asked reads a probe and its light.
func (c *talk) asked(id int) Probe {
	c.t.Helper()
	p := c.next()
	require.Equal(c.t, "probe", p.Say)
	require.Equal(c.t, id, p.ID)
	lit := c.next()
	require.Equal(c.t, "lit", lit.Say)
	require.Equal(c.t, id, lit.ID)
	return p.Probe
}

// ends reads the last line and compares the exit code.
func (c *talk) ends(answered, code int) {
	c.t.Helper()
	end := c.next()
	require.Equal(c.t, "end", end.Say)
	require.Equal(c.t, answered, end.Answered)
	require.False(c.t, c.out.Scan(), "a line after the end: %s", c.out.Text())
	_ = c.cmd.Wait() // its error is the exit code
	require.Equal(c.t, code, c.cmd.ProcessState.ExitCode())
}

// TestLinesIn holds the program to what the page says of lines in, one after
// another in one check-out.
func TestLinesIn(t *testing.T) {
	c := begin(t, program.Path(t))
	first := c.asked(1)
	require.Equal(t, "even", first.Kind)
	for _, refused := range []string{
		`{"answer":1,"undo":true}`, `{}`, `{"answer":1,"later":2}`, `{"answer":1} {}`, `all`, `{"sees":"purple"}`,
		`{"answer":99}`, `{"id":2,"sees":"all"}`, `{"undo":true}`, `{"change":{"id":1,"key":1}}`,
		`{"sees":"` + string(make([]byte, 4096)) + `"}`,
	} {
		c.say("")
		c.say(refused)
		require.Equal(t, "refused", c.next().Say, "%.60q", refused)
	}
	c.say(`{"id":1,"sees":"run-1"}`) // a token that is not offered here
	c.asked(2)
	c.say(`{"undo":true}`)
	require.Equal(t, first, c.asked(1))
	c.say(`{"sees":"none"}`)
	c.asked(2)
	c.say(`{"change":{"id":1,"key":1}}`)
	c.asked(2)
	c.say(`{"leave":true}`)
	c.ends(1, 0)
}

// TestInputEnds: the exit code is 1, and the last line says what is known.
func TestInputEnds(t *testing.T) {
	c := begin(t, program.Path(t))
	c.asked(1)
	c.say(`{"sees":"none"}`)
	c.asked(2)
	require.NoError(t, c.in.Close())
	c.ends(1, 1)
}
