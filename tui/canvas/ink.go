package canvas

import (
	"math"
	"strconv"
	"strings"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// An ink is a colour as written to a terminal; the zero ink is the terminal's own colour.
// The top byte is the depth; the others are red, green and blue, or the number of one of
// the 256 colours, or the SGR parameter of a foreground.
type ink uint32

func rgb(r, g, b int) ink { return ink(style.True)<<24 | ink(r)<<16 | ink(g)<<8 | ink(b) }

func indexed(n int) ink { return ink(style.Cube256)<<24 | ink(n) }

func plain(param int) ink { return ink(style.Sixteen)<<24 | ink(param) }

// decimals are the numbers 0 to 255 as text: digits from the left and a
// semicolon, and how many digits.
var decimals [256]struct {
	text [4]byte
	n    int
}

// number appends a number of at most 255. It always copies four octets, since a copy of
// fixed length is quicker.
func number(b []byte, v ink) []byte {
	d := &decimals[v&255]
	return append(b, d.text[:]...)[:len(b)+d.n]
}

// part is number with the semicolon after it.
func part(b []byte, v ink) []byte {
	d := &decimals[v&255]
	return append(b, d.text[:]...)[:len(b)+d.n+1]
}

// append adds the SGR parameters of the ink as a foreground, or with ground 10
// as a background.
func (k ink) append(b []byte, ground ink) []byte {
	switch style.Depth(k >> 24) {
	case style.True:
		b = append(part(b, 38+ground), '2', ';')
		return number(part(part(b, k>>16), k>>8), k)
	case style.Cube256:
		return number(append(part(b, 38+ground), '5', ';'), k)
	case style.Sixteen:
		return number(b, k+ground)
	}
	return number(b, 39+ground)
}

// darkInk is the colour of a dark pixel: visible on the mat (3:1, WCAG 2.1 1.4.11), but
// darker than any light.
var darkInk = [4]ink{style.Sixteen: plain(90), style.Cube256: indexed(241), style.True: rgb(98, 98, 98)}

// dotInk is the colour of DarkSign and OutsideSign, which are smaller than light and so may be brighter than darkInk.
var dotInk = [4]ink{style.Sixteen: plain(90), style.Cube256: indexed(244), style.True: rgb(124, 124, 124)}

// mat is the background of the drawing: near black on every terminal, since white light
// cannot be shown on a white page.
var mat = [4]ink{style.Sixteen: plain(30), style.Cube256: indexed(233), style.True: rgb(17, 17, 17)}

// inkOf is the ink of a pixel's light.
func inkOf(c patterns.Colour, level float64, d style.Depth) ink {
	if c.Dark() {
		return darkInk[d]
	}
	v := mix(c)
	share := shareOf(c, level)
	if d == style.Sixteen {
		return sixteen(v, bandOf(share))
	}
	if blue := float64(c.B) - float64(max(c.R, c.G, c.W, c.C)); blue > 0 { // with white it looks violet (the Abney effect, from memory)
		v[0], v[1] = v[0]-0.05*blue, v[1]+0.03*blue
	}
	r, g, b := lift(v, share, level)
	if d == style.Cube256 {
		return cubed(r, g, b)
	}
	return rgb(seenLit(r, g, b))
}

// sixteen is light in the sixteen colours. Dim light has the darker of a terminal's two
// shades, so that a bright pixel among others is seen; blue always has the bright one, since the
// darker is hardly visible on black.
func sixteen(v [3]float64, at band) ink {
	if h := hue(v); h != blueHue && at < full {
		return plain(30 + h)
	}
	return plain(90 + hue(v))
}

// Inked is a text in the colour that a pixel of this light has in a drawing, on the same
// ground; in the terminal's own colour where there are none.
func Inked(text string, c patterns.Colour, level float64, d style.Depth) string {
	return onMat(text, inkOf(c, level, d), d)
}

// Lettered is a line of large letters in the colour that a pixel of this light has in a drawing, on its ground,
// so that the two can be compared and a red that is expected does not look like an alarm. A cell of ground at
// each side keeps the outer strokes off a white page.
func Lettered(text string, c patterns.Colour, level float64, d style.Depth) string {
	return Inked(" "+text+" ", c, level, d)
}

// Rim is half a row of ground above or below large letters so wide, with the cells at their sides.
func Rim(width int, above bool, d style.Depth) string {
	half := "▀"
	if above {
		half = "▄"
	}
	return "\x1b[" + string(mat[d].append(nil, 0)) + "m" + strings.Repeat(half, width+2) + "\x1b[0m"
}

// onMat is a text in an ink on the ground of drawings; plain where there are no colours.
func onMat(text string, k ink, d style.Depth) string {
	if d == style.Letters {
		return text
	}
	b := append([]byte("\x1b["), k.append(nil, 0)...)
	return string(mat[d].append(append(b, ';'), 10)) + "m" + text + "\x1b[0m"
}

// inks is a cache of inks at one level: a frame has few colours, each many times, and
// inkOf is slow.
type inks struct {
	level float64
	depth style.Depth
	known [1024]struct {
		colour patterns.Colour
		ink    ink // 0 while unknown
	}
}

// of is inkOf at the level.
func (k *inks) of(c patterns.Colour) ink {
	h := uint64(c.R) | uint64(c.G)<<8 | uint64(c.B)<<16 | uint64(c.W)<<24 | uint64(c.C)<<32
	at := &k.known[h*0x9e3779b97f4a7c15>>54] // spread by the golden ratio, the upper ten bits
	if at.ink == 0 || at.colour != c {
		at.colour, at.ink = c, inkOf(c, k.level, k.depth)
	}
	return at.ink
}

// mix is the light of all channels as red, green and blue; 255 is one channel at full.
// White LEDs are drawn as about 3000 K, cool ones as about 6500 K (from memory, by eye).
// Blue gets some white, since a screen's blue is much darker than an LED's.
func mix(c patterns.Colour) [3]float64 {
	w, k, b := float64(c.W), float64(c.C), float64(c.B)
	return [3]float64{
		0.93*float64(c.R) + 0.07*b + w + 0.85*k,
		0.91*float64(c.G) + 0.09*b + 0.78*w + 0.93*k,
		b + 0.55*w + k,
	}
}

// A strip at 3 % is clearly lit, but 3 % of a screen's brightness is black. So a pixel is
// drawn by its share of the level in force, and the level darkens the whole drawing only
// a little.
// lowest is the share of full brightness that the lowest level gets.
const lowest = 0.9

// bandShares are the share of the brightest that light in each band gets at least, and at most: by a
// contrast of 1.25:1 apart (faint, dim and full).
var bandShares = [...][2]float64{faint: {0.53, 0.55}, dimly: {0.66, 0.69}, full: {0.86, 1}}

// Tables over 0 to 255: gamma turns light, linear in current, into screen values, linear is its
// inverse.
var gamma, linear [256]float64

func init() {
	for i := range gamma {
		decimals[i].n = copy(decimals[i].text[:], strconv.Itoa(i)+";") - 1
		gamma[i] = math.Pow(float64(i)/255, 1/2.2)
		linear[i] = math.Pow(float64(i)/255, 2.2)
	}
}

// brightness is that of a pixel among others, by its share of the level, 0 to 1. Bands, as Seen names
// them, are apart from one another, and light differs a little within each.
func brightness(of float64) float64 {
	of = min(1, of)
	at, from := bandOf(of), 0.0
	if at > faint {
		from = bandEnds[at-1]
	}
	least, most := bandShares[at][0], bandShares[at][1]
	return least + (most-least)*(of-from)/(bandEnds[at]-from)
}

// lift turns light of a share of the level into screen values 0 to 255; the level darkens them a
// little. The hue stays.
func lift(v [3]float64, share, level float64) (r, g, b int) {
	top := max(v[0], v[1], v[2])
	peak := 255 * brightness(share) * (lowest + (1-lowest)*gamma[int(255*level)])
	part := 255 / top
	return int(peak*gamma[int(v[0]*part+1e-9)] + 0.5), int(peak*gamma[int(v[1]*part+1e-9)] + 0.5), int(peak*gamma[int(v[2]*part+1e-9)] + 0.5)
}

// leastLuminance is the least luminance of light, 0 to 1: a contrast of 1.5:1 against a
// dark pixel (grey 98 has 0.122), so that a faint blue one is seen.
const leastLuminance = 0.21

// seenLit is a colour with white added up to leastLuminance.
func seenLit(r, g, b int) (int, int, int) {
	for Luminance(r, g, b) < leastLuminance {
		r, g, b = min(255, r+2), min(255, g+2), min(255, b+2)
	}
	return r, g, b
}

// Luminance is the relative luminance of screen values (WCAG 2.1), with the plain
// exponent 2.2 for the curve.
func Luminance(r, g, b int) float64 {
	return 0.2126*linear[r] + 0.7152*linear[g] + 0.0722*linear[b]
}

// CubeStep is the nearest step of the 256-colour cube, whose values CubeSteps has.
func CubeStep(v int) int {
	switch {
	case v < 48:
		return 0
	case v < 115:
		return 1
	}
	return min(5, (v-35)/40)
}

// faintCube is the least step of the strongest component of light in the cube: with less
// it looks like a dark pixel.
const faintCube = 3

// cubed is the colour of the cube nearest to screen values that is bright enough to be
// seen as light.
func cubed(r, g, b int) ink {
	if max(r, g, b)-min(r, g, b) <= 2 {
		return grey(max(r, g, b))
	}
	v, most := [3]int{CubeStep(r), CubeStep(g), CubeStep(b)}, max(r, g, b)
	top := max(v[0], v[1], v[2])
	for i, x := range [3]int{r, g, b} {
		if x > most-8 { // hardly less: with a step less yellow would be gold
			v[i] = top
		}
	}
	raise := func() {
		top = min(top+1, len(CubeSteps)-1)
		for i, x := range [3]int{r, g, b} {
			v[i] = max(v[i], CubeStep(x*CubeSteps[top]/most))
		}
	}
	for top < faintCube {
		raise()
	}
	for dim(v) && top < len(CubeSteps)-1 {
		raise()
		if dim(v) {
			v[1] = max(v[1], 1) // of blue: green is what makes it bright
		}
	}
	return indexed(16 + 36*v[0] + 6*v[1] + v[2])
}

// grey is the nearest of the 24 greys after the cube, 8 to 238 by tens, or its white.
func grey(v int) ink {
	if v > 242 {
		return indexed(231)
	}
	return indexed(232 + (max(8, v)-3)/10)
}

// CubeSteps are the values of the cube on a screen.
var CubeSteps = [6]int{0, 95, 135, 175, 215, 255}

// dim reports whether a colour of the cube, by its steps, is no brighter than a dark
// pixel.
func dim(v [3]int) bool { return Luminance(CubeSteps[v[0]], CubeSteps[v[1]], CubeSteps[v[2]]) < 0.13 }

// blueHue is blue, as hue counts.
const blueHue = 4

// whiteHue is white.
const whiteHue = 7

// hue is the nearest of the seven plain colours, 1 red + 2 green + 4 blue.
func hue(v [3]float64) int {
	top := max(v[0], v[1], v[2])
	h := 0
	for i, x := range v {
		if x >= 0.45*top {
			h |= 1 << i
		}
	}
	return h
}
