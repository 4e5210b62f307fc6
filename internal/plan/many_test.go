package plan

import (
	"strings"
	"testing"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

// BenchmarkManyRuns reads and plans a prop of 50,000 runs of one pixel, where work that
// grows with the square of the runs would show.
func BenchmarkManyRuns(b *testing.B) {
	text := "name = \"many\"\n[strip]\nchip = \"WS2812B\"\nreel = \"5 m\"\n[supply]\namps = \"100 A\"\n[address]\nhost = \"multicast\"\nuniverse = 1\n" +
		strings.Repeat("[[run]]\npixels = 1\n", 50_000)
	for b.Loop() {
		p, _, err := prop.Parse([]byte(text), "many.toml")
		if err != nil {
			b.Fatal(err)
		}
		pl, err := For(p, 1, power.FullWhite())
		if err != nil {
			b.Fatal(err)
		}
		if len(pl.Text(100)) == 0 {
			b.Fatal("no text")
		}
	}
}
