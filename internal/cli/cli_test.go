package cli

import (
	"bytes"
	"context"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	built "example.org/ringout/internal/testkit/program"
)

func TestMain(m *testing.M) {
	built.Run(m, func(folder string) { os.Setenv("RINGOUT_CONFIG", filepath.Join(folder, "config")) })
}

// command runs a command line in this process.
func command(t *testing.T, in string, args ...string) (code int, out, errs string) {
	t.Helper()
	return commandFrom(strings.NewReader(in), args...)
}

// commandFrom is command with a reader as its standard input.
func commandFrom(in io.Reader, args ...string) (code int, out, errs string) {
	var o, e bytes.Buffer
	code = run(context.Background(), args, streams{in, &o, &e})
	return code, o.String(), e.String()
}

// program is the program as users build it.
func program(t testing.TB) string {
	t.Helper()
	return built.Path(t)
}

// Every mistake is reported in one sentence: what is wrong and what to do.
func TestBadInput(t *testing.T) {
	good := []string{"send", "chase", "--to", "127.0.0.1", "--pixels", "10", "--for", "1ms"}
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		return path
	}
	notThere := filepath.Join(dir, "none.toml")
	for _, row := range []struct {
		args []string
		code int
		want string
	}{
		{append(good, "--universe", "0"), 2, "--universe 0 does not exist: give 1 to 63999"},
		{append(good, "--universe", "64000"), 2, "--universe 64000 does not exist: give 1 to 63999"},
		{append(good, "--slot", "513"), 2, "--slot 513 does not exist: give 1 to 512"},
		{append(good, "--slot", "0"), 2, "--slot 0 does not exist: give 1 to 512"},
		{append(good, "--pixels", "0"), 2, "--pixels 0: give 1 to 100000"},
		{append(good, "--pixels", "100001"), 2, "--pixels 100001: give 1 to 100000"},
		{append(good, "--pixels", "-5"), 2, "--pixels -5: give 1 to 100000"},
		{append(good, "--order", "GRX"), 2, `colour order "GRX" has the letter 'X'; only R, G, B, W and C are known`},
		{append(good, "--order", "GG"), 2, `colour order "GG" has 2 letters; write 3 to 5 of R, G, B, W, C, such as GRB or RGBW`},
		{append(good, "--interface", "nosuch0"), 2, `interface "nosuch0" does not exist: this machine has `},
		{append(good, "--chip", "LAMP9"), 2, `--chip "LAMP9" is not known: give one of WS2812B`},
		{append(good, "--level", "101"), 2, "--level 101: give 0 to 100 percent"},
		{append(good, "--level", "NaN"), 2, "--level NaN: give 0 to 100 percent"},
		{append(good, "--speed", "0"), 2, "--speed 0: give more than 0"},
		{append(good, "--colour", "beige"), 2, `--colour "beige" is not known: give one of white`},
		{append(good, "--amps", "0"), 2, "--amps 0: give the rating on the supply's plate, more than 0"},
		{append(good, "--priority", "201"), 2, "--priority 201 does not exist: give 0 to 200"},
		{append(good, "--packing", "tight"), 2, `--packing "tight" is not known: give whole or straddle`},
		{append(good, "--for", "-1s"), 2, "--for -1s: give a time from now on, such as 5s"},
		{append(good, "--universe", "63999", "--pixels", "171"), 2, "need more slots than universe 63999 holds: start lower or use fewer pixels"},
		{append(good, "--to", ""), 2, "--to is missing"},
		{[]string{"send", "chase", "--pixels", "10", "--for", "1ms"}, 2, `--to is missing, so nothing is sent: give a host name, an IP address, or "multicast"; or a prop file with --file`},
		{[]string{"send", "sparkle", "--to", "127.0.0.1", "--pixels", "3"}, 2, `pattern "sparkle" is not known: give one of chase`},
		{[]string{"send"}, 2, "0 arguments given: give one pattern: chase"},
		{[]string{"send", "chase", "--to", "host.invalid", "--pixels", "3", "--for", "1500ms"}, 1, `host "host.invalid" is not known here: check the spelling, or give its address as numbers`},
		{[]string{"--nosuch"}, 2, "unknown flag: --nosuch"},
		{[]string{"a", "b"}, 2, "2 arguments given: give one prop file at most"},
		{[]string{notThere}, 1, "none.toml"},
		{[]string{"demo", "--prop", "anvil"}, 2, `--prop "anvil" is not a demo prop: give one of porthole, pennant, buoy-lamp`},
		{[]string{"demo", "--fault", "open-joint pixel 999"}, 2, "--fault: "},
		{[]string{"strip", "--listen", "nowhere"}, 1, "nowhere"},
		{[]string{"plan"}, 2, "no prop file given: give one or more"},
		{[]string{"plan", write("dir.toml", "name = 1\n")}, 1, "dir.toml line 1"},
		{[]string{"plan", write("utf.toml", "name = \"\xff\"\n")}, 1, "UTF-8"},
	} {
		t.Run(strings.Join(row.args, " "), func(t *testing.T) {
			code, _, errs := command(t, "", row.args...)
			assert.Equal(t, row.code, code, errs)
			assert.Contains(t, errs, row.want)
			assert.NotContains(t, errs, "goroutine", "no stack trace")
			assert.Regexp(t, `(?m)^ringout: `, errs)
		})
	}
}

