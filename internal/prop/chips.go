package prop

import "strings"

// A KnownChip is a kind of pixel with default figures and their sources. Clones and
// revisions share one name, so every current is a first guess; the builder may put a
// measured one in the prop file.
type KnownChip struct {
	Chip
	Source string   // of supply, order and currents
	Note   string   // what to watch for
	Data   DataLine // data input; zero for a bulb, which is on the network
	Low    Current  // lowest current observed on chips of this name; zero unless they are known to differ by a third
	High   Current  // highest current, likewise; then it is also the Chip's own, so that every check is made with it
}

// A Current is what a pixel draws, in amps: dark, and for one channel at full.
type Current struct{ Idle, Channel float64 }

// A DataLine is the timing of a chip's data input.
type DataLine struct {
	BitMicros   float64 // of one bit, microseconds
	ResetMicros float64 // pause that ends a frame, microseconds
	Clocked     bool    // a clock wire beside data; the controller sets the speed
	Source      string  // of both
}

// To add a chip: 1. a row below, with the source of each figure; 2. its row in
// chips_test.go from the same source; 3. run the package's tests.
//
// Densities are the ones most often sold (common practice); a file gives its own.
// "list" is a public list of pixel chips of February 2026 that notes errors in
// datasheets. A lowest voltage "by its LEDs" is three in series at 3.4 V each (WS2812B
// datasheet, green and blue) plus 0.3 V for the driver.
var chips = []KnownChip{
	{
		Chip:   Chip{"WS2812B", 5, 4.5, "GRB", 60, 1, 0.001, 0.020},
		Source: "datasheet 2016 V1.0: 4.5-5.5 V, GRB; idle measured just under 1 mA; 20 mA common practice (one sample measured 52.5 mA white)",
		Data:   DataLine{1.25, 50, false, "datasheet 2016 V1.0: 1.25 µs a bit, reset over 50 µs"},
		Low:    Current{0.0006, 0.011}, High: Current{0.001, 0.020},
	},
	{
		Chip:   Chip{"WS2812B V5", 5, 4.5, "GRB", 60, 1, 0.001, 0.012},
		Source: "12 mA from memory of the later datasheet; two samples measured 33.3 and 33.5 mA white; lowest voltage as the 2016 sheet",
		Data:   DataLine{1.25, 280, false, "maker's text: reset over 280 µs; 1.25 µs a bit"},
	},
	{
		Chip:   Chip{"WS2811 12V", 12, 10.5, "RGB", 60, 3, 0.0007, 0.0185},
		Source: "datasheet: RGB; list: 0.7 mA idle, 19 mA at most; 18.5 mA from memory; lowest voltage by its LEDs",
		Note:   "three LEDs in series are one pixel: cut only between groups",
		Data:   DataLine{1.25, 50, false, "datasheet: 1.25 µs a bit set to fast, twice that set to slow; reset over 50 µs"},
	},
	{
		Chip:   Chip{"WS2811 5V", 5, 4.5, "RGB", 20, 1, 0.0007, 0.0185},
		Source: "datasheet: RGB; list: 0.7 mA idle, 19 mA at most; 18.5 mA and lowest voltage from memory",
		Note:   "seed strings of 50, about 20 a metre (common practice)",
		Data:   DataLine{1.25, 50, false, "datasheet: 1.25 µs a bit set to fast, twice that set to slow; reset over 50 µs"},
	},
	{
		Chip:   Chip{"WS2813", 5, 4.5, "GRB", 60, 1, 0.0007, 0.018},
		Source: "list: 0.7 mA idle, 18 mA; the datasheet prints two orders; lowest voltage from memory",
		Note:   "has a backup data line",
		Data:   DataLine{1.25, 280, false, "from memory"},
		Low:    Current{0.0007, 0.005}, High: Current{0.0007, 0.018},
	},
	{
		Chip:   Chip{"WS2814", 24, 21.5, "WRGB", 60, 6, 0.001, 0.018},
		Source: "all from memory; lowest voltage by six LEDs in series",
		Note:   "grouping differs between makers: count the LEDs between cut marks",
		Data:   DataLine{1.25, 280, false, "from memory"},
	},
	{
		Chip:   Chip{"WS2815", 12, 9, "RGB", 60, 1, 0.0021, 0.015},
		Source: "datasheet summary: 9-13 V; list: RGB, 2.1 mA idle and 10 mA at 12 V; 15 mA claimed (from memory), taken as the cautious figure",
		Note:   "has a backup data line; many reels are GRB (from memory)",
		Data:   DataLine{1.25, 300, false, "list: reset over 300 µs (280 in other prints); 1.25 µs from memory"},
		Low:    Current{0.0021, 0.010}, High: Current{0.0021, 0.015},
	},
	{
		Chip:   Chip{"GS8208", 12, 10.8, "RGB", 60, 1, 0.0025, 0.015},
		Source: "list: 10.8-13.2 V, RGB, 2.5 mA idle, 10 mA measured; 15 mA claimed, taken as the cautious figure",
		Note:   "has a backup data line",
		Data:   DataLine{1.25, 280, false, "from memory"},
		Low:    Current{0.0025, 0.010}, High: Current{0.0025, 0.015},
	},
	{
		Chip:   Chip{"SK6812", 5, 4.5, "GRB", 60, 1, 0.001, 0.020},
		Source: "list: GRB, 1.0 mA idle, 20 mA; lowest voltage from memory",
		Data:   DataLine{1.25, 80, false, "datasheet Rev 01: reset over 80 µs, 1.2 µs a bit; controllers send 1.25 µs (common practice)"},
	},
	{
		Chip:   Chip{"SK6812 RGBW", 5, 4.5, "GRBW", 60, 1, 0.001, 0.020},
		Source: "datasheet Rev 01 and list: GRBW, 1.0 mA idle, about 20 mA; lowest voltage from memory",
		Note:   "some parts are RGBW",
		Data:   DataLine{1.25, 80, false, "datasheet Rev 01: reset over 80 µs, 1.2 µs a bit; controllers send 1.25 µs (common practice)"},
	},
	{
		Chip:   Chip{"UCS1903", 12, 10.5, "RGB", 60, 3, 0.001, 0.018},
		Source: "all from memory; lowest voltage by its LEDs",
		Data:   DataLine{1.25, 280, false, "from memory"},
	},
	{
		Chip:   Chip{"TM1814", 12, 10.5, "WRGB", 60, 3, 0.001, 0.018},
		Source: "all from memory; lowest voltage by its LEDs",
		Data:   DataLine{1.25, 280, false, "from memory"},
	},
	{
		Chip:   Chip{"APA102", 5, 4.5, "BGR", 60, 1, 0.001, 0.020},
		Source: "format documents: BGR after the 5-bit level; currents and lowest voltage from memory",
		Note:   "data and clock: the controller looks after both",
		Data:   DataLine{1, 0, true, "format documents: 32 bits a pixel, 32 before and half a bit a pixel after; 1 MHz is a guess"},
	},
	{
		Chip:   Chip{"SK9822", 5, 4.5, "BGR", 60, 1, 0.001, 0.020},
		Source: "format documents: as APA102; currents and lowest voltage from memory",
		Note:   "data and clock: the controller looks after both",
		Data:   DataLine{1, 0, true, "format documents: 32 bits a pixel, 32 before and half a bit a pixel after; 1 MHz is a guess"},
	},
	{
		Chip:   Chip{"bulb RGBW", 12, 10.8, "RGBW", 0, 1, 0.010, 0.200},
		Source: "no datasheet: 2.4 W a channel at 12 V is a guess; read the bulb's own plate",
		Note:   "one bulb with 4 slots",
	},
	{
		Chip:   Chip{"bulb RGBWC", 12, 10.8, "RGBWC", 0, 1, 0.010, 0.200},
		Source: "no datasheet: 2.4 W a channel at 12 V is a guess; read the bulb's own plate",
		Note:   "one bulb with 5 slots: warm and cool white",
	},
}

