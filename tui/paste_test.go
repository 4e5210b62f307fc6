package tui

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The marks are those of xterm's control sequences, "Bracketed Paste Mode".
func TestPasteWithoutEnd(t *testing.T) {
	for _, r := range []struct{ name, in, want string }{
		{"plain keys", "q\x03", "q\x03"},
		{"a whole paste", "\x1b[200~abc\x1b[201~\x03", "\x1b[200~abc\x1b[201~\x03"},
		{"one without end", "\x1b[200~abc\x03", "\x1b[200~abc\x1b[201~\x03"},
		{"and another one", "\x1b[200~\x03\x1b[200~x\x03", "\x1b[200~\x1b[201~\x03\x1b[200~x\x1b[201~\x03"},
	} {
		for _, size := range []int{1, 2, 5, 100} { // however it comes in
			var p pastes
			var out strings.Builder
			for at := 0; at < len(r.in); at += size {
				out.Write(p.pass([]byte(r.in[at:min(at+size, len(r.in))])))
			}
			assert.Equal(t, r.want, out.String(), "%s by %d", r.name, size)
		}
	}
}

// Nothing is lost, and what is read never grows to more than twice its length.
func TestPastesLoseNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := strings.Join(rapid.SliceOf(rapid.SampledFrom([]string{"\x1b[200~", "\x1b[201~", "\x03", "a", "\x1b[A"})).Draw(t, "in"), "")
		var p pastes
		out := string(p.pass([]byte(in)))
		if len(out) > 2*len(in) {
			t.Fatalf("%d bytes of %d", len(out), len(in))
		}
		if strings.ReplaceAll(out, "\x1b[201~", "") != strings.ReplaceAll(in, "\x1b[201~", "") {
			t.Fatalf("%q of %q", out, in)
		}
	})
}
