package check

import (
	"fmt"

	"github.com/charmbracelet/lipgloss"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/tui/style"
)

// swatch is a colour answer's colour in two cells; empty where there are no
// colours or the answer is none.
func swatch(st style.Styles, t checkout.Token) string {
	if st.Depth == style.Letters || t > checkout.Token(checkout.White) {
		return ""
	}
	if checkout.Name(t) == checkout.Dark {
		return st.Quiet.Render("░░")
	}
	var c lipgloss.TerminalColor
	name := checkout.Name(t)
	if st.Depth == style.Sixteen {
		c = lipgloss.Color(fmt.Sprint(8 + uint8(name)))
	} else {
		hex := ""
		for _, part := range []checkout.Name{checkout.Red, checkout.Green, checkout.Blue} {
			if name&part != 0 {
				hex += "e6"
			} else {
				hex += "28"
			}
		}
		c = lipgloss.Color("#" + hex)
	}
	return st.Quiet.UnsetFaint().Foreground(c).Render("██")
}
