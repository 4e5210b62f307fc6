package digits

import "strings"

// letters are capitals as high as the short numbers.
var letters = map[rune][]string{
	'A': glyph(`.##. #..# #..# #### #..# #..#`),
	'B': glyph(`###. #..# ###. #..# #..# ###.`),
	'C': glyph(`.### #... #... #... #... .###`),
	'D': glyph(`###. #..# #..# #..# #..# ###.`),
	'E': glyph(`#### #... ###. #... #... ####`),
	'F': glyph(`#### #... ###. #... #... #...`),
	'G': glyph(`.### #... #... #.## #..# .###`),
	'H': glyph(`#..# #..# #### #..# #..# #..#`),
	'I': glyph(`### .#. .#. .#. .#. ###`),
	'J': glyph(`..## ...# ...# ...# #..# .##.`),
	'K': glyph(`#..# #.#. ##.. ##.. #.#. #..#`),
	'L': glyph(`#... #... #... #... #... ####`),
	'M': glyph(`#...# ##.## #.#.# #.#.# #...# #...#`),
	'N': glyph(`#...# ##..# #.#.# #.#.# #..## #...#`),
	'O': glyph(`.###. #...# #...# #...# #...# .###.`),
	'P': glyph(`###. #..# #..# ###. #... #...`),
	'Q': glyph(`.###. #...# #...# #.#.# #..#. .##.#`),
	'R': glyph(`###. #..# #..# ###. #.#. #..#`),
	'S': glyph(`.### #... .##. ...# ...# ###.`),
	'T': glyph(`##### ..#.. ..#.. ..#.. ..#.. ..#..`),
	'U': glyph(`#..# #..# #..# #..# #..# .##.`),
	'V': glyph(`#...# #...# #...# .#.#. .#.#. ..#..`),
	'W': glyph(`#...# #...# #.#.# #.#.# ##.## #...#`),
	'X': glyph(`#...# .#.#. ..#.. ..#.. .#.#. #...#`),
	'Y': glyph(`#...# .#.#. ..#.. ..#.. ..#.. ..#..`),
	'Z': glyph(`#### ...# ..#. .#.. #... ####`),
	'?': glyph(`.##. #..# ..#. .#.. .... .#..`),
	':': glyph(`.. #. .. .. #. ..`),
}

// Words draws text of letters and digits, all as capitals, in Short rows of
// equal width. What has no drawing is left out.
func Words(text string) []string {
	out := make([]strings.Builder, Short)
	first := true
	for _, r := range strings.ToUpper(text) {
		g, ok := letters[r]
		if !ok {
			g, ok = short[r]
		}
		if !ok {
			continue
		}
		for row := range Short {
			if !first {
				out[row].WriteByte(' ')
			}
			writeRow(&out[row], g[2*row], g[2*row+1])
		}
		first = false
	}
	lines := make([]string, Short)
	for i := range out {
		lines[i] = out[i].String()
	}
	return lines
}
