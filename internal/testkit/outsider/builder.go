package outsider

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
)

// A Begin is the first line of a check-out, with the plan.
type Begin struct {
	Version int
	Prop    string
	Order   string
	// address of the first pixel, and how the next ones follow
	Universe int
	Slot     int
	Packing  string
	Runs     []struct {
		Name   string
		Pixels int
	}
	Hues  map[string]Light
	Empty []Rows
}

// Slots returns the octets of all planned pixels for a probe at a level, 0 to 1,
// in data order.
func (b Begin) Slots(p Probe, level float64) []byte {
	var out []byte
	for _, colour := range spread(p.Paint, b.Plan().Total()) {
		hue := b.Hues[colour]
		for i := range b.Order {
			out = append(out, slotValue(*hue.channel(b.Order[i]), level))
		}
	}
	return out
}

// slotValue scales a channel by a level; a channel above 0 stays at least 1.
func slotValue(channel uint8, level float64) byte {
	if channel == 0 {
		return 0
	}
	return byte(max(1, math.Floor(float64(channel)*level+0.5)))
}

// Patch returns the patch of the plan.
func (b Begin) Patch() Patch {
	return Patch{Slot: b.Slot, PerPixel: len(b.Order), Straddle: b.Packing == "straddle"}
}

// Plan returns the plan of the prop.
func (b Begin) Plan() Plan {
	p := Plan{Empty: b.Empty}
	for _, r := range b.Runs {
		p.Runs = append(p.Runs, r.Pixels)
	}
	return p
}

// A Builder answers the questions about a prop.
type Builder struct {
	Prop   *Prop
	Lots   *rand.Rand
	Bends  bool // loose joints open only while a question asks for bending
	begin  Begin
	probes map[int]Probe

	Asked      map[string]int // questions by kind
	NotOffered map[string]int // answers that were not offered, by kind and token
	Said       []string       // every question with its answer
}

// See returns the answer to a probe at a level, 0 to 1.
func (b *Builder) See(p Probe, level float64) string {
	slots := b.begin.Slots(p, level)
	rest := b.Prop.show(slots, moment{})
	var others []Scene
	for i := range 4 {
		now := moment{open: i%2 == 1 && (!b.Bends || p.Kind == "steady" || p.Kind == "stays-lit")}
		if b.Prop.Crackle {
			now.crackle = b.noise
		}
		others = append(others, b.Prop.show(slots, now))
	}
	return Answer(p, b.begin.Plan(), rest, others...)
}

// noise returns a random place and a random full colour.
func (b *Builder) noise() (int, Light) {
	l, parts := Light{}, 1+b.Lots.IntN(7)
	for i, letter := range []byte("RGB") {
		if parts>>i&1 == 1 {
			*l.channel(letter) = 255
		}
	}
	return b.Lots.IntN(b.begin.Plan().Total()), l
}

// An Outcome is the last line of a check-out.
type Outcome struct {
	Findings []Finding
	Stopped  string
	Left     bool
	Absent   bool
	Answered int
}

// A Finding is one explanation in the outcome.
type Finding struct {
	Good    bool
	Title   string
	Sure    string
	Percent int
	Causes  []struct {
		Faults []string
		Text   string
		Where  string
		Remedy string
	}
}

// line is the union of all lines that the check-out writes.
type line struct {
	Say     string
	ID      int
	Probe   Probe
	Level   float64
	Text    string
	Answers []struct{ Sees string }
	Begin
	Outcome
}

// Hear handles one line of the check-out and returns the reply line, nil for none.
// It calls lit with the slots that should now be on the wire, by universe, and
// the number of the first universe. end is set by the last line.
func (b *Builder) Hear(in []byte, lit func(universes [][]byte, first int)) (reply []byte, end *Outcome, err error) {
	var l line
	if err := json.Unmarshal(in, &l); err != nil {
		return nil, nil, fmt.Errorf("line %q: %w", in, err)
	}
	switch l.Say {
	case "begin":
		b.begin, b.probes = l.Begin, map[int]Probe{}
		b.Asked, b.NotOffered = map[string]int{}, map[string]int{}
	case "probe":
		b.ask(l)
	case "lit":
		p, asked := b.probes[l.ID]
		if !asked {
			return nil, nil, fmt.Errorf("light of probe %d, which was not asked", l.ID)
		}
		lit(b.begin.Patch().Lay(b.begin.Slots(p, l.Level)), b.begin.Universe)
		reply, err = json.Marshal(map[string]any{"id": l.ID, "sees": b.answer(p, l)})
	case "refused", "mind":
		return nil, nil, fmt.Errorf("%s: %s", l.Say, l.Text)
	case "end":
		end = &l.Outcome
	}
	return reply, end, err
}

// ask stores a probe until the line that says it is lit.
func (b *Builder) ask(l line) {
	p := l.Probe
	p.offered = map[string]bool{}
	for _, a := range l.Answers {
		p.offered[a.Sees] = true
	}
	b.probes[l.ID] = p
	b.Asked[p.Kind]++
}

func (b *Builder) answer(p Probe, l line) string {
	token := b.See(p, l.Level)
	b.Said = append(b.Said, p.String()+" -> "+token)
	if !p.offered[token] {
		b.NotOffered[p.Kind+": "+token]++
	}
	return token
}
