package outsider

import "fmt"

// A propFile is a plan and its file, written by the page ringout help
// prop-file. The port and the universe come in.
type propFile struct {
	Design
	text string
}

const supply = `
[supply]
amps = "10 A"

[address]
host = "127.0.0.1"
port = %d
universe = %d
`

func run(name string, pixels int, shape string) string {
	return fmt.Sprintf("\n[[run]]\nname = %q\npixels = %d\nshape = %q\n", name, pixels, shape)
}

// propFiles are unlike props of the harbour lantern walk: rings, an outline
// with a tail whose pixels are groups, one bulb, and a sign of RGBW pixels over
// two universes with a part left empty.
var propFiles = []propFile{
	{
		Design{"Porthole", Plan{Runs: []int{36, 48, 60}}, "GRB", 1, 1},
		"name = \"Porthole\"\n[strip]\nchip = \"WS2812B\"\n" + supply +
			run("inner ring", 36, "ring") + run("middle ring", 48, "ring") + run("outer ring", 60, "ring"),
	},
	{
		Design{"Pennant", Plan{Runs: []int{78, 21}}, "RGB", 1, 1},
		"name = \"Pennant\"\n[strip]\nchip = \"WS2811 12V\"\ngroup = 3\n" + supply +
			run("outline", 78, "line") + run("tail", 21, "line"),
	},
	{
		Design{"Buoy lamp", Plan{Runs: []int{1}}, "RGBW", 1, 41},
		"name = \"Buoy lamp\"\n[strip]\nchip = \"bulb RGBW\"\n" + supply + "slot = 41\n" +
			run("bulb", 1, "line"),
	},
	{
		Design{"Moorings", Plan{Runs: []int{54, 66, 12, 40}, Empty: []Rows{{First: 60, Last: 64}}}, "GRBW", 1, 3},
		"name = \"Moorings\"\n[strip]\nchip = \"SK6812 RGBW\"\n" + supply + "slot = 3\n" +
			run("bow", 54, "line") + run("hull", 66, "line") + run("mast", 12, "line") + run("stern", 40, "line") +
			"\n[[part]]\nname = \"knot\"\nrun = \"hull\"\nfirst = 7\nlast = 11\nempty = true\n",
	},
}
