//go:build unix

package tui

import (
	"os"
	"testing"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/tui/style"
)

// Answers as xterm's control sequences (ctlseqs, "OSC Ps ; Pt ST", "CSI ? Ps c") give
// them: any number of hex digits, an end of either kind.
func TestGroundIsWhatTheTerminalAnswers(t *testing.T) {
	const kind = "\x1b[?62;22c"
	for _, c := range []struct {
		in, typed string
		want      style.Ground
		whole     bool
	}{
		{"\x1b]11;rgb:0000/0000/0000\x1b\\" + kind, "", style.DarkGround, true},
		{"\x1b]11;rgb:1e1e/1e1e/1e1e\x07" + kind, "", style.DarkGround, true},
		{"\x1b]11;rgb:fd/f6/e3\x07" + kind, "", style.LightGround, true},
		{"q\x1b]11;rgb:ffff/ffff/ffff\x1b\\2" + kind + "r", "q2r", style.LightGround, true},
		{kind, "", style.AnyGround, true},
		{"", "", style.AnyGround, false},
		{"\x1b]11;rgb:ffff/ffff/ffff\x1b\\", "", style.LightGround, false},
		{"\x1b[A\x1b", "\x1b[A\x1b", style.AnyGround, false},
	} {
		g, typed, whole := groundAnswered([]byte(c.in))
		assert.Equal(t, c.want, g, "%q", c.in)
		assert.Equal(t, c.typed, string(typed), "%q", c.in)
		assert.Equal(t, c.whole, whole, "%q", c.in)
	}
}

// An answer that comes late is no key, however it is cut, as long as what begins it is in
// one piece; keys before and after are kept.
func TestLateAnswersAreNoKeys(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		before := rapid.StringMatching(`[a-z0-9]{0,5}`).Draw(t, "before")
		after := rapid.StringMatching(`[a-z0-9]{0,5}`).Draw(t, "after")
		answer := rapid.SampledFrom([]string{"\x1b]11;rgb:1e1e/1e1e/1e1e\x1b\\", "\x1b]11;rgb:ff/ff/ff\x07", "\x1b[?62;22c"}).Draw(t, "answer")
		cut := rapid.IntRange(3, len(answer)).Draw(t, "cut")
		var l lateAnswer
		got := string(l.pass([]byte(before+answer[:cut]))) + string(l.pass([]byte(answer[cut:]+after)))
		assert.Equal(t, before+after, got)
	})
}

// A terminal is asked once and its answer taken; what is typed meanwhile stays.
func TestTerminalIsAskedForItsGround(t *testing.T) {
	master, slave, err := pty.Open()
	require.NoError(t, err)
	defer master.Close()
	defer slave.Close()
	go func() {
		b := make([]byte, len(askGround))
		if n, _ := master.Read(b); string(b[:n]) == askGround {
			master.WriteString("z\x1b]11;rgb:ffff/ffff/ffff\x1b\\\x1b[?1;2c")
		}
	}()
	g, typed, answered := askForGround(slave, slave)
	assert.Equal(t, style.LightGround, g)
	assert.Equal(t, "z", string(typed))
	assert.True(t, answered)
}

// A terminal that answers nothing is not waited for.
func TestAMuteTerminalHasAnyGround(t *testing.T) {
	master, slave, err := pty.Open()
	require.NoError(t, err)
	defer master.Close()
	defer slave.Close()
	g, typed, answered := askForGround(slave, slave)
	assert.Equal(t, style.AnyGround, g)
	assert.Empty(t, typed)
	assert.False(t, answered)
	file, err := os.CreateTemp(t.TempDir(), "")
	require.NoError(t, err)
	defer file.Close()
	_, _, answered = askForGround(file, file)
	assert.True(t, answered, "no terminal is asked")
}
