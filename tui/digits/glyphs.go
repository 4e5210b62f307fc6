package digits

// numbers are 6 dots high and mostly 4 wide. The 4 is open and the 1 begins at its left
// edge, so that one differs from the 9 at a glance and the other stands below others.
var numbers = map[rune][]string{
	'0': glyph(`.##. #..# #..# #..# #..# .##.`),
	'1': glyph(`.#. ##. .#. .#. .#. ###`),
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
