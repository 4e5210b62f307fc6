package prop_test

import (
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// What is written reads back as the same prop: the demo props, in inches too,
// and one with every key that a prop can have.
func TestFileTextReadsBack(t *testing.T) {
	every := prop.Pennant()
	every.Name = `Say "hi" \ bye`
	every.Chip.Order, every.Chip.ChannelAmps, every.Chip.MinVolts = "RGBW", 0.0123, 4.25
	every.Chip.LightsPerMetre, every.Chip.LightsPerPixel = 30, 1
	every.Reel, every.Coil, every.RailOhms, every.LeadWire, every.WireCelsius = 5, 7.5, 0.13, prop.Wire{MM2: 0.75, Clad: true}, 60
	every.Supply.Continuous = 0.75
	every.Address = prop.Address{Host: "", Port: 6000, Interface: "eth0", Universe: 5, Slot: 11, Packing: prop.Straddle, Priority: 50, Sync: 7}
	every.Runs[1].JointOhms, every.Runs[1].Apart, every.Runs[0].Closed, every.Runs[1].Reverse = 0.05, true, true, true
	every.Runs = append(every.Runs, prop.Run{Name: "star", Pixels: 20, Cut: 0.4, LeadIn: 0.1,
		Shape: prop.Shape{Kind: prop.Star, Points: 5, Start: 30, Centre: prop.Point{X: 0.25, Y: -1}}})
	every.Feeds = append(every.Feeds, prop.Feed{Name: "far", Pixel: every.Pixels() - 1, WireMetre: 0.3, Wire: prop.Wire{AWG: 18, Solid: true}})
	every.Parts = append(every.Parts, prop.Part{Name: "hole", First: 3, Last: 4, Empty: true})
	requireAllSet(t, *every, "Inches", "Sign") // a plate of holes comes from a file only; a new field is to be written, too
	requireAllSet(t, every.Chip)
	requireAllSet(t, every.Supply)
	requireAllSet(t, every.Address, "Host")
	plain := &prop.Prop{Name: "Strip", Runs: []prop.Run{{Name: "strip", Pixels: 60, Shape: prop.Shape{Kind: prop.Line}}},
		Supply: prop.Supply{Volts: 5, Amps: 4, Continuous: 0.8}, Address: prop.Address{Universe: 1, Packing: prop.Whole, Priority: 100}}
	plain.Chip, _ = prop.ChipByName("WS2812B")
	inches := prop.Porthole()
	inches.Inches, inches.Reel = true, 3.048 // 10 ft
	for i := range inches.Runs {
		inches.Runs[i].LeadIn, inches.Runs[i].LeadOut = 0.254, 0.3048 // 10 in, 12 in
	}
	for i := range inches.Feeds {
		inches.Feeds[i].WireMetre = 1.524 // 5 ft
	}

	for _, p := range append(prop.Demos(), every, plain, inches) {
		t.Run(p.Name, func(t *testing.T) {
			text := prop.FileText(p)
			got, _, err := prop.Parse([]byte(text), "t.toml")
			require.NoError(t, err, text)
			assert.Equal(t, p, got, text)
		})
	}
}

func requireAllSet(t *testing.T, v any, but ...string) {
	t.Helper()
	r := reflect.ValueOf(v)
	for i := range r.NumField() {
		if name := r.Type().Field(i).Name; !slices.Contains(but, name) {
			require.False(t, r.Field(i).IsZero(), "%T.%s has no value in this test", v, name)
		}
	}
}
