package outsider

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
)

// A Design is a prop as planned.
type Design struct {
	Name     string
	Plan     Plan
	Order    string // planned colour order, as in the begin line
	Universe int    // of the first pixel, and its slot from 1
	Slot     int
}

// Patch returns the planned patch.
func (d Design) Patch() Patch { return Patch{Slot: d.Slot, PerPixel: len(d.Order)} }

// build returns the prop without faults.
func (d Design) build() *Prop {
	p := &Prop{Controller: Controller{Patch: d.Patch()}}
	for i, n := range d.Plan.Runs {
		run := Run{Beside: -1}
		for range n {
			run.Chips = append(run.Chips, Chip{Order: d.Order, LEDs: 1})
		}
		p.Runs = append(p.Runs, run)
		p.Wiring = append(p.Wiring, i)
	}
	return p
}

// chip returns the chip of a planned pixel.
func (p *Prop) chip(at int) *Chip {
	for i := range p.Runs {
		if at < len(p.Runs[i].Chips) {
			return &p.Runs[i].Chips[at]
		}
		at -= len(p.Runs[i].Chips)
	}
	return nil
}

// each calls do with every chip from a planned pixel on.
func (p *Prop) each(from int, do func(*Chip)) {
	for c := p.chip(from); c != nil; c = p.chip(from) {
		do(c)
		from++
	}
}

// A Case is a prop with one or more faults, or none.
type Case struct {
	Kind  string
	Names []string // names that a finding may give the fault, as in ringout strip --fault; two faults have a comma between
	Prop  *Prop
}

// A draft is a case under construction, with its random source.
type draft struct {
	Design
	*rand.Rand
	*Prop
}

// A maker adds one kind of fault and returns its possible names, or unknown if
// strip --fault has none. It returns nil if the prop cannot have the fault.
type maker func(draft) []string

// To add a kind of fault: write a maker, and add a row here.
var makers = []struct {
	kind string
	make maker
}{
	{"open joint", openJoint},
	{"dead stop", deadStop},
	{"rail lost", railLost},
	{"dead pixel", deadPixel},
	{"dead colour", deadColour},
	{"stuck pixel", stuckPixel},
	{"stuck colour", stuckColour},
	{"order of the prop", wholeOrder},
	{"order from a pixel", orderFrom},
	{"order of a run", runOrder},
	{"channels from a pixel", chipFrom},
	{"channels of a run", runChip},
	{"run without a colour", runColour},
	{"reversed run", reversed},
	{"exchanged runs", exchanged},
	{"parallel runs", parallel},
	{"fewer pixels", fewer},
	{"more pixels", more},
	{"hidden first pixel", hiddenFirst},
	{"wrong start", wrongStart},
	{"wrong universe", wrongUniverse},
	{"exchanged universes", exchangedUniverses},
	{"other packing", otherPacking},
	{"no data", noData},
	{"grouped", grouped},
	{"sag", sags},
	{"loose joint", loose},
	{"sparkle", sparkle},
	{"two dead pixels", twoDead},
	{"joint and colour", jointAndColour},
	{"one strange chip", strangeChip},
	{"runs in a circle", runsInCircle},
}

// beyond is the number of makers at the end of the list that make pairs of faults
// or a fault without a name in strip --fault.
const beyond = 4

// Kinds returns the kinds of single faults, with the good prop last, and the
// kinds beyond a single fault.
func Kinds() (single, more []string) {
	for i, m := range makers {
		if i < len(makers)-beyond {
			single = append(single, m.kind)
		} else {
			more = append(more, m.kind)
		}
	}
	return append(single, "good"), more
}

// Draw builds a prop with a fault of a kind at a random place. It returns false
// if the prop cannot have such a fault.
func Draw(d Design, kind string, lots *rand.Rand) (Case, bool) {
	c := Case{Kind: kind, Prop: d.build()}
	if kind == "good" {
		return c, true
	}
	c.Prop.Partial = lots.IntN(2) == 0 // the datasheets do not specify it
	for _, m := range makers {
		if m.kind == kind {
			c.Names = m.make(draft{d, lots, c.Prop})
		}
	}
	return c, len(c.Names) > 0
}

func names(format string, a ...any) []string {
	return []string{strings.TrimSpace(fmt.Sprintf(format, a...))}
}

// colours are the words for channels.
var colours = map[byte]string{'R': "red", 'G': "green", 'B': "blue", 'W': "white", 'C': "cool white"}

// onePixel returns a random planned pixel that is looked at.
func (d draft) onePixel() int {
	for {
		at := d.IntN(d.Plan.Total())
		if !slices.ContainsFunc(d.Plan.Empty, func(r Rows) bool { return r.First <= at && at <= r.Last }) {
			return at
		}
	}
}

// laterPixel returns a random pixel that is looked at, other than the prop's
// first; -1 if there is none.
func (d draft) laterPixel() int {
	if d.Plan.Total() < 2 {
		return -1
	}
	for {
		if at := d.onePixel(); at > 0 {
			return at
		}
	}
}

// anyRun returns a random run from index from on; -1 if there is none or it has
// fewer than least pixels.
func (d draft) anyRun(from, least int) int {
	if from >= len(d.Plan.Runs) {
		return -1
	}
	at := from + d.IntN(len(d.Plan.Runs)-from)
	if d.Plan.Runs[at] < least {
		return -1
	}
	return at
}

// otherOrder returns a random colour order that looks different from the planned
// one.
func (d draft) otherOrder() string {
	for {
		b := []byte(d.Order)
		d.Shuffle(min(3, len(b)), func(i, j int) { b[i], b[j] = b[j], b[i] })
		if string(b) != d.Order {
			return string(b)
		}
	}
}
