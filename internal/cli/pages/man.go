package pages

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Man returns the page in the man macros (man(7)), with version in its footer.
func (p Page) Man(version string) string {
	var b strings.Builder
	fmt.Fprintf(&b, ".TH \"RINGOUT-%s\" \"%d\" \"\" %q \"\"\n", strings.ToUpper(p.Name), p.Section, "ringout "+version)
	for _, f := range fallbacks {
		if strings.ContainsRune(p.Markdown(), f.sign) {
			fmt.Fprintf(&b, ".fchar \\[u%04X] %s\n", f.sign, f.ascii)
		}
	}
	fmt.Fprintf(&b, ".SH NAME\nringout\\-%s \\- %s\n", Roff(p.Name), Roff(p.Short))
	b.WriteString(".SH DESCRIPTION\n")
	for _, bl := range read(p.Markdown()) {
		manBlock(&b, bl)
	}
	b.WriteString(".SH SEE ALSO\n\\fBringout(1)\\fP\n")
	return b.String()
}

// fallbacks are what a device without a sign of a drawing prints for it: the sign of a terminal that has
// none either (groff(7), fchar).
var fallbacks = []struct {
	sign  rune
	ascii string
}{{'■', "#"}, {'▪', ":"}, {'░', "."}, {'•', "."}, {'○', "o"}, {'●', "*"}, {'◦', "o"}, {'◐', "@"}, {'┼', "+"}, {'·', "-"}, {'◇', "&"}, {'◆', "*"}, {'⠶', ":"}, {'▶', ">"}, {'›', ">"}, {'→', ">"}, {'↘', `\[rs]`}, {'≠', "!"}}

func manBlock(b *strings.Builder, bl block) {
	switch bl.kind {
	case heading:
		if bl.level > 1 { // level 1 is the title
			fmt.Fprintf(b, ".SH %s\n", Roff(strings.ToUpper(plain(bl.text))))
		}
	case item:
		fmt.Fprintf(b, ".IP \\(bu 2\n%s\n", Roff(plain(bl.text)))
	case code:
		b.WriteString(".PP\n.nf\n")
		for _, l := range bl.lines {
			b.WriteString(Roff(l) + "\n")
		}
		b.WriteString(".fi\n")
	case table:
		for _, r := range bl.rows[1:] {
			fmt.Fprintf(b, ".TP\n\\fB%s\\fP\n%s\n", Roff(plain(r[0])), Roff(cellsText(bl.rows[0], r)))
		}
	default:
		fmt.Fprintf(b, ".PP\n%s\n", Roff(plain(bl.text)))
	}
}

// Roff escapes a line of text so that nothing in it is read as a roff command.
func Roff(line string) string {
	line = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(line)
	line = named(line)
	if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
		line = `\&` + line
	}
	return line
}

// named replaces characters beyond ASCII by numeric escapes, which work in any
// encoding (groff_char(7)).
func named(line string) string {
	var b strings.Builder
	for _, r := range line {
		if r < utf8.RuneSelf {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, `\[u%04X]`, r)
		}
	}
	return b.String()
}
