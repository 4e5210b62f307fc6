package prop

// The demo props belong to an invented harbour lantern walk. Each call makes a
// fresh one that the caller may change.

// Porthole is three rings one in another, 36, 48 and 60 pixels of WS2812B at
// 60 a metre, in one universe.
func Porthole() *Prop {
	c, _ := ChipByName("WS2812B")
	ring := func(name string, n int) Run {
		return Run{Name: name, Pixels: n, Shape: Shape{Kind: Ring}, LeadIn: 0.3, LeadOut: 0.3}
	}
	return &Prop{
		Name: "Porthole", Chip: c, Reel: 5,
		Runs:   []Run{ring("inner ring", 36), ring("middle ring", 48), ring("outer ring", 60)},
		Supply: Supply{Volts: 5, Amps: 10, Continuous: 0.8},
		Feeds: []Feed{
			{Name: "inner", Pixel: 0, WireMetre: 1.5, Wire: Wire{AWG: 18}, FuseAmps: 5},
			{Name: "outer", Pixel: 84, WireMetre: 1.5, Wire: Wire{AWG: 18}, FuseAmps: 7.5},
		},
		Address: Address{Host: "127.0.0.1", Universe: 1, Packing: Whole, Priority: 100},
	}
}

// Pennant is a triangle outline and a tail of SK6812 RGBW, 96 and 40 pixels,
// which need two universes.
func Pennant() *Prop {
	c, _ := ChipByName("SK6812 RGBW")
	return &Prop{
		Name: "Pennant", Chip: c, Reel: 5,
		Runs: []Run{
			{Name: "outline", Pixels: 96, LeadIn: 0.3, LeadOut: 0.3, Shape: Shape{Kind: Outline,
				Corners: []Point{{0, 0.15}, {0.632, 0}, {0, -0.15}, {0, 0.15}}}},
			{Name: "tail", Pixels: 40, LeadIn: 0.3, Shape: Shape{Kind: Line,
				Corners: []Point{{0.66, 0}, {1.327, -0.1}}}},
		},
		Parts:  []Part{{Name: "edge", First: 0, Last: 95}, {Name: "streamer", First: 96, Last: 135}},
		Supply: Supply{Volts: 5, Amps: 12, Continuous: 0.8},
		Feeds: []Feed{
			{Name: "hoist", Pixel: 0, WireMetre: 2, Wire: Wire{MM2: 1.5}, FuseAmps: 7.5},
			{Name: "tip", Pixel: 96, WireMetre: 2.5, Wire: Wire{MM2: 1.5}, FuseAmps: 7.5},
		},
		Address: Address{Host: "127.0.0.1", Universe: 2, Packing: Whole, Priority: 100},
	}
}

// BuoyLamp is one bulb of four slots on a universe of its own.
func BuoyLamp() *Prop {
	c, _ := ChipByName("bulb RGBW")
	return &Prop{
		Name: "Buoy lamp", Chip: c,
		Runs:    []Run{{Name: "bulb", Pixels: 1, Shape: Shape{Kind: Line}}},
		Supply:  Supply{Volts: 12, Amps: 2, Continuous: 0.8},
		Address: Address{Host: "127.0.0.1", Universe: 10, Packing: Whole, Priority: 100},
	}
}

// Demos are all demo props.
func Demos() []*Prop { return []*Prop{Porthole(), Pennant(), BuoyLamp()} }
