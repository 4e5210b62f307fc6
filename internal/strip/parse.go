package strip

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// kindList is all kinds in one line.
func kindList() string {
	names := make([]string, len(table))
	for i, k := range table {
		names[i] = string(k.kind)
	}
	return strings.Join(names, ", ")
}

// Samples is one line for every name of a kind of fault, as ParseFault reads it, another name
// after the kind's own.
func Samples() (out []string) {
	for _, k := range table {
		if out = append(out, k.sample); k.alias != "" {
			out = append(out, k.aliasSample)
		}
	}
	return out
}

// kindNamed is the kind of a name that ParseFault reads; the name itself where there is none.
func kindNamed(name string) Kind {
	for _, k := range table {
		if string(k.alias) == name {
			return k.kind
		}
	}
	return Kind(name)
}

// String writes the fault as ParseFault reads it, runs by number and pixels
// both counted from 1: "open-joint pixel 37".
func (f Fault) String() string {
	var b strings.Builder
	b.WriteString(string(f.Kind))
	reads := f.Kind.reads
	if reads(fieldPixel) {
		fmt.Fprintf(&b, " pixel %d", f.Pixel+1)
	}
	if reads(fieldRun) {
		fmt.Fprintf(&b, " run %d", f.Run+1)
	}
	if reads(fieldRun2) {
		fmt.Fprintf(&b, " run %d", f.Run2+1)
	}
	switch {
	case reads(fieldN2):
		fmt.Fprintf(&b, " universe %d universe %d", f.N, f.N2)
	case reads(fieldN) && reads(fieldOrder):
		fmt.Fprintf(&b, " slots %d", f.N)
	case reads(fieldN) && (f.N != 0 || rowOf(f.Kind).optional&fieldN == 0):
		fmt.Fprintf(&b, " by %d", f.N)
	}
	if reads(fieldOrMore) && f.OrMore {
		b.WriteString(" or more")
	}
	if reads(fieldChannel) {
		fmt.Fprintf(&b, " colour %s", strings.ReplaceAll(f.Channel.String(), " ", "-"))
	}
	if reads(fieldOrder) && f.Order != "" {
		fmt.Fprintf(&b, " order %s", f.Order)
	}
	return b.String()
}

// ParseFaults reads several faults, separated by commas.
func ParseFaults(text string, p *prop.Prop) ([]Fault, error) {
	var out []Fault
	for _, part := range strings.Split(text, ",") {
		f, err := ParseFault(part, p)
		if err != nil {
			return nil, err
		}
		out = append(out, f)
	}
	return out, nil
}

// ParseFault reads a fault as people type it: the kind, then words and values
// in any order. Pixels count from 1, runs go by name or by number from 1:
//
//	open-joint pixel 37
//	open-line pixel 60, which is the same inside a run
//	count run "middle ring" by -2
//	count run 1 by 41 or more
//	runs-swapped run 1 run 3
//
// The fault is checked against the prop.
func ParseFault(text string, p *prop.Prop) (Fault, error) {
	pl, err := newPlan(p)
	if err != nil {
		return Fault{}, err
	}
	words, err := split(text)
	if err != nil {
		return Fault{}, err
	}
	if len(words) == 0 {
		return Fault{}, fmt.Errorf("no fault given; choose one of %s", kindList())
	}
	f := Fault{Kind: kindNamed(strings.ToLower(words[0]))}
	if !f.Kind.known() {
		return Fault{}, fmt.Errorf("there is no fault %q; choose one of %s", words[0], kindList())
	}
	r := reader{prop: p, fault: f}
	for rest := words[1:]; len(rest) > 0; {
		if rest, err = r.take(rest); err != nil {
			return Fault{}, err
		}
	}
	if err := r.missing(); err != nil {
		return Fault{}, err
	}
	return r.fault, check(pl, []Fault{r.fault})
}

// split parts a text into words; a word in double quotes may hold spaces.
func split(text string) ([]string, error) {
	var out []string
	for {
		text = strings.TrimSpace(text)
		if text == "" {
			return out, nil
		}
		if text[0] == '"' {
			word, rest, closed := strings.Cut(text[1:], `"`)
			if !closed {
				return nil, fmt.Errorf("the quote before %q is never closed: put a \" after the name", text[1:])
			}
			out, text = append(out, word), rest
			continue
		}
		end := strings.IndexAny(text, " \t\r\n")
		if end < 0 {
			end = len(text)
		}
		out, text = append(out, text[:end]), text[end:]
	}
}

// A reader gathers the fields of one fault.
type reader struct {
	prop  *prop.Prop
	fault Fault
	got   field
}

// take reads one word and its value off the front and returns the rest.
func (r *reader) take(words []string) ([]string, error) {
	word, rest := strings.ToLower(words[0]), words[1:]
	read, known := r.reads(word)
	switch {
	case !known:
		return nil, fmt.Errorf("%s does not know the word %q; write it like %q", r.fault.Kind, words[0], r.sample())
	case len(rest) == 0:
		return nil, fmt.Errorf("%s lacks a value after %q; write it like %q", r.fault.Kind, words[0], r.sample())
	case word == "run":
		return r.run(rest)
	}
	return rest[1:], read(rest[0])
}

