package digits

import (
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func signs() map[rune][]string {
	all := map[rune][]string{}
	for _, set := range []map[rune][]string{letters, numbers} {
		for r, g := range set {
			all[r] = g
		}
	}
	return all
}

func TestSignsFillTheirRows(t *testing.T) {
	seen := map[string]rune{}
	for r, g := range signs() {
		require.Len(t, g, high, "%q", r)
		for _, line := range g {
			assert.Len(t, line, len(g[0]), "%q", r)
		}
		all := strings.Join(g, "\n")
		other, twice := seen[all]
		assert.False(t, twice, "%q and %q look the same", r, other)
		seen[all] = r
	}
}

// From two metres a digit must differ from every other in more than a speck.
func TestDigitsDiffer(t *testing.T) {
	for _, a := range "0123456789" {
		for _, b := range "0123456789" {
			if a >= b {
				continue
			}
			differ := 0
			for row, line := range numbers[a] {
				other := numbers[b][row]
				differ += max(len(line), len(other)) - min(len(line), len(other))
				for i := range min(len(line), len(other)) {
					if line[i] != other[i] {
						differ++
					}
				}
			}
			assert.GreaterOrEqual(t, differ, 2, "%q and %q", a, b)
		}
	}
}

// By hand, from the Unicode chart of block elements: the same 1 in both faces.
func TestOneInBlocks(t *testing.T) {
	assert.Equal(t, []string{"▄█  ", " █  ", "▄█▄ "}, face{wide: 2, tall: 1}.draw("1"))
	assert.Equal(t, []string{"▟ ", "▐ ", "▟▖"}, face{wide: 1, tall: 1}.draw("1"))
	assert.Equal(t, []string{"  ██    ", "████    ", "  ██    ", "  ██    ", "  ██    ", "██████  "}, face{wide: 4, tall: 2}.draw("1"))
	assert.Equal(t, []string{" ▐█   ", "███   ", " ▐█   ", " ▐█   ", " ▐█   ", "████▌ "}, face{wide: 3, tall: 2}.draw("1"), "a dot is a cell and a half wide")
}

func TestEveryLetterAndDigitHasADrawing(t *testing.T) {
	assert.True(t, drawable("ABCDEFGHIJKLMNOPQRSTUVWXYZ 0123456789 ?!.,:+-/%=<>()'"))
	assert.False(t, drawable("Ü"))
	assert.False(t, drawable(""))
	assert.True(t, drawable("abcdefghijklmnopqrstuvwxyz"))
	assert.Equal(t, Large(40, 3, "LIT"), Large(40, 3, "lit"))
	for r, small := range smalls {
		require.Len(t, small, high, "%c", r)
		assert.NotEqual(t, letters[unicode.ToUpper(r)], small, "%c is another key than its capital", r)
	}
}

// In a list of keys 0 is no letter O, and l neither 1 nor I nor L.
func TestKeysThatLookAlike(t *testing.T) {
	f := face{wide: 2, tall: 1}
	assert.NotEqual(t, f.draw("O"), f.draw("0"))
	assert.NotEqual(t, f.draw("8"), f.draw("0"))
	for _, other := range []string{"O", "o", "8", "0"} {
		assert.NotEqual(t, f.draw(other), f.draw(string(zeroKey)), "the key 0 has a dot")
	}
	assert.Equal(t, [][]string{{"▄▀▀▀▄    █▄  █ ▄▀▀▀▄", "█ █ █    █ █ █ █   █", "▀▄▄▄▀    █  ▀█ ▀▄▄▄▀"}}, Alike(40, Rows, "0 no"))
	assert.Equal(t, f.draw("300"), Alike(40, Rows, "300")[0], "a number is no key")
	for _, other := range []string{"1", "I", "L", "!"} {
		assert.NotEqual(t, f.draw(other), f.draw("l"), other)
	}
}

// A key keeps its small letters, since capitals are other keys; what it does is in capitals.
func TestKeysKeepTheirLetters(t *testing.T) {
	f := face{wide: 2, tall: 1}
	assert.Equal(t, [][]string{f.draw("l OFF"), f.draw("L LIGHT")}, Alike(80, 3, "l off", "L Light"))
	for _, lines := range Alike(80, 6, "l off", "L Light") {
		assert.Len(t, lines, 6, "as high as was asked for")
	}
	assert.Nil(t, Alike(15, 6, "l off", "L Light"), "no lower where that would have room")
	assert.NotNil(t, Alike(25, 3, "l off", "L Light"))
	_, cells := AlikeKeys(80, 3, "l off", Whole("1-7 0")+" answer")
	assert.Equal(t, []int{f.width("l"), f.width("1-7 " + string(zeroKey))}, cells)
	assert.Nil(t, Alike(80, 3, "l off", "Ü over"), "none where one has no drawing")
	assert.Nil(t, Alike(80, 2, "l off"))
}

// The meanings of keys begin in one column, as wide as the keys are, in one face, and have room.
func TestKeysHaveTheirMeaningsInOneColumn(t *testing.T) {
	names := []string{"1 ring", "l off", "enter walk", Whole("shift tab") + " back", "0 no"}
	for _, rows := range []int{3, 6, 9} {
		for width := 30; width < 240; width += 7 {
			all, cells := Keyed(width, rows, names)
			if all == nil {
				continue
			}
			require.Len(t, all, len(names))
			column := slices.Max(cells)
			for i, lines := range all {
				require.Len(t, lines, rows)
				first := width
				for _, l := range lines {
					r := []rune(l)
					require.LessOrEqual(t, len(r), width)
					for at := cells[i]; at < len(r); at++ {
						if r[at] != ' ' {
							first = min(first, at)
							break
						}
					}
				}
				require.Greater(t, first, column, "%s", names[i])
				require.LessOrEqual(t, first-column, 2*rows, "%s", names[i])
			}
		}
	}
	f := face{wide: 2, tall: 1}
	all, _ := Keyed(80, 3, []string{"1 run", "2 run"}, []string{"enter run"})
	for i, key := range []string{"1", "2", "enter"} {
		column := []int{f.width("2"), f.width("2"), f.width("enter")}[i]
		for k, l := range all[i] {
			assert.Equal(t, f.draw("RUN")[k], string([]rune(l)[column+4:]), "%s: a group has its own column", key)
		}
	}
	all, _ = Keyed(20, 3, []string{"enter a long meaning"})
	assert.Nil(t, all)
}

func TestLinesAreEqualAndFit(t *testing.T) {
	text := rapid.StringMatching(`[A-Z0-9 ?,]{1,24}`)
	rapid.Check(t, func(t *rapid.T) {
		width, rows := rapid.IntRange(24, 240).Draw(t, "width"), rapid.IntRange(0, 30).Draw(t, "rows")
		texts := rapid.SliceOfN(text, 1, 3).Draw(t, "texts")
		lines := Large(width, rows, texts...)
		require.NotEmpty(t, lines)
		for _, l := range lines {
			assert.LessOrEqual(t, utf8.RuneCountInString(l), width)
			assert.Equal(t, utf8.RuneCountInString(lines[0]), utf8.RuneCountInString(l))
		}
		assert.LessOrEqual(t, len(lines), max(rows, 1))
	})
}

// Shorter words come before a small face, a small face before plain capitals.
// Widths by hand: a letter of 4 dots takes 5 cells less the last gap, so ABCD is
// 19, AB 9. In the narrowest face it is 2 cells, with a gap of one: ABCD is 11, AB 5.
func TestLargeChooses(t *testing.T) {
	abcd, ab := "ABCD", "AB"
	assert.Equal(t, face{wide: 2, tall: 1}.draw(abcd), Large(19, 3, abcd, ab))
	assert.Equal(t, face{wide: 2, tall: 1}.draw(ab), Large(18, 3, abcd, ab))
	assert.Equal(t, face{wide: 1, tall: 1}.draw(ab), Large(8, 3, abcd, ab))
	assert.Equal(t, face{wide: 1, tall: 1}.draw(abcd), Large(11, 3, abcd))
	assert.Equal(t, face{1, 1, true}.draw(abcd), Large(10, 3, abcd), "half a cell between letters before none that are drawn")
	assert.Equal(t, face{wide: 3, tall: 2}.draw(abcd), Large(37, 6, abcd), "28.5 cells")
	assert.Equal(t, face{wide: 2, tall: 2}.draw(abcd), Large(28, 6, abcd))
	assert.Equal(t, face{wide: 2, tall: 2}.draw(abcd), Large(19, 6, abcd), "6 rows of the narrow face before 3 of the plain one")
	assert.Equal(t, face{wide: 4, tall: 2}.draw(abcd), Large(38, 6, abcd))
	assert.Equal(t, face{wide: 4, tall: 2}.draw(abcd), Large(38, 8, abcd))
	assert.Equal(t, face{wide: 6, tall: 3}.draw(ab), Large(28, 9, abcd, ab), "shorter words before a lower face")
	assert.Equal(t, []string{"ABCD"}, Large(4, 3, "abcd"))
	assert.Equal(t, []string{"Ü B E R"}, Large(100, 9, "Über"))
	assert.Equal(t, []string{"Ü B E R   7"}, Large(11, 9, "Über 7"), "gaps between letters, a wider one between words")
	assert.Equal(t, []string{"ÜBER 7"}, Large(10, 9, "Über 7"))
	assert.Equal(t, []string{"ONE", "TWO"}, Large(3, 9, "one two"))
	assert.Equal(t, []string{"ABC", "DE ", "F  "}, Large(3, 9, "abcde f"))
	assert.Nil(t, Large(9, 9))
}

// No text is smaller in a larger window, alone on its line or broken into several.
func TestLettersGrowWithTheWindow(t *testing.T) {
	text := rapid.StringMatching(`[A-Z0-9]{1,9}( [A-Z0-9]{1,9}){0,3}`)
	rapid.Check(t, func(t *rapid.T) {
		words := text.Draw(t, "words")
		width, rows := rapid.IntRange(10, 200).Draw(t, "width"), rapid.IntRange(3, 50).Draw(t, "rows")
		wider, higher := width+rapid.IntRange(0, 60).Draw(t, "wider"), rows+rapid.IntRange(0, 20).Draw(t, "higher")
		for _, reads := range []func(face) bool{face.easy, face.apart, face.any} {
			f, ok := largest(words, width, rows, reads)
			g, still := largest(words, wider, higher, reads)
			if ok {
				assert.True(t, still)
				assert.False(t, f.above(g), "%v in %d x %d, %v in %d x %d", f, width, rows, g, wider, higher)
			}
		}
		for _, good := range []func([]string) bool{even, anyLines} {
			f, lines := broken(words, width, rows, good)
			g, still := broken(words, wider, higher, good)
			if lines != nil {
				assert.NotNil(t, still)
				assert.False(t, f.above(g), "%v in %d x %d, %v in %d x %d", f, width, rows, g, wider, higher)
			}
		}
	})
}

// Whatever the texts, the letters of a block are never less than half as high in a larger
// window, where longer words or lines without a stub may have room.
func TestBlocksKeepHalfTheirHeight(t *testing.T) {
	text := rapid.StringMatching(`[A-Z0-9]{1,9}( [A-Z0-9]{1,9}){0,5}`)
	rapid.Check(t, func(t *rapid.T) {
		texts := rapid.SliceOfN(text, 1, 3).Draw(t, "texts")
		width, rows := rapid.IntRange(10, 200).Draw(t, "width"), rapid.IntRange(3, 50).Draw(t, "rows")
		wider, higher := width+rapid.IntRange(0, 60).Draw(t, "wider"), rows+rapid.IntRange(0, 20).Draw(t, "higher")
		small, large := Block(width, rows, texts...), Block(wider, higher, texts...)
		assert.GreaterOrEqual(t, 2*tallest(large), tallest(small), "%q in %d x %d, then\n%s\nin %d x %d",
			texts, width, rows, strings.Join(large, "\n"), wider, higher)
	})
}

// tallest is the height in rows of the lines of letters of a block, plain ones with 1.
func tallest(block []string) int {
	if !strings.ContainsAny(strings.Join(block, ""), "▘▝▀▖▌▞▛▗▚▐▜▄▙▟█") {
		return 1
	}
	lines := 1
	for _, l := range block {
		if strings.TrimSpace(l) == "" {
			lines++
		}
	}
	return (len(block)+1)/lines - 1
}

// A word is left alone on a line of a block only where it is nearly as wide as the others;
// a narrow face on one line is taken before that. Widths by hand: in the narrowest face
// whose letters stand apart a letter of 4 dots takes 3 cells, in the next one 5.
func TestNoWordIsLeftAlone(t *testing.T) {
	assert.True(t, even([]string{"DARK", "FROM 60"}))
	assert.True(t, even([]string{"MIDDLE RING", "BACKWARDS"}))
	assert.True(t, even([]string{"HOLD", "STILL"}))
	assert.True(t, even([]string{"HOST", "127.0.0.1"}), "what it is over the figure")
	assert.True(t, even([]string{"NOT CHECKED YET"}))
	for _, lines := range [][]string{{"NOT CHECKED", "YET"}, {"NO", "HOST", "YET"}, {"GRB TO", "RGB"}, {"NO", "HOST YET"},
		{"S: FILL IN", "SET-UP"}, {"CHECK ONE", "PART OR RUN", "ALONE"}} {
		assert.False(t, even(lines), "%q", lines)
	}
	assert.Equal(t, []string{"CHECK ONE PART", "OR RUN ALONE"}, fromEnd("CHECK ONE PART OR RUN ALONE", 2), "the last lines filled first")
	text := "NOT CHECKED YET"
	assert.Equal(t, face{wide: 1, tall: 1}.draw(text), Block(56, 9, text))
	assert.Equal(t, Block(30, 7, "GRB TO RGB"), face{wide: 1, tall: 1}.draw("GRB TO RGB"))
	assert.Len(t, Block(24, 11, "NO HOST YET"), 11, "where no line holds it, a word a line all the same")
}

// The face whose letters stand half a cell apart is a comb: shorter words in any other
// face come before it.
func TestShorterWordsBeforeAComb(t *testing.T) {
	got := Large(46, 3, "First wrong run?", "Which run?")
	assert.Equal(t, face{wide: 1, tall: 1}.draw("WHICH RUN?"), got)
	assert.Equal(t, got, Line(46, 3, "First wrong run?", "Which run?"))
	assert.Nil(t, Line(46, 3, "First wrong run?"))
}

// The large words at the head of a page grow from each usual window to the next: its rows without the two
// to six lines of the bench (tui/bench).
func TestHeadsGrowWithTheWindow(t *testing.T) {
	for i, window := range []int{24, 40, 50, 60} {
		for bench := 2; bench <= 6; bench++ {
			assert.Equal(t, (i+1)*Rows, HeadRows(window-bench), "%d rows", window)
		}
	}
}

// A name or a date is not broken: it stands whole on a line of a block, and looks as any.
func TestWholeTextsAreNotBroken(t *testing.T) {
	name := "Pier PC"
	assert.Equal(t, face{wide: 2, tall: 1}.draw(name), face{wide: 2, tall: 1}.draw(Whole(name)))
	assert.Equal(t, []string{"lit by", "Pier\u00a0PC"}, inLines("lit by "+Whole(name), 2))
}
