package style

import (
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestNoColourIsPlain(t *testing.T) {
	r := lipgloss.NewRenderer(&strings.Builder{})
	r.SetColorProfile(termenv.Ascii)
	s := On(r, AnyGround)
	assert.Equal(t, Letters, s.Depth)
	for _, st := range []Text{s.Accent, s.Strong, s.Quiet, s.Good, s.Warn} {
		assert.Equal(t, "text", st.Render("text"))
	}
}

// Without colour nothing is lost: what looks unlike with colour looks unlike here, and
// no escape asks for a colour (SGR 30 to 49 and 90 to 107, ECMA-48 8.3.117).
func TestNoColourKeepsWhatColourTells(t *testing.T) {
	s := NoColour()
	assert.Equal(t, Letters, s.Depth)
	looks := map[string]bool{}
	for _, st := range []Text{s.Accent, s.Strong, s.Quiet, s.Warn} {
		line := st.Render("two", "words")
		looks[line] = true
		assert.Equal(t, "two words", ansi.Strip(line))
		assert.Regexp(t, `^(\x1b\[[147](;[147])*m)?two words(\x1b\[0m)?$`, line)
		assert.Equal(t, st.Render("a")+"\n"+st.Render("b"), st.Render("a\nb"), "each line by itself")
		assert.Empty(t, st.Render(""))
	}
	assert.Len(t, looks, 4)
}

// A Text looks as lipgloss writes it, whatever it is asked for.
func TestTextsLookAsTheirStyles(t *testing.T) {
	for _, p := range []termenv.Profile{termenv.Ascii, termenv.ANSI, termenv.ANSI256, termenv.TrueColor} {
		r := lipgloss.NewRenderer(&strings.Builder{})
		r.SetColorProfile(p)
		for _, want := range []lipgloss.Style{r.NewStyle(), r.NewStyle().Bold(true), r.NewStyle().Bold(true).Foreground(lipgloss.Color("#b08d57"))} {
			st := textOf(want)
			for _, text := range []string{"a", "two words", "─ é 灯", "two\nrow"} {
				assert.Equal(t, want.Render(text), st.Render(text), "%v", p)
				assert.Equal(t, want.Reverse(true).Render(text), st.Filled().Render(text), "%v", p)
			}
			assert.Equal(t, want.Render("a", "b"), st.Render("a", "b"))
		}
	}
	assert.Equal(t, "plain", Text{}.Render("plain"))
	assert.Empty(t, NoColour().Strong.Render(""), "no escapes around nothing")
}

// In sixteen colours a sign in a red cell is white: black on red is not read from two metres.
func TestFilledWarningInSixteenColours(t *testing.T) {
	r := lipgloss.NewRenderer(&strings.Builder{})
	r.SetColorProfile(termenv.ANSI)
	for _, g := range []Ground{DarkGround, LightGround} {
		assert.Equal(t, "\x1b[1;97;41m×\x1b[0m", On(r, g).Warn.Filled().Render("×"))
	}
}

func TestDepths(t *testing.T) {
	assert.Equal(t, True, DepthOf(termenv.TrueColor))
	assert.Equal(t, Cube256, DepthOf(termenv.ANSI256))
	assert.Equal(t, Sixteen, DepthOf(termenv.ANSI))
	assert.Equal(t, Letters, DepthOf(termenv.Ascii))
}

func TestFitIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-z ä─●\n]|\x1b\[1m|\x1b\[0m){0,80}`).Draw(t, "text")
		w, h := rapid.IntRange(1, 40).Draw(t, "w"), rapid.IntRange(1, 10).Draw(t, "h")
		lines := strings.Split(Fit(text, w, h), "\n")
		assert.Len(t, lines, h)
		for _, l := range lines {
			assert.Equal(t, w, ansi.StringWidth(l), "%q", l)
		}
	})
}

func TestCellSaysThatItCut(t *testing.T) {
	assert.Equal(t, "abcd…", Cell("abcdefgh", 5))
	assert.Equal(t, "ab   ", Cell("ab", 5))
}

func TestCleanKeepsWordsDropsControls(t *testing.T) {
	for in, want := range map[string]string{
		"porch":             "porch",
		"a\x1b[2Jb":         "a[2Jb",
		"a\r\nb\x00":        "ab",
		"x\u202egnp":        "xgnp",
		"Grün 3 m\u00e4rz":  "Grün 3 märz",
		"bad\xff\xfebytes":  "badbytes",
		"c1 \u009b31m text": "c1 31m text",
	} {
		assert.Equal(t, want, Clean(in))
	}
}

// A short word with a hyphen stays on one line; what is longer than a line may break.
func TestHyphens(t *testing.T) {
	assert.Equal(t, []string{"on disk, every", "check-out is recorded"}, Wrap("on disk, every check-out is recorded", 22))
	for _, l := range Wrap("a-very-long-name-of-a-file-with-many-words-in-it.toml", 20) {
		assert.LessOrEqual(t, Width(l), 20, "%q", l)
	}
	for width := 20; width < 60; width++ { // a command keeps its flags whole, also one that is not broken at spaces
		for _, text := range []string{"Then run ringout check FILE --sequence at once.", "Then run ringout\u00a0check\u00a0FILE\u00a0--sequence at once."} {
			assert.Contains(t, strings.Join(Wrap(text, width), "\n"), "--sequence", "%d", width)
		}
	}
}

// No word stands alone on the last line where the one before can join it and leaves half of that line
// behind. Widths by hand.
func TestNoWordStandsAlone(t *testing.T) {
	for _, row := range []struct {
		text  string
		width int
		want  []string
	}{
		{"one two three four", 14, []string{"one two", "three four"}},
		{"a b cccc ddddd", 10, []string{"a b cccc", "ddddd"}},
		{"aa bb cccccccccc dddddddd", 16, []string{"aa bb cccccccccc", "dddddddd"}},
		{"alpha beta gamma", 10, []string{"alpha", "beta gamma"}},
		{"one two three four five", 13, []string{"one two three", "four five"}},
		{"one two", 20, []string{"one two"}},
		{"one two", 4, []string{"one", "two"}},
	} {
		assert.Equal(t, row.want, Wrap(row.text, row.width), "%q in %d", row.text, row.width)
	}
}

func TestFirstFit(t *testing.T) {
	texts := []string{"─ é 灯 words", "words", ""}
	for width, want := range map[int]string{11: texts[1], 12: texts[0], 5: texts[1], 4: ""} {
		assert.Equal(t, want, FirstFit(width, texts...), "%d cells", width)
	}
	assert.Equal(t, "words", FirstFit(2, texts[:2]...), "the last one, though it has no room")
}
