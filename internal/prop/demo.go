package prop

import "embed"

//go:embed demo/*.toml
var demoFiles embed.FS

// The demo props belong to an invented harbour lantern walk. Each call returns a new
// one that the caller may change.

// Porthole is three nested rings, 36, 48 and 60 pixels of WS2812B at 60 a metre, in one
// universe.
func Porthole() *Prop { return demo("porthole") }

// Pennant is a triangle outline and a tail of SK6812 RGBW, 96 and 40 pixels,
// which need two universes.
func Pennant() *Prop { return demo("pennant") }

// BuoyLamp is one bulb of four slots on a universe of its own.
func BuoyLamp() *Prop { return demo("buoylamp") }

// Demos are all demo props.
func Demos() []*Prop { return []*Prop{Porthole(), Pennant(), BuoyLamp()} }

// DemoNames are the names of Demos, without reading their files.
func DemoNames() []string { return []string{"Porthole", "Pennant", "Buoy lamp"} }

// DemoFile is the text of a demo prop's file: "porthole", "pennant" or
// "buoylamp"; empty for any other name.
func DemoFile(name string) string {
	text, err := demoFiles.ReadFile("demo/" + name + ".toml")
	if err != nil {
		return ""
	}
	return string(text)
}

// demo reads an embedded file; the tests check that each can be read.
func demo(name string) *Prop {
	p, _, err := Parse([]byte(DemoFile(name)), name+".toml")
	if err != nil {
		panic(err)
	}
	return p
}
