package shopping

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.org/ringout/internal/words"
)

// Amount is a quantity with its unit: "3 reels", "4.5 m".
func (x Item) Amount() string {
	n := strconv.FormatFloat(x.Quantity, 'f', -1, 64)
	if x.Unit == "m" || x.Unit == "ft" {
		return n + " " + x.Unit
	}
	return n + " " + words.Plural(int(x.Quantity), x.Unit, x.Unit+"s")
}

// Text is the list for a terminal and for paper: a box to tick, how much, what.
func (l *List) Text() string {
	var b strings.Builder
	b.WriteString("Shopping list\n")
	wide := 0
	for _, x := range l.Items {
		wide = max(wide, utf8.RuneCountInString(x.Amount()))
	}
	group := ""
	for _, x := range l.Items {
		if x.Group != group {
			group = x.Group
			fmt.Fprintf(&b, "\n%s\n", words.Capital(group))
		}
		fmt.Fprintf(&b, "  [ ] %*s  %s", wide, x.Amount(), x.Name)
		if x.Price > 0 {
			fmt.Fprintf(&b, "; %.2f", x.Cost)
		}
		if x.Note != "" {
			fmt.Fprintf(&b, " (%s)", x.Note)
		}
		b.WriteString("\n")
	}
	b.WriteString("\nWire and heat-shrink are a tenth more than needed (common practice). Mains wiring is for licensed people and local codes.\n")
	if l.Unpriced < len(l.Items) {
		fmt.Fprintf(&b, "\nTotal %.2f %s", l.Total, l.Currency)
		if l.Unpriced > 0 {
			fmt.Fprintf(&b, ", without %s that the price file does not name", words.Count(l.Unpriced, "item"))
		}
		b.WriteString("\n")
	}
	return b.String()
}

// WriteCSV writes the list as CSV (RFC 4180).
func (l *List) WriteCSV(w io.Writer) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	price := func(v float64) string {
		if v == 0 {
			return ""
		}
		return fmt.Sprintf("%.2f", v)
	}
	rows := [][]string{{"group", "item", "quantity", "unit", "price_each", "cost", "note", "props"}}
	for _, x := range l.Items {
		rows = append(rows, []string{x.Group, x.Name, number(x.Quantity), x.Unit, price(x.Price), price(x.Cost), x.Note, strings.Join(x.Props, "; ")})
	}
	if err := c.WriteAll(rows); err != nil {
		return err
	}
	return c.Error()
}
