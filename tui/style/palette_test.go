package style

import (
	"io"
	"strconv"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/testkit/vision"
)

func rgb(c lipgloss.CompleteColor) [3]uint8 {
	v, _ := strconv.ParseUint(c.TrueColor[1:], 16, 32)
	return [3]uint8{uint8(v >> 16), uint8(v >> 8), uint8(v)}
}

// indexed is a colour of the 256 as xterm has it, of its cube of six steps or its greys.
func indexed(c lipgloss.CompleteColor) [3]uint8 {
	n, _ := strconv.Atoi(c.ANSI256)
	if n >= 232 {
		v := uint8(8 + 10*(n-232))
		return [3]uint8{v, v, v}
	}
	steps := [6]uint8{0, 95, 135, 175, 215, 255}
	return [3]uint8{steps[(n-16)/36], steps[(n-16)/6%6], steps[(n-16)%6]}
}

var palettes = map[string]func(lipgloss.CompleteColor) [3]uint8{"true colour": rgb, "256 colours": indexed}

func (k inks) named() map[string]lipgloss.CompleteColor {
	return map[string]lipgloss.CompleteColor{"brass": k.brass, "leaf": k.leaf, "rust": k.rust, "slate": k.slate}
}

func seen(k vision.Kind, c [3]uint8) [3]uint8 {
	r, g, b := vision.Seen(k, c)
	return [3]uint8{r, g, b}
}

// Any two of good, warning and accent, and accent and slate, differ for every eye by both
// models, in true colour and in 256: by 10 in CIE 1976, five times what is just seen side by
// side. The ground does not matter: they stand beside each other on it.
func TestColoursOfTextDiffer(t *testing.T) {
	for ground, on := range inksOn {
		all := on.named()
		for one, a := range all {
			for other, b := range all {
				if one >= other || other == "slate" && one != "brass" { // keys and choices stand in slate text; the others have text of their own
					continue
				}
				for _, k := range vision.Kinds() {
					for name, as := range palettes {
						assert.Greater(t, vision.Apart(seen(k, as(a)), seen(k, as(b))), 10.0, "%s and %s, %s, ground %d, %s", one, other, k, ground, name)
					}
				}
			}
		}
	}
}

// grounds are backgrounds of terminals as they come, by what is known of them.
var grounds = map[Ground][][3]uint8{
	AnyGround:   {{0, 0, 0}, {255, 255, 255}},
	DarkGround:  {{0, 0, 0}, {20, 20, 20}, {30, 30, 30}, {40, 44, 52}},
	LightGround: {{255, 255, 255}, {250, 250, 250}, {253, 246, 227}},
}

// Every colour of text reads on the terminals it is for: 4.5:1 (WCAG 2.1 1.4.3), and 3:1,
// that of large text, for an eye without one kind of cone, which the standard does not
// speak of. Where the ground is not known to us, 3:1 holds on the others too. One colour
// may be a hundredth short of it: of 256, no brass holds it on black and white both.
func TestColoursOfTextRead(t *testing.T) {
	for g, on := range inksOn {
		for name, c := range on.named() {
			for palette, as := range palettes {
				for _, ground := range grounds[Ground(g)] {
					least := 4.5
					if Ground(g) == AnyGround && name == "brass" && palette == "256 colours" {
						least = 4.45
					}
					assert.GreaterOrEqual(t, vision.Contrast(as(c), ground), least, "%s on %v, %s", name, ground, palette)
					for _, k := range vision.Kinds() {
						assert.GreaterOrEqual(t, vision.Contrast(seen(k, as(c)), ground), 3.0, "%s on %v, %s, %s", name, ground, palette, k)
					}
				}
			}
		}
	}
	for name, c := range inksOn[AnyGround].named() {
		for _, ground := range append(grounds[DarkGround], grounds[LightGround]...) {
			assert.GreaterOrEqual(t, vision.Contrast(rgb(c), ground), 3.0, "%s on %v", name, ground)
		}
	}
}

// The values of COLORFGBG are those that rxvt's manual and Konsole's sources give.
func TestGroundIsWhatTheEnvironmentTells(t *testing.T) {
	for _, c := range []struct {
		own, told string
		want      Ground
	}{
		{"", "", AnyGround}, {"", "15;0", DarkGround}, {"", "0;15", LightGround}, {"", "0;default;15", LightGround},
		{"", "default;default", AnyGround}, {"", "0;7", LightGround}, {"", "7;8", DarkGround}, {"", "0;99", AnyGround},
		{"light", "15;0", LightGround}, {"DARK", "0;15", DarkGround}, {"mauve", "0;15", LightGround},
	} {
		env := map[string]string{"RINGOUT_BACKGROUND": c.own, "COLORFGBG": c.told}
		assert.Equal(t, c.want, GroundOf(func(k string) string { return env[k] }), "%q %q", c.own, c.told)
	}
}

// Where no ground is known, sixteen colours are used only as far as they read on black and
// on white as xterm has them, 3:1 being enough in bold; the accent is underlined instead.
func TestSixteenColoursOnAnyGround(t *testing.T) {
	xterm := map[string][3]uint8{"1": {205, 0, 0}, "2": {0, 205, 0}, "3": {205, 205, 0}, "4": {0, 0, 238}, "5": {205, 0, 205}, "6": {0, 205, 205}, "9": {255, 0, 0}}
	for name, c := range inksOn[AnyGround].named() {
		if c.ANSI == "" {
			continue
		}
		for _, ground := range grounds[AnyGround] {
			assert.GreaterOrEqual(t, vision.Contrast(xterm[c.ANSI], ground), 3.0, "%s on %v", name, ground)
		}
	}
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(termenv.ANSI)
	for g := range inksOn {
		assert.Equal(t, "\x1b[1;4mhere\x1b[0m", On(r, Ground(g)).Accent.Render("here"))
	}
}
