package canvas

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// The corners of a cell are dots 1, 4, 7 and 8 of a braille pattern (the Unicode Standard, block 2800).
func TestDotsOfACell(t *testing.T) {
	for _, row := range []struct {
		x, y float64
		want string
	}{{0, 0, "⠁"}, {0.99, 0, "⠈"}, {0, 0.99, "⡀"}, {0.99, 0.99, "⢀"}, {0.4, 0.3, "⠂"}, {0.6, 0.6, "⠠"}} {
		d := NewDots(2, 1)
		d.Put(row.x, row.y)
		assert.Equal(t, row.want, d.At(0, 0), "%v", row)
		assert.Empty(t, d.At(1, 0))
	}
	d := NewDots(2, 2)
	for _, out := range [][2]float64{{-0.1, 0}, {2, 0}, {0, -0.1}, {0, 2}} {
		d.Put(out[0], out[1])
	}
	assert.Equal(t, NewDots(2, 2), d, "nothing is outside")
}

// A sketch fills its room one way at least, and a sign stands where its pixel lies. Pixel 1 of the Porthole
// is at the top of the inner ring: in the middle, below the top of the others.
func TestSketch(t *testing.T) {
	as := func(s ...string) string { return strings.Join(s, "") }
	for _, size := range [][2]int{{21, 7}, {36, 9}, {36, 4}, {9, 9}, {1, 1}} {
		lines := Sketch(prop.Porthole(), size[0], size[1], map[int]string{0: Asked}, as)
		require.Len(t, lines, size[1])
		high, wide, asked := true, 0, prop.Point{X: -1, Y: -1}
		for y, l := range lines {
			require.Equal(t, size[0], utf8.RuneCountInString(l))
			high = high && strings.TrimSpace(l) != ""
			wide = max(wide, utf8.RuneCountInString(strings.TrimRight(l, " ")))
			if before, _, ok := strings.Cut(l, Asked); ok {
				asked = prop.Point{X: float64(utf8.RuneCountInString(before)), Y: float64(y)}
			}
		}
		assert.True(t, high || wide == size[0], "%v", size)
		assert.InDelta(t, float64(wide)/2, asked.X, 1, "%v", size)
		assert.Less(t, asked.Y, max(1, float64(size[1])/3), "%v", size)
		if all := strings.Join(lines, ""); size[0] > 9 && size[1] > 6 { // else signs share cells
			assert.Contains(t, all, "▶"+Asked, "%v: data enters before pixel 1", size)
			heads := strings.FieldsFunc(all, func(r rune) bool { return !strings.ContainsRune(strings.Join(arrows, ""), r) })
			assert.Equal(t, MinHeads*3, utf8.RuneCountInString(strings.Join(heads, "")), "%v", size)
		}
	}
	assert.Nil(t, Sketch(prop.BuoyLamp(), 0, 5, nil, as), "no room")
}
