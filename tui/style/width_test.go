package style

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Each code point that Width counts itself is one cell to the library, alone
// and beside any that joins others.
func TestWidthCountsSingleCells(t *testing.T) {
	for r := rune(0); r <= 0x3000; r++ {
		if !single(r) {
			continue
		}
		s := string(r)
		assert.Equal(t, 1, ansi.StringWidth(s), "%U", r)
		for _, next := range []string{"a", s, "─", "\u0301", "\ufe0f", "\u200d"} {
			assert.Equal(t, ansi.StringWidth(s+next), Width(s+next), "%U before %q", r, next)
		}
	}
}

func TestWidthIsThatOfTheLibrary(t *testing.T) {
	pieces := []string{"a", " ", "~", "é", "─", "█", "▀", "→", "·", "…", "▸", "灯", "🔦", "e\u0301", "\u200d", "\ufe0f", "\t", "\x7f", "\x00",
		"\x1b[1m", "\x1b[38;2;1;2;3m", "\x1b[0m", "\x1b[m", "\x1b[2K", "\x1b[", "\x1b", "\x1b]0;x\x07", "\x9b1m", "\xff", "m", "1;"}
	rapid.Check(t, func(t *rapid.T) {
		line := strings.Join(rapid.SliceOf(rapid.SampledFrom(pieces)).Draw(t, "pieces"), "")
		assert.Equal(t, ansi.StringWidth(line), Width(line), "%q", line)
	})
}

func BenchmarkWidth(b *testing.B) {
	line := strings.Repeat("\x1b[38;2;10;20;30m▀\x1b[0m  level", 12)
	b.Run("ours", func(b *testing.B) {
		for b.Loop() {
			Width(line)
		}
	})
	b.Run("library", func(b *testing.B) {
		for b.Loop() {
			ansi.StringWidth(line)
		}
	})
}
