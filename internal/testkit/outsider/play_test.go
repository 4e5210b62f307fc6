package outsider

import (
	"bufio"
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/program"
)

func TestMain(m *testing.M) { program.Run(m, func(string) {}) }

// A game is one check-out of a prop that has a case.
type game struct {
	propFile
	Case
	seed uint64
	*Builder
	*Outcome
	unlike int // lights that were not on the wire as the page has it
}

// play checks a prop out and answers all questions.
func (g *game) play(t *testing.T, program string) {
	t.Helper()
	w := listen(t)
	folder := t.TempDir()
	file := filepath.Join(folder, "prop.toml")
	require.NoError(t, os.WriteFile(file, fmt.Appendf(nil, g.text, w.port(), g.Universe), 0o600))
	cmd := exec.Command(program, "check", file, "--json", "--no-record")
	cmd.Env = append(os.Environ(), "RINGOUT_CONFIG="+folder)
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	var errors bytes.Buffer
	cmd.Stderr = &errors
	require.NoError(t, cmd.Start())
	lines := bufio.NewScanner(out)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		reply, end, err := g.Hear(lines.Bytes(), func(universes [][]byte, first int) {
			if !w.await(universes, first) {
				g.unlike++
			}
		})
		if err != nil {
			_ = cmd.Process.Kill()
			require.NoError(t, err)
		}
		if reply != nil {
			_, err = in.Write(append(reply, '\n'))
			require.NoError(t, err)
		}
		if end != nil {
			g.Outcome = end
		}
	}
	require.NoError(t, lines.Err())
	require.NoError(t, cmd.Wait(), "%s", &errors)
	require.NotNil(t, g.Outcome, "no end line")
	require.Equal(t, g.Design.Patch(), g.begin.Patch(), "the begin line has the patch of the file")
}

// deal is the game of a kind on one of the props that can have it.
func deal(kind string, seed uint64) *game {
	lots := rand.New(rand.NewPCG(seed, 131))
	for {
		f := propFiles[lots.IntN(len(propFiles))]
		f.Universe = 10 + 3*int(seed) // its own, since ringout hears what other ringouts of the machine send
		if c, can := Draw(f.Design, kind, lots); can {
			return &game{propFile: f, Case: c, seed: seed, Builder: &Builder{Prop: c.Prop, Lots: lots, Bends: seed%2 == 0}}
		}
	}
}
