package plan

import (
	"strings"

	"example.org/ringout/internal/prop"
)

// A kind is the form in which a figure is typed.
type kind uint8

const (
	text  kind = iota // as it stands: a name, or a quantity with its unit
	whole             // a whole number
	yesNo             // yes or no
	place             // a pixel number or a word such as "end"
	list              // several, with semicolons between
)

// A figure is one key of the prop file as this screen shows it.
type figure struct {
	key     string
	kind    kind
	usual   bool     // shown even when the file does not give it
	choices []string // offered while it is edited
	hint    string   // one sentence, said while it is chosen
}

func (f figure) label() string { return strings.ReplaceAll(f.key, "_", " ") }

// figures are the keys of each table, in the order to show them. To add one:
// 1. give package prop its key; 2. a row here; 3. what is taken when the file
// does not give it, in taken.go.
var figures = map[string][]figure{
	"": {
		{"name", text, true, nil, "What the prop is called."},
		{"note", text, false, nil, "A note of your own, in one line."},
	},
	"strip": {
		{"chip", text, true, chipNames(), "As printed on the strip; another chip brings its own figures along."},
		{"density", text, true, nil, `LEDs on a metre or a foot: "60 per metre", "18 per foot".`},
		{"group", whole, false, nil, "LEDs that one pixel drives: 1, or 3 on much 12 V strip."},
		{"order", text, true, nil, "Colours in the order of the wire, a letter a slot: GRB, RGBW."},
		{"volts", text, false, nil, `What the chip takes: "5 V".`},
		{"lowest", text, true, nil, `The lowest voltage the chip works at: "4.5 V".`},
		{"idle", text, true, nil, `Current of a dark pixel: "1 mA".`},
		{"full", text, true, nil, `Current of one colour at full: "20 mA".`},
		{"rail", text, true, nil, `Resistance of one supply rail of the strip: "0.2 ohm/m".`},
		{"reel", text, true, nil, `Strip on one reel, for the cutting plan: "5 m", "16 ft".`},
		{"coil", text, false, nil, `Tube on one coil, for its own cutting plan: "25 ft", "10 m".`},
		{"lead_wire", text, true, nil, `Wire between the runs: "20 AWG", "0.5 mm2".`},
	},
	"supply": {
		{"volts", text, true, nil, `As on its plate: "5 V".`},
		{"amps", text, true, nil, `As on its plate: "10 A".`},
		{"continuous", text, true, nil, `Share of its amps that it may give for hours on end: "80 %".`},
		{"temperature", text, false, nil, `Of feed and lead wires in use: "60 C", "140 F".`},
	},
	"address": {
		{"host", text, true, nil, `Name or address of the controller, or "multicast".`},
		{"port", whole, false, nil, "5568 unless the controller was set otherwise."},
		{"interface", text, false, nil, "Network port to send from, when there are several."},
		{"universe", whole, true, nil, "1 to 63999, of the first pixel."},
		{"slot", whole, true, nil, "1 to 512, of the first pixel's first colour."},
		{"packing", text, true, []string{"whole", "straddle"}, `"whole": a pixel stays in one universe; "straddle": all 512 slots are used.`},
		{"priority", whole, false, nil, "0 to 200; 100 is usual."},
		{"sync", whole, false, nil, "Synchronization address; 0 is none."},
	},
	"run": {
		{"name", text, true, nil, "Feeds and parts that name the run follow."},
		{"pixels", whole, true, nil, "Empty works it out from length or diameter."},
		{"length", text, true, nil, `Of the tube it is cut for: "93 in", "7 ft 9 in", "2.36 m".`},
		{"shape", text, true, []string{"line", "ring", "star", "outline"}, "How it is bent: line, ring, star or outline."},
		{"diameter", text, false, nil, `Of a ring or star: "191 mm", "7.5 in".`},
		{"points", whole, false, nil, "Points of a star."},
		{"corners", list, false, nil, `Points, right and up: "0 in, 0 in; 12 in, 3 in".`},
		{"centre", text, false, nil, `Where its middle lies, right and up: "0 in, 6 in".`},
		{"angle", text, false, nil, `Of a line: "0 deg" is to the right, "90 deg" up.`},
		{"start", text, false, nil, `Of a ring or star: where data enters, clockwise from the top: "90 deg".`},
		{"travel", text, true, []string{"clockwise", "counter-clockwise", "forward", "backward"}, "Which way data goes, seen from the lit face."},
		{"lead_in", text, true, nil, `Wire before it: "12 in", "30 cm".`},
		{"lead_out", text, true, nil, `Wire after it: "12 in", "30 cm".`},
		{"joint", text, false, nil, `Extra resistance of the joint before it: "0.05 ohm".`},
		{"closed", yesNo, false, []string{"yes", "no"}, "Yes: the supply rails of its two ends are joined."},
		{"apart", yesNo, false, []string{"yes", "no"}, "Yes: its supply is not joined to the run before it."},
	},
	"feed": {
		{"name", text, true, nil, "What the feed is called."},
		{"at", place, true, nil, `At this pixel; or "start", "end", "start of NAME", "end of NAME".`},
		{"length", text, true, nil, `Of its wire, one way: "5 ft", "1.5 m".`},
		{"wire", text, true, nil, `"18 AWG", "0.75 mm2"; "solid" or "clad" behind it when it is so.`},
		{"fuse", text, true, nil, `At the supply end: "5 A".`},
	},
	"part": {
		{"name", text, true, nil, "What the part is called: a word, a digit, a star of a set."},
		{"run", text, true, nil, "The run it lies in; without first and last it is the whole run."},
		{"first", whole, true, nil, "Its first pixel, counted in its run, else in the whole prop."},
		{"last", whole, true, nil, "Its last pixel, counted likewise."},
		{"empty", yesNo, false, []string{"yes", "no"}, "Yes: no light here, such as a hole or a hidden pixel; it stays dark and is not counted as lit."},
	},
}

// tables are the sections of the list, from the top.
var tables = []string{"", "strip", "supply", "address", "run", "feed", "part"}

// titles are their headings.
var titles = map[string]string{"": "Prop", "strip": "Strip", "supply": "Supply", "address": "Address",
	"run": "Run", "feed": "Feed", "part": "Part"}

// several reports whether a file may have several of a table.
func several(table string) bool { return table == "run" || table == "feed" || table == "part" }

func chipNames() []string {
	var out []string
	for _, c := range prop.KnownChips() {
		out = append(out, c.Name)
	}
	return out
}
