package digits

// zeroKey is the 0 of a key: with a dot inside, or it might be the letter O.
const zeroKey = '∅'

// smalls are small letters, for keys: a capital is another key. Those without parts
// above or below are four dots high, so that they are not taken for capitals.
var smalls = map[rune][]string{
	zeroKey: glyph(`.###. #...# #.#.# #.#.# #...# .###.`),

	'a': glyph(`.... .##. ...# .### #..# .###`),
	'b': glyph(`#... #... ###. #..# #..# ###.`),
	'c': glyph(`.... .... .### #... #... .###`),
	'd': glyph(`...# ...# .### #..# #..# .###`),
	'e': glyph(`.... .##. #..# #### #... .###`),
	'f': glyph(`..## .#.. ###. .#.. .#.. .#..`),
	'g': glyph(`.... .### #..# .### ...# ###.`),
	'h': glyph(`#... #... ###. #..# #..# #..#`),
	'i': glyph(`.#. ... ##. .#. .#. ###`),
	'j': glyph(`..# ... ..# ..# #.# .#.`),
	'k': glyph(`#... #..# #.#. ##.. #.#. #..#`),
	'l': glyph(`##. .#. .#. .#. .#. .##`), // a stroke at the left above and at the right below: no L, no 1
	'm': glyph(`..... ..... ##.#. #.#.# #.#.# #.#.#`),
	'n': glyph(`.... .... ###. #..# #..# #..#`),
	'o': glyph(`.... .... .##. #..# #..# .##.`),
	'p': glyph(`.... ###. #..# ###. #... #...`),
	'q': glyph(`.... .### #..# .### ...# ...#`),
	'r': glyph(`.... .... #.## ##.. #... #...`),
	's': glyph(`.... .... .### ##.. ..## ###.`),
	't': glyph(`.#.. ###. .#.. .#.. .#.. ..##`),
	'u': glyph(`.... .... #..# #..# #..# .###`),
	'v': glyph(`..... ..... #...# #...# .#.#. ..#..`),
	'w': glyph(`..... ..... #...# #.#.# #.#.# .#.#.`),
	'x': glyph(`.... .... #..# .##. .##. #..#`),
	'y': glyph(`.... #..# #..# .### ...# .##.`),
	'z': glyph(`.... .... #### ..#. .#.. ####`),
}
