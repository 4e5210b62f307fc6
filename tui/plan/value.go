package plan

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/words"
)

// set gives a figure the typed value, in a copy of the document. An empty value removes
// the key. Errors are one sentence.
func set(d *prop.Document, l line, typed string) (*prop.Document, error) {
	typed = strings.TrimSpace(typed)
	next := *d
	v, err := value(l.fig, typed)
	if err == nil {
		err = put(&next, l, typed, v)
	}
	if err != nil {
		return d, sentence(err, l.where)
	}
	return &next, nil
}

// put makes the change and those that follow from it.
func put(d *prop.Document, l line, typed string, v any) error {
	w := l.where
	switch {
	case v == nil:
		return d.Set(w, nil)
	case w.Table == "run" && w.Key == "pixels":
		return d.SetPixels(w.Index, v.(int))
	case w.Table == "run" && w.Key == "name":
		return d.RenameRun(w.Index, typed)
	case w.Table == "strip" && w.Key == "chip":
		return setChip(d, typed)
	}
	return d.Set(w, v)
}

// value turns typed text into a value for the file; nil removes the key.
func value(f figure, typed string) (any, error) {
	if typed == "" {
		return nil, nil
	}
	switch f.kind {
	case whole:
		n, err := strconv.Atoi(typed)
		if err != nil {
			return nil, fmt.Errorf("%q is not a whole number: write only its digits", typed)
		}
		return n, nil
	case yesNo:
		switch strings.ToLower(typed) {
		case "yes", "true":
			return true, nil
		case "no", "false":
			return false, nil
		}
		return nil, fmt.Errorf("%q is neither yes nor no: write one of them", typed)
	case place:
		if n, err := strconv.Atoi(typed); err == nil {
			return n, nil
		}
	case list:
		var out []string
		for part := range strings.SplitSeq(typed, ";") {
			out = append(out, strings.TrimSpace(part))
		}
		return out, nil
	}
	return typed, nil
}

// setChip changes the chip, and sets figures of the file that depend on the chip to those
// of the new one.
func setChip(d *prop.Document, name string) error {
	chip, known := prop.ChipByName(name)
	all := []prop.Setting{{Where: prop.Where{Table: "strip", Key: "chip"}, Value: name}}
	if !known {
		return d.SetAll(all)
	}
	for key, v := range map[string]any{"group": max(1, chip.LightsPerPixel), "order": string(chip.Order),
		"volts": words.Given(chip.Volts, "V"), "lowest": words.Given(chip.MinVolts, "V"),
		"idle": words.Given(1000*chip.IdleAmps, "mA"), "full": words.Given(1000*chip.ChannelAmps, "mA")} {
		w := prop.Where{Table: "strip", Key: key}
		if _, given := d.Get(w); given {
			all = append(all, prop.Setting{Where: w, Value: v})
		}
	}
	supply := prop.Where{Table: "supply", Key: "volts"}
	if _, given := d.Get(supply); given && d.Prop() != nil && d.Prop().Chip.Volts != chip.Volts {
		all = append(all, prop.Setting{Where: supply, Value: words.Given(chip.Volts, "V")})
	}
	sorting.By(all[1:], func(a, b prop.Setting) int { return strings.Compare(a.Where.Key, b.Where.Key) })
	return d.SetAll(all)
}

// sentence is an error of the document for the line below a value: without file and line,
// and with the place only if that is another one.
func sentence(err error, at prop.Where) error {
	var all prop.Problems
	if !errors.As(err, &all) || len(all) == 0 {
		return err
	}
	p := all[0]
	for _, q := range all {
		if q.Key == at.String() {
			p = q
			break
		}
	}
	s := p.Text
	if here := at.String(); p.Key != "" && p.Key != here && !strings.HasPrefix(here, p.Key+", ") {
		s = p.Key + ": " + s
	}
	if p.Hint != "" {
		s += ": " + p.Hint
	}
	return errors.New(s)
}
