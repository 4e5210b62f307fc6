package digits

// numbers are 6 dots high, digits 4 wide, so that a count keeps its width. The 4 is open
// to differ from the 9 at a glance; the 1 begins at its left edge, as others below it do.
var numbers = map[rune][]string{
	'0': glyph(`.##. #..# #..# #..# #..# .##.`),
	'1': glyph(`.#.. ##.. .#.. .#.. .#.. ###.`),
	'2': glyph(`.##. #..# ...# ..#. .#.. ####`),
	'3': glyph(`###. ...# .##. ...# ...# ###.`),
	'4': glyph(`#..# #..# #..# #### ...# ...#`),
	'5': glyph(`#### #... ###. ...# ...# ###.`),
	'6': glyph(`.##. #... ###. #..# #..# .##.`),
	'7': glyph(`#### ...# ..#. ..#. .#.. .#..`),
	'8': glyph(`.##. #..# .##. #..# #..# .##.`),
	'9': glyph(`.##. #..# #..# .### ...# .##.`),
	'-': glyph(`... ... ### ... ... ...`),
	'/': glyph(`...# ...# ..#. ..#. .#.. .#..`),
	'%': glyph(`##...# ##..#. ...#.. ..#... .#..## #...##`),
	' ': glyph(`.. .. .. .. .. ..`),
}