// reads is the function that reads the value after a word; false when the kind
// has no such field.
func (r *reader) reads(word string) (func(string) error, bool) {
	f, read := field(0), (func(string) error)(nil)
	switch word {
	case "pixel":
		f, read = fieldPixel, r.number(&r.fault.Pixel, -1)
	case "run":
		f = fieldRun
	case "by", "slots", "lights", "ohms":
		f, read = fieldN, r.number(&r.fault.N, 0)
	case "universe":
		if f, read = fieldN, r.number(&r.fault.N, 0); r.got&fieldN != 0 {
			f, read = fieldN2, r.number(&r.fault.N2, 0)
		}
	case "colour", "channel":
		f, read = fieldChannel, r.channel
	case "order":
		f, read = fieldOrder, r.order
	case "or":
		f, read = fieldOrMore, r.orMore
	}
	if !r.fault.Kind.reads(f) {
		return nil, false
	}
	if f != fieldRun {
		r.got |= f
	}
	return read, true
}

// number reads a whole number and adds off to it.
func (r *reader) number(dst *int, off int) func(string) error {
	return func(s string) error {
		n, err := strconv.ParseInt(s, 10, 32)
		if err != nil {
			return fmt.Errorf("%s: %q is not a whole number; write it like %q", r.fault.Kind, s, r.sample())
		}
		*dst = int(n) + off
		return nil
	}
}

// channel reads a colour by its name.
func (r *reader) channel(s string) error {
	name := strings.ReplaceAll(strings.ToLower(s), "-", " ")
	for ch := range patterns.Channel(patterns.NumChannels) {
		if name == ch.String() || name == strings.ToLower(string(ch.Letter())) {
			r.fault.Channel = ch
			return nil
		}
	}
	return fmt.Errorf("%s: no chip has a colour %q; write red, green, blue, white or cool-white", r.fault.Kind, s)
}

// order reads a colour order.
func (r *reader) order(s string) (err error) {
	r.fault.Order, err = prop.ParseOrder(s)
	return err
}

// orMore reads the word after "or".
func (r *reader) orMore(s string) error {
	if !strings.EqualFold(s, "more") {
		return fmt.Errorf("%s: after \"or\" comes \"more\", not %q; write it like %q", r.fault.Kind, s, r.sample())
	}
	r.fault.OrMore = true
	return nil
}

// run reads a run by its number, or else by its name, which may be several
// words.
func (r *reader) run(words []string) ([]string, error) {
	at, used := -1, 1
	if n, err := strconv.Atoi(words[0]); err == nil && n >= 1 && n <= len(r.prop.Runs) {
		at = n - 1
	}
	for n := len(words); n > 0 && at < 0; n-- {
		at, used = r.named(strings.Join(words[:n], " ")), n
	}
	if at < 0 {
		return nil, fmt.Errorf("%s: the prop has no run %q; its runs are %s", r.fault.Kind, words[0], r.runs())
	}
	switch {
	case r.got&fieldRun == 0:
		r.fault.Run, r.got = at, r.got|fieldRun
	case r.fault.Kind.reads(fieldRun2) && r.got&fieldRun2 == 0:
		r.fault.Run2, r.got = at, r.got|fieldRun2
	default:
		return nil, fmt.Errorf("%s: too many runs; write it like %q", r.fault.Kind, r.sample())
	}
	return words[used:], nil
}

// named is the run of a name, or -1.
func (r *reader) named(name string) int {
	return slices.IndexFunc(r.prop.Runs, func(run prop.Run) bool {
		return run.Name != "" && strings.EqualFold(strings.Join(strings.Fields(run.Name), " "), strings.Join(strings.Fields(name), " "))
	})
}

// runs lists the runs of the prop by number and name.
func (r *reader) runs() string {
	out := make([]string, len(r.prop.Runs))
	for i, run := range r.prop.Runs {
		out[i] = strings.TrimSpace(fmt.Sprintf("%d %s", i+1, run.Name))
	}
	return strings.Join(out, ", ")
}

// missing refuses a fault that lacks a required field.
func (r *reader) missing() error {
	k := r.fault.Kind
	free := rowOf(k).optional
	for _, need := range []struct {
		f    field
		word string
	}{{fieldPixel, "pixel"}, {fieldRun, "run"}, {fieldRun2, "second run"}, {fieldN, "number"}, {fieldN2, "second number"}, {fieldChannel, "colour"}, {fieldOrder, "order"}} {
		if k.reads(need.f) && free&need.f == 0 && r.got&need.f == 0 {
			return fmt.Errorf("%s lacks its %s; write it like %q", k, need.word, r.sample())
		}
	}
	return nil
}

// sample is an example of the kind as typed.
func (r *reader) sample() string { return rowOf(r.fault.Kind).sample }
