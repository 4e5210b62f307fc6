package outsider

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
)

// A Design is a prop as it is planned.
type Design struct {
	Name     string
	Plan     Plan
	Order    string // of the plan, as the begin line has it
	Universe int    // of the first pixel, and its slot from 1
	Slot     int
}

// Patch is where the plan has the pixels.
func (d Design) Patch() Patch { return Patch{Slot: d.Slot, PerPixel: len(d.Order)} }

// build is the prop as planned.
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

// chip finds a planned pixel.
func (p *Prop) chip(at int) *Chip {
	for i := range p.Runs {
		if at < len(p.Runs[i].Chips) {
			return &p.Runs[i].Chips[at]
		}
		at -= len(p.Runs[i].Chips)
	}
	return nil
}

// each does something to every chip from a planned pixel on.
func (p *Prop) each(from int, do func(*Chip)) {
	for c := p.chip(from); c != nil; c = p.chip(from) {
		do(c)
		from++
	}
}

// A Case is a prop with something wrong, or nothing.
type Case struct {
	Kind  string
	Names []string // what a finding may call it, as ringout strip --fault has it; two faults have a comma between
	Prop  *Prop
}

// A draft is a case that is being drawn at random.
type draft struct {
	Design
	*rand.Rand
	*Prop
}

// A maker puts one kind of fault in and returns the names it goes by, unknown
// for what strip --fault has no word for. It returns none where the prop cannot
// have the fault.
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

// beyond are the last kinds of makers: pairs of faults, and what strip --fault
// has no word for.
const beyond = 4

// Kinds are the kinds of single faults with a good prop last, and what is
// beyond a single fault.
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

// Draw builds a prop with a fault of a kind, at a place drawn at random. It
// reports whether the prop can have such a fault.
func Draw(d Design, kind string, lots *rand.Rand) (Case, bool) {
	c := Case{Kind: kind, Prop: d.build()}
	if kind == "good" {
		return c, true
	}
	c.Prop.Partial = lots.IntN(2) == 0 // no datasheet says
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

// onePixel draws a planned pixel that is looked at.
func (d draft) onePixel() int {
	for {
		at := d.IntN(d.Plan.Total())
		if !slices.ContainsFunc(d.Plan.Empty, func(r Rows) bool { return r.First <= at && at <= r.Last }) {
			return at
		}
	}
}

// laterPixel draws a planned pixel that is looked at, not the first one of the
// prop; -1 where there is none.
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

// anyRun draws a run that holds a number of pixels and more.
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

// otherOrder draws another order of the colours that the eye can tell.
func (d draft) otherOrder() string {
	for {
		b := []byte(d.Order)
		d.Shuffle(min(3, len(b)), func(i, j int) { b[i], b[j] = b[j], b[i] })
		if string(b) != d.Order {
			return string(b)
		}
	}
}
