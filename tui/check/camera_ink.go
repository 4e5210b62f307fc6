package check

import (
	"fmt"
	"math"
	"strings"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// A sign is what is drawn over a cell of the picture.
type sign struct {
	text string
	kind uint8
}

const (
	ringed uint8 = iota + 1
	dotted       // several spots
	markedAt
	cursor
)

// signs are the rings of the spots, the marks and the cursor by cell.
func (s proofState) signs(f frame) map[[2]int]sign {
	out := map[[2]int]sign{}
	put := func(p eyes.Point, g sign) {
		if x, y, ok := f.cellOf(p); ok {
			out[[2]int{x, y}] = g
		}
	}
	s.spots(f, out)
	for i, k := range s.proof.Marks {
		put(k.At, sign{fmt.Sprint(i + 1), markedAt})
	}
	if s.at != (eyes.Point{}) {
		put(s.at, sign{"┼", cursor})
	}
	return out
}

// mostApart is how high a cell is at most, in spacings of the spots, where each spot has a sign: in
// larger cells too many are hidden.
const mostApart = 1.25

// spots puts a sign for each spot, into the cell beside where another one has its own; or a dot for each
// where cells are large, or have no free one beside them.
func (s proofState) spots(f frame, out map[[2]int]sign) {
	own, apart := f.ownCells(s.view.Sight.Spots)
	if apart && 2*f.cell <= mostApart*s.view.Sight.Spacing {
		for at, p := range own {
			out[at] = sign{spotAt((p.Y-f.y0)/(2*f.cell) - float64(at[1])), ringed}
		}
		return
	}
	dots := canvas.NewDots(f.columns, f.rows)
	for _, p := range s.view.Sight.Spots {
		dots.Put((p.X-f.x0)/f.cell, (p.Y-f.y0)/(2*f.cell))
		if x, y, ok := f.cellOf(p); ok {
			out[[2]int{x, y}] = sign{dots.At(x, y), dotted}
		}
	}
}

// spotAt is the sign of a spot so far down its cell, 0 to 1: what lies evenly is drawn about so.
func spotAt(down float64) string {
	switch {
	case down < 1.0/3:
		return "⠛"
	case down < 2.0/3:
		return canvas.Dot
	}
	return "⣤"
}

// ownCells are the spots in the frame by cells of their own: each one's cell, or the nearest free one
// around it; false where there is none.
func (f frame) ownCells(spots []eyes.Point) (own map[[2]int]eyes.Point, all bool) {
	own = map[[2]int]eyes.Point{}
	var second []eyes.Point
	for _, p := range spots {
		x, y, ok := f.cellOf(p)
		if !ok {
			continue
		}
		if _, taken := own[[2]int{x, y}]; taken {
			second = append(second, p)
			continue
		}
		own[[2]int{x, y}] = p
	}
	for _, p := range second {
		at, ok := f.freeBeside(p, own)
		if !ok {
			return nil, false
		}
		own[at] = p
	}
	return own, true
}

// freeBeside is the nearest cell around that of a place which is not taken; false for none.
func (f frame) freeBeside(p eyes.Point, taken map[[2]int]eyes.Point) (at [2]int, ok bool) {
	x, y, _ := f.cellOf(p)
	least := math.Inf(1)
	for i := range 9 {
		near := [2]int{x + i%3 - 1, y + i/3 - 1}
		mid := f.point(near[0], near[1])
		away := math.Hypot(mid.X-p.X, mid.Y-p.Y)
		_, used := taken[near]
		if _, _, inside := f.cellOf(mid); inside && !used && away < least {
			at, least, ok = near, away, true
		}
	}
	return at, ok
}

// cellLight is the light of both halves of a cell. Where cells are coarse, or colours are few and weak light
// would be a full one, those with spots and around them have none: their light is that of the signs, and
// what is left is light that is no spot.
func (s proofState) cellLight(d style.Depth, f frame, x, y int, signs map[[2]int]sign) (up, low [3]uint8) {
	up, low = s.light(f, x, 2*y), s.light(f, x, 2*y+1)
	if d != style.Sixteen && f.cell*fine < s.view.Sight.Spacing {
		return up, low
	}
	reach := 1
	if d == style.Sixteen { // weak light is wider in fine cells
		reach = max(reach, int(s.view.Sight.Spacing/f.cell)/2+1)
	}
	isSpot := func(x, y int) bool { k := signs[[2]int{x, y}].kind; return k == ringed || k == dotted }
	for dy := -1; dy <= 1; dy++ {
		for dx := -reach; dx <= reach; dx++ {
			if isSpot(x+dx, y+dy) {
				return grey(up), grey(low)
			}
		}
	}
	return up, low
}

// grey is the light that all colours of a cell have: that of the room.
func grey(v [3]uint8) [3]uint8 {
	least := min(v[0], v[1], v[2])
	return [3]uint8{least, least, least}
}

// row draws a row of the picture.
func (s proofState) row(st style.Styles, f frame, y int, signs map[[2]int]sign) string {
	var b strings.Builder
	last := ""
	for x := range f.columns {
		up, low := s.cellLight(st.Depth, f, x, y, signs)
		g, over := signs[[2]int{x, y}]
		text, code := "▀", ink(st.Depth, up, low, over)
		switch {
		case over:
			text = g.text
		case st.Depth == style.Letters:
			text = shade(up, low)
		}
		if over && g.kind != ringed && g.kind != dotted && st.Depth != style.Letters {
			text = st.AccentSign().Filled().Render(text)
			code = "\x1b[0m"
		}
		if code != last {
			b.WriteString(code)
			last = code
		}
		b.WriteString(text)
	}
	if st.Depth != style.Letters {
		b.WriteString("\x1b[0m")
	}
	return b.String()
}

// light is the mean light of half a cell, as the screen's values 0 to 255.
func (s proofState) light(f frame, column, half int) (v [3]uint8) {
	small := s.view.Small
	if small.W == 0 {
		return v
	}
	k := float64(small.W) / float64(max(s.view.Sight.W, small.W)) // small camera pixels of a large one
	x0, y0 := (f.x0+float64(column)*f.cell)*k, (f.y0+float64(half)*f.cell)*k
	x0, y0 = math.Min(x0, float64(small.W-1)), math.Min(y0, float64(small.H-1)) // a last half row is not left black
	x1, y1 := int(math.Ceil(x0+f.cell*k)), int(math.Ceil(y0+f.cell*k))
	var sum [3]int
	n := 0
	for y := int(y0); y < min(max(y1, int(y0)+1), small.H); y++ {
		for x := int(x0); x < min(max(x1, int(x0)+1), small.W); x++ {
			px := small.Pix[3*(y*small.W+x):]
			for c := range sum {
				sum[c] += int(px[c])
			}
			n++
		}
	}
	for c := range v {
		if n > 0 {
			v[c] = screenValue[sum[c]/n>>6]
		}
	}
	return v
}

// screenValue is the value of light in 1024 steps on a screen, in steps of 8:
// fewer colours are fewer escapes.
var screenValue = func() (t [1024]uint8) {
	for i := range t {
		t[i] = uint8(math.Round(255*math.Pow(float64(i)/1023, 1/2.2))) &^ 7
	}
	return t
}()

// ink is the escape of a cell's two halves. Under a sign the lower one is the
// ground, as far as the sign stands out from it.
func ink(d style.Depth, up, low [3]uint8, over bool) string {
	if d == style.Letters {
		return ""
	}
	if over {
		up, low = [3]uint8{255, 255, 255}, underSign(d, low)
	}
	switch d {
	case style.True:
		return fmt.Sprintf("\x1b[38;2;%d;%d;%d;48;2;%d;%d;%dm", up[0], up[1], up[2], low[0], low[1], low[2])
	case style.Cube256:
		return fmt.Sprintf("\x1b[38;5;%d;48;5;%dm", cube(up), cube(low))
	}
	return fmt.Sprintf("\x1b[%d;%dm", sixteen(up), sixteen(low)+10)
}

// mostUnderSign is the luminance from which white stands out by 4.6 to 1 (WCAG 2.1 1.4.3).
const mostUnderSign = 0.179

// underSign is a light, darker where a white sign would not be read on it: all signs are of one colour.
func underSign(d style.Depth, v [3]uint8) [3]uint8 {
	for {
		seen := shownAs(d, v)
		if canvas.Luminance(int(seen[0]), int(seen[1]), int(seen[2])) <= mostUnderSign {
			return v
		}
		for c := range v {
			v[c] = uint8(int(v[c]) * 7 / 8)
		}
	}
}

// shownAs is about what a screen shows for a colour.
func shownAs(d style.Depth, v [3]uint8) (out [3]uint8) {
	if d == style.True {
		return v
	}
	if d == style.Cube256 {
		for c, part := range v {
			out[c] = uint8(canvas.CubeSteps[canvas.CubeStep(int(part))])
		}
		return out
	}
	code := sixteen(v)
	for c := range out {
		switch {
		case code >= 90 && (code-90)>>c&1 > 0:
			out[c] = 255
		case code < 90 && (code-30)>>c&1 > 0:
			out[c] = 205
		}
	}
	return out
}

// cube is the nearest of the 216 colours of the cube.
func cube(v [3]uint8) int {
	step := func(c int) int { return canvas.CubeStep(int(v[c])) }
	return 16 + 36*step(0) + 6*step(1) + step(2)
}

// sixteen is the nearest of eight hues, bright where there is light.
func sixteen(v [3]uint8) int {
	top := max(v[0], v[1], v[2])
	if top < 64 {
		return 30
	}
	hue := 0
	for c := range v {
		if int(v[c])*2 >= int(top) {
			hue |= 1 << c
		}
	}
	if top < 144 {
		return 30 + hue
	}
	return 90 + hue
}

// shades are the letters for light, from none on.
const shades = " .:-=+*#%@"

// shade is a cell's light as a letter.
func shade(up, low [3]uint8) string {
	v := 0
	for c := range up {
		v += int(up[c]) + int(low[c])
	}
	return shades[v*len(shades)/(6*256):][:1]
}