// chipAliases maps other names of a chip to its table name, both folded by foldChip.
var chipAliases = map[string]string{
	"ws2812": "WS2812B", "ws2812bv5": "WS2812B V5", "ws2812bnew": "WS2812B V5", "ws2812blater": "WS2812B V5",
	"ws2811": "WS2811 12V", "sk6812rgb": "SK6812", "apa102c": "APA102",
	"bulb": "bulb RGBW", "bulb4": "bulb RGBW", "bulb5": "bulb RGBWC",
}

// KnownChips lists all chips with figures, in the order to offer them.
func KnownChips() []KnownChip { return append([]KnownChip(nil), chips...) }

// ChipByName finds a chip by the name printed on it, ignoring case, spaces and dashes.
func ChipByName(name string) (Chip, bool) {
	k, ok := KnownByName(name)
	return k.Chip, ok
}

// KnownByName is ChipByName with the sources, data timing and spread.
func KnownByName(name string) (KnownChip, bool) {
	f := foldChip(name)
	if a, ok := chipAliases[f]; ok {
		f = foldChip(a)
	}
	for _, k := range chips {
		if foldChip(k.Name) == f {
			return k, true
		}
	}
	return KnownChip{}, false
}

// Spread returns the chip with the lowest and with the highest current observed on
// chips of its name. It is false when these are not known to differ by a third, or when
// the file's currents differ from the table, since they are then measured.
func (c Chip) Spread() (low, high Chip, ok bool) {
	k, known := KnownByName(c.Name)
	if !known || k.High.Channel == 0 || c.IdleAmps != k.IdleAmps || c.ChannelAmps != k.ChannelAmps {
		return c, c, false
	}
	low, high = c, c
	low.IdleAmps, low.ChannelAmps = k.Low.Idle, k.Low.Channel
	high.IdleAmps, high.ChannelAmps = k.High.Idle, k.High.Channel
	return low, high, true
}

func foldChip(s string) string {
	return strings.Map(func(r rune) rune {
		if r == ' ' || r == '-' || r == '_' || r == '\t' {
			return -1
		}
		return r
	}, strings.ToLower(s))
}

// BackupLine reports, by the chip's name, whether it has a second data input that takes
// over when the chip before it fails (a public list of pixel chips of February 2026).
func (c Chip) BackupLine() bool {
	switch foldChip(c.Name) {
	case "ws2813", "ws2815", "gs8208":
		return true
	}
	return false
}

// IsStrip reports whether the chip comes on strip or string with a known
// density; a bulb does not.
func (c Chip) IsStrip() bool { return c.PixelsPerMetre() > 0 }

// Bulb reports whether the prop is one bulb: a receiver of its own on the network,
// without strip, pads or data wire.
func (p *Prop) Bulb() bool {
	k, known := KnownByName(p.Chip.Name)
	return known && k.Data == (DataLine{}) && p.Pixels() == 1
}

// Pitch is the metres of strip per pixel; 0 for a bulb.
func (c Chip) Pitch() float64 {
	if !c.IsStrip() {
		return 0
	}
	return 1 / c.PixelsPerMetre()
}
