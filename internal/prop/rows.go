package prop

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.org/ringout/protocol"
)

// A Row is one run in the patch table. Pixels, slots and universes count from 1.
type Row struct {
	Prop          string `json:"prop"`
	Run           string `json:"run"`
	Host          string `json:"host"` // "multicast" when there is none
	Pixels        int    `json:"pixels"`
	FirstPixel    int    `json:"first_pixel"` // in the whole prop
	LastPixel     int    `json:"last_pixel"`
	FirstUniverse int    `json:"first_universe"`
	FirstSlot     int    `json:"first_slot"`
	LastUniverse  int    `json:"last_universe"`
	LastSlot      int    `json:"last_slot"` // the last slot of the last pixel
	Order         string `json:"order"`
	Packing       string `json:"packing"`
	Travel        string `json:"travel"`
}

// HostName is the host as tables and screens show it, "multicast" if there is none.
func (a Address) HostName() string {
	if a.Host == "" {
		return "multicast"
	}
	if a.Port == 0 || a.Port == protocol.Port {
		return a.Host
	}
	if strings.Contains(a.Host, ":") {
		return "[" + a.Host + "]:" + strconv.Itoa(int(a.Port))
	}
	return a.Host + ":" + strconv.Itoa(int(a.Port))
}

// Travel is the direction of data, in words that suit the shape.
func (r Run) Travel() string {
	round := r.Shape.Kind == Ring || r.Shape.Kind == Star
	switch {
	case round && r.Reverse:
		return "counter-clockwise"
	case round:
		return "clockwise"
	case r.Reverse:
		return "backward"
	}
	return "forward"
}

// PatchFor makes the patch of the prop at its own address and packing.
func PatchFor(p *Prop) (*Patch, error) { return NewPatch(p.Pixels(), p.Chip.Order, p.Address) }

// RowsFor is the patch table of the props, one row per run, each in its file's packing.
// A prop that does not fit its universes is an error.
func RowsFor(props ...*Prop) ([]Row, error) {
	var out []Row
	for _, p := range props {
		patch, err := PatchFor(p)
		if err != nil {
			return nil, err
		}
		out = append(out, propRows(p, patch)...)
	}
	return out, nil
}

// RowsPacked is the patch table in the given packing.
func RowsPacked(how Packing, props ...*Prop) ([]Row, error) {
	packed := make([]*Prop, len(props))
	for i, p := range props {
		c := *p
		c.Address.Packing = how
		packed[i] = &c
	}
	return RowsFor(packed...)
}

// Other is the other of the two packings.
func (p Packing) Other() Packing {
	if p == Straddle {
		return Whole
	}
	return Straddle
}

// About describes in words how a packing fills universes.
func (p Packing) About() string {
	if p == Straddle {
		return "straddle (all 512 slots of a universe are used)"
	}
	return "whole (a pixel stays in one universe)"
}

// SameSlots reports whether two tables of the same runs use the same slots.
func SameSlots(a, b []Row) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		x, y := a[i], b[i]
		if x.FirstUniverse != y.FirstUniverse || x.FirstSlot != y.FirstSlot || x.LastUniverse != y.LastUniverse || x.LastSlot != y.LastSlot {
			return false
		}
	}
	return true
}

func propRows(p *Prop, patch *Patch) []Row {
	packing := p.Address.Packing
	if packing == "" {
		packing = Whole
	}
	var out []Row
	at := 0
	for _, r := range p.Runs {
		if r.Pixels < 1 {
			continue
		}
		a, b := patch.At(at, 0), patch.At(at+r.Pixels-1, p.Chip.Order.Slots()-1)
		out = append(out, Row{
			Prop: p.Name, Run: r.Name, Host: p.Address.HostName(),
			Pixels: r.Pixels, FirstPixel: at + 1, LastPixel: at + r.Pixels,
			FirstUniverse: int(a.Universe), FirstSlot: a.Slot + 1,
			LastUniverse: int(b.Universe), LastSlot: b.Slot + 1,
			Order: string(p.Chip.Order), Packing: string(packing), Travel: r.Travel(),
		})
		if p.Bulb() {
			out[len(out)-1].Travel = "" // a bulb has no data direction
		}
		at += r.Pixels
	}
	return out
}

// RowColumns are the names of the CSV columns, in order.
var RowColumns = []string{"prop", "run", "host", "pixels", "first_pixel", "last_pixel",
	"first_universe", "first_slot", "last_universe", "last_slot", "order", "packing", "travel"}

func (r Row) fields() []string {
	n := strconv.Itoa
	return []string{r.Prop, r.Run, r.Host, n(r.Pixels), n(r.FirstPixel), n(r.LastPixel),
		n(r.FirstUniverse), n(r.FirstSlot), n(r.LastUniverse), n(r.LastSlot), r.Order, r.Packing, r.Travel}
}

// A Column is an extra column of the table: its name, and its value in row i.
type Column struct {
	Name string
	Of   func(i int) string
}

// WriteCSV writes the table as CSV (RFC 4180): a header line, commas, CR LF line ends,
// and quotes where a field needs them.
func WriteCSV(w io.Writer, rows []Row, more ...Column) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	head := slices.Clone(RowColumns)
	for _, m := range more {
		head = append(head, m.Name)
	}
	if err := c.Write(head); err != nil {
		return err
	}
	for i, r := range rows {
		fields := r.fields()
		for _, m := range more {
			fields = append(fields, m.Of(i))
		}
		for i := range fields {
			fields[i] = escapeFormula(fields[i])
		}
		if err := c.Write(fields); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// escapeFormula keeps spreadsheets from running a cell as a formula: text that begins like
// one gets an apostrophe in front (OWASP, "CSV Injection").
func escapeFormula(cell string) string {
	if cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		return "'" + cell
	}
	return cell
}

// WriteJSON writes the table as a list of objects, one per run.
func WriteJSON(w io.Writer, rows []Row) error {
	if rows == nil {
		rows = []Row{}
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(rows)
}

// RowsText is the table for a terminal, one line per run.
func RowsText(rows []Row) string {
	lines := [][]string{{"prop", "run", "host", "pixels", "numbers", "from", "to", "order", "travel"}}
	for _, r := range rows {
		n := strconv.Itoa
		lines = append(lines, []string{r.Prop, r.Run, r.Host, n(r.Pixels), n(r.FirstPixel) + "-" + n(r.LastPixel),
			"U" + n(r.FirstUniverse) + " S" + n(r.FirstSlot), "U" + n(r.LastUniverse) + " S" + n(r.LastSlot), r.Order, r.Travel})
	}
	return columns(lines)
}

// columns aligns cells in columns, two spaces apart.
func columns(lines [][]string) string {
	var width []int
	for _, l := range lines {
		for i, c := range l {
			if i == len(width) {
				width = append(width, 0)
			}
			width[i] = max(width[i], utf8.RuneCountInString(c))
		}
	}
	var b strings.Builder
	for _, l := range lines {
		line := ""
		for i, c := range l {
			line += c + strings.Repeat(" ", width[i]-utf8.RuneCountInString(c)+2)
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return b.String()
}
