package show_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"testing/synctest"
	"time"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/patterns"
)

// With patterns, levels, steps and colours at random, many a second, the frames sent
// keep to WCAG 2.3.1. The test counts by itself, not with package flash: in no second
// do a quarter of the pixels make more than three pairs of opposite changes of
// luminance.
func TestNoKeysMakeItFlash(t *testing.T) {
	for n := 1; n <= 12; n++ {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			dice := rand.New(rand.NewPCG(uint64(n), 5))
			inBubble(t, show.Config{Prop: strip(n)}, func(b *bench) {
				for i := range 1500 {
					b.Set(anyWant(dice, i, n))
					time.Sleep(time.Duration(dice.IntN(60)) * time.Millisecond)
				}
				synctest.Wait()
				puts := b.out.all()
				if len(puts) < 200 {
					t.Fatalf("only %d frames went out: nothing proven", len(puts))
				}
				for i := range puts {
					if k := blinking(puts[i:], n); 4*k >= n {
						t.Fatalf("%d of %d pixels flash more than three times in the second from %v on", k, n, puts[i].at)
					}
				}
			})
		})
	}
}

func anyWant(dice *rand.Rand, serial, n int) show.Want {
	all := patterns.All()
	colours := patterns.PaletteFor(prop.Order("GRB").Channels())
	return show.Want{
		Pattern: all[dice.IntN(len(all))].ID, Step: dice.IntN(n), Serial: serial, Auto: dice.IntN(2) == 0,
		Level:    dice.Float64(),
		Settings: patterns.Settings{Speed: 40 * dice.Float64(), Colour: colours[dice.IntN(len(colours))].Colour},
	}
}

// blinking counts the pixels with more than three pairs of opposite changes
// within a second of the first put.
func blinking(puts []put, n int) (k int) {
	for px := range n {
		turns, way, from := 0, 0, light(puts[0], px)
		for _, p := range puts {
			if p.at-puts[0].at > time.Second {
				break
			}
			switch l := light(p, px); {
			case way > 0 && l > from, way < 0 && l < from:
				from = l // still in the same direction
			case way == 0 && abs(l-from) >= 0.1, way > 0 && from-l >= 0.1, way < 0 && l-from >= 0.1:
				turns++
				if way = 1; l < from {
					way = -1
				}
				from = l
			}
		}
		if turns/2 > 3 {
			k++
		}
	}
	return k
}

// light is the relative luminance of a pixel in the slots of a GRB strip, by
// the weights of WCAG.
func light(p put, px int) float64 {
	s := p.slots[0][3*px:]
	return (0.7152*float64(s[0]) + 0.2126*float64(s[1]) + 0.0722*float64(s[2])) / 255
}

func abs(x float64) float64 { return max(x, -x) }