func TestPortTakenIsOneSentence(t *testing.T) {
	stranger, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	defer stranger.Close()
	code, _, errs := command(t, "", "strip", "--listen", stranger.LocalAddr().String())
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, stranger.LocalAddr().String()+" is taken by ")
	assert.Contains(t, errs, "stop that one or choose another port")
	assert.Equal(t, 1, strings.Count(strings.TrimSpace(errs), "\n")+1, "one sentence: %s", errs)
}

func TestHelpNamesEveryCommandAndRunsNothing(t *testing.T) {
	root := newRoot(new(identity))
	for _, c := range root.Commands() {
		code, out, errs := command(t, "", c.Name(), "--help")
		assert.Zero(t, code, errs)
		assert.NotEmpty(t, c.Short)
		if c.Name() != "help" && c.Name() != "completion" {
			assert.Contains(t, out, "Examples:\n  ringout "+c.Name(), "a real example in the help of %s", c.Name())
		}
	}
}

func TestManualPagesAndCompletions(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "man1")
	code, _, errs := command(t, "", "man", dir)
	require.Zero(t, code, errs)
	text, err := os.ReadFile(filepath.Join(dir, "ringout-send.1"))
	require.NoError(t, err)
	assert.Contains(t, string(text), ".TH \"RINGOUT\" \"1\"")
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		code, out, errs := command(t, "", "completion", shell)
		require.Zero(t, code, errs)
		assert.Contains(t, out, "ringout")
	}
}

func TestNewThenPlan(t *testing.T) {
	t.Chdir(t.TempDir())
	code, out, errs := command(t, "\ninches\n2\nouter\nring\n93 in\ninner\nring\n1 furlong\n48\n20 A\n10.0.0.5\n3\n1\n", "new", "rings")
	require.Zero(t, code, errs)
	assert.Contains(t, out, `has the unit "furlong"`)
	assert.Contains(t, out, "Wrote rings.toml")
	code, out, errs = command(t, "", "plan", "rings.toml", "--csv")
	require.Zero(t, code, errs)
	assert.Contains(t, out, "rings,inner,10.0.0.5,48,142,189,3,424,4,57,GRB,whole,clockwise,\r\n")

	before, err := os.ReadFile("rings.toml")
	require.NoError(t, err)
	code, _, errs = command(t, "", "new", "rings", "--defaults")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "rings.toml is there already")
	after, err := os.ReadFile("rings.toml")
	require.NoError(t, err)
	assert.Equal(t, before, after)
	code, _, errs = command(t, "", "new", "spare", "--defaults")
	require.Zero(t, code, errs)
	p, _, err := prop.Load("spare.toml")
	require.NoError(t, err)
	assert.Equal(t, "127.0.0.1", p.Address.Host, "a host no one gave is this computer, not the whole network")
	// Each answer is checked at once; upper and lower case count as equal.
	code, out, errs = command(t, "\nInches\n1\n\nRing\n30\nmuch\n3 A\n999.1.2.3\nhttp://x\nMulticast\n\n\n", "new", "capitals")
	require.Zero(t, code, errs)
	assert.Contains(t, out, `"much" has no number where one is needed: write "5 A" or "20 mA"`)
	assert.Contains(t, out, `"999.1.2.3" is not a host: write an address such as "10.0.0.5", a name, or "multicast"`)
	p, _, err = prop.Load("capitals.toml")
	require.NoError(t, err)
	assert.Equal(t, prop.Ring, p.Runs[0].Shape.Kind)
	assert.True(t, p.Inches)
	assert.Empty(t, p.Address.Host, "multicast")
	for name, want := range map[string]string{"": `"" has no name in it: give one, such as porthole`, "x/.toml": "has no name in it",
		"nosuch/lamp": "there is no folder nosuch: make it first, or give a name alone"} {
		code, out, errs = command(t, "", "new", name)
		assert.Equal(t, 1, code)
		assert.Contains(t, errs, want)
		assert.Empty(t, out, "nothing is asked in vain")
	}
	code, _, errs = command(t, "half an answer", "new", "other")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "the answers ended too early")
	assert.NoFileExists(t, "other.toml")
}
