package prop

import "strings"

// A KnownChip is a kind of pixel with the figures to start from and where each
// comes from. Chips are cloned and revised under one name: every current is a
// first guess that the builder may overwrite in the prop file with a reading.
type KnownChip struct {
	Chip
	Source string // of supply, order and currents
	Note   string // what to mind
}

// To add a chip: 1. a row below, with the source of each figure; 2. its row in
// chips_test.go from the same source; 3. run the package's tests.
//
// Densities are those most sold (common practice); a file gives its own.
// "list" is a public list of pixel chips of February 2026 that notes where
// datasheets err. A lowest voltage "by its LEDs" is three in series at 3.4 V
// (WS2812B datasheet, green and blue) with 0.3 V for the driver.
var chips = []KnownChip{
	{Chip{"WS2812B", 5, 4.5, "GRB", 60, 1, 0.001, 0.020},
		"datasheet 2016 V1.0: 4.5-5.5 V, GRB; idle measured just under 1 mA; 20 mA common practice (one sample measured 52.5 mA white)", ""},
	{Chip{"WS2812B V5", 5, 4.5, "GRB", 60, 1, 0.001, 0.012},
		"12 mA from memory of the later datasheet; two samples measured 33.3 and 33.5 mA white; lowest voltage as the 2016 sheet", ""},
	{Chip{"WS2811 12V", 12, 10.5, "RGB", 60, 3, 0.0007, 0.0185},
		"datasheet: RGB; list: 0.7 mA idle, 19 mA at most; 18.5 mA from memory; lowest voltage by its LEDs", "three LEDs in series are one pixel: cut only between groups"},
	{Chip{"WS2811 5V", 5, 4.5, "RGB", 20, 1, 0.0007, 0.0185},
		"datasheet: RGB; list: 0.7 mA idle, 19 mA at most; 18.5 mA and lowest voltage from memory", "seed strings of 50, about 20 a metre (common practice)"},
	{Chip{"WS2813", 5, 4.5, "GRB", 60, 1, 0.0007, 0.018},
		"list: 0.7 mA idle, 18 mA; the datasheet prints two orders; lowest voltage from memory", "has a backup data line"},
	{Chip{"WS2814", 24, 21.5, "WRGB", 60, 6, 0.001, 0.018},
		"all from memory; lowest voltage by six LEDs in series", "grouping differs between makers: count the LEDs between cut marks"},
	{Chip{"WS2815", 12, 9, "RGB", 60, 1, 0.0021, 0.010},
		"datasheet summary: 9-13 V; list: RGB, 2.1 mA idle and 10 mA at 12 V", "has a backup data line; many reels are GRB (from memory)"},
	{Chip{"GS8208", 12, 10.8, "RGB", 60, 1, 0.0025, 0.010},
		"list: 10.8-13.2 V, RGB, 2.5 mA idle, 10 mA measured (15 claimed)", "has a backup data line"},
	{Chip{"SK6812", 5, 4.5, "GRB", 60, 1, 0.001, 0.020},
		"list: GRB, 1.0 mA idle, 20 mA; lowest voltage from memory", ""},
	{Chip{"SK6812 RGBW", 5, 4.5, "GRBW", 60, 1, 0.001, 0.020},
		"datasheet Rev 01 and list: GRBW, 1.0 mA idle, about 20 mA; lowest voltage from memory", "some parts are RGBW"},
	{Chip{"UCS1903", 12, 10.5, "RGB", 60, 3, 0.001, 0.018}, "all from memory; lowest voltage by its LEDs", ""},
	{Chip{"TM1814", 12, 10.5, "WRGB", 60, 3, 0.001, 0.018}, "all from memory; lowest voltage by its LEDs", ""},
	{Chip{"APA102", 5, 4.5, "BGR", 60, 1, 0.001, 0.020},
		"format documents: BGR after the 5-bit level; currents and lowest voltage from memory", "data and clock: the controller looks after both"},
	{Chip{"SK9822", 5, 4.5, "BGR", 60, 1, 0.001, 0.020},
		"format documents: as APA102; currents and lowest voltage from memory", "data and clock: the controller looks after both"},
	{Chip{"bulb RGBW", 12, 10.8, "RGBW", 0, 1, 0.010, 0.200},
		"no datasheet: 2.4 W a channel at 12 V is a guess; read the bulb's own plate", "one bulb with 4 slots"},
	{Chip{"bulb RGBWC", 12, 10.8, "RGBWC", 0, 1, 0.010, 0.200},
		"no datasheet: 2.4 W a channel at 12 V is a guess; read the bulb's own plate", "one bulb with 5 slots: warm and cool white"},
}

// other names of the same thing, folded as foldChip does.
var chipAliases = map[string]string{
	"ws2812": "WS2812B", "ws2812bv5": "WS2812B V5", "ws2812bnew": "WS2812B V5", "ws2812blater": "WS2812B V5",
	"ws2811": "WS2811 12V", "sk6812rgb": "SK6812", "apa102c": "APA102",
	"bulb": "bulb RGBW", "bulb4": "bulb RGBW", "bulb5": "bulb RGBWC",
}

// KnownChips are all chips with figures, in the order to offer them.
func KnownChips() []KnownChip { return append([]KnownChip(nil), chips...) }

// ChipByName finds a chip by the name printed on it; case, spaces and dashes
// do not matter.
func ChipByName(name string) (Chip, bool) {
	f := foldChip(name)
	if a, ok := chipAliases[f]; ok {
		f = foldChip(a)
	}
	for _, k := range chips {
		if foldChip(k.Name) == f {
			return k.Chip, true
		}
	}
	return Chip{}, false
}

func foldChip(s string) string {
	return strings.Map(func(r rune) rune {
		if r == ' ' || r == '-' || r == '_' || r == '\t' {
			return -1
		}
		return r
	}, strings.ToLower(s))
}

// BackupLine reports whether the chip has a second data input that takes over
// when the chip before it fails, known by its name (a public list of pixel
// chips of February 2026).
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

// Pitch is the metres of strip that one pixel takes; 0 for a bulb.
func (c Chip) Pitch() float64 {
	if !c.IsStrip() {
		return 0
	}
	return 1 / c.PixelsPerMetre()
}
