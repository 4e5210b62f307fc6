package style

import (
	"strconv"
	"strings"

	"github.com/charmbracelet/lipgloss"
)

// A Ground is the background of the terminal. The terminal is not asked for it: one that
// does not answer would delay the start and the keys typed meanwhile.
type Ground uint8

// The grounds.
const (
	AnyGround Ground = iota // not known
	DarkGround
	LightGround
)

// GroundOf is the background that the environment names: RINGOUT_BACKGROUND is light
// or dark, or COLORFGBG ends in the number of one of sixteen colours, as rxvt and the
// terminals after it set it.
func GroundOf(getenv func(string) string) Ground {
	switch strings.ToLower(getenv("RINGOUT_BACKGROUND")) {
	case "light":
		return LightGround
	case "dark":
		return DarkGround
	}
	colours := getenv("COLORFGBG")
	n, err := strconv.Atoi(colours[strings.LastIndex(colours, ";")+1:])
	switch {
	case err != nil || n < 0 || n > 15:
		return AnyGround
	case n == 7 || n > 8: // white and the bright ones; 8 is dark grey
		return LightGround
	}
	return DarkGround
}

// inks are the colours of text on one ground.
type inks struct{ brass, leaf, rust, slate lipgloss.CompleteColor }

// inksOn are the colours by ground. Each holds 4.5:1 (WCAG 2.1 1.4.3) on all grounds of
// its kind, and where none is known against both black and white. No two of a ground
// look alike to an eye without one kind of cone. Of 256 colours seven hold 4.5:1 against
// both black and white, none of them brass: #af5f00 is the nearest, 4.46:1 against black
// and 4.71:1 against white. On light ones green and red are of the cube's own, and the brass is the one
// that both differ from for every eye.
//
// The sixteen are each terminal's own. On a dark one the red is the bright one, since the
// other is too dark on black in most; on a light one yellow and green are too pale in
// most, so that neither is used where no ground is known. Among sixteen no grey can be
// relied on, and the accent is underlined: as yellow or blue it would be a pixel's
// colour. Faint (SGR 2) is not used: it is as dark as each terminal likes.
var inksOn = [...]inks{
	AnyGround: {
		brass: lipgloss.CompleteColor{TrueColor: "#9d6c16", ANSI256: "130"},
		leaf:  lipgloss.CompleteColor{TrueColor: "#2c854a", ANSI256: "29"},
		rust:  lipgloss.CompleteColor{TrueColor: "#d04343", ANSI256: "163", ANSI: "9"},
		slate: lipgloss.CompleteColor{TrueColor: "#767676", ANSI256: "243"},
	},
	DarkGround: {
		brass: lipgloss.CompleteColor{TrueColor: "#c88b30", ANSI256: "172"},
		leaf:  lipgloss.CompleteColor{TrueColor: "#39ab5f", ANSI256: "71", ANSI: "2"},
		rust:  lipgloss.CompleteColor{TrueColor: "#e67387", ANSI256: "204", ANSI: "9"},
		slate: lipgloss.CompleteColor{TrueColor: "#969696", ANSI256: "246"},
	},
	LightGround: {
		brass: lipgloss.CompleteColor{TrueColor: "#8f6214", ANSI256: "95"},
		leaf:  lipgloss.CompleteColor{TrueColor: "#287943", ANSI256: "22"},
		rust:  lipgloss.CompleteColor{TrueColor: "#cc2440", ANSI256: "124", ANSI: "1"},
		slate: lipgloss.CompleteColor{TrueColor: "#6a6a6a", ANSI256: "238"},
	},
}
