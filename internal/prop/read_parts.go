package prop

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// parts reads every [[part]]: pixels from first to last, both included and counted from
// 1, on the whole prop or on the named run. A named run without a range means all of
// it.
func (r *reader) parts() {
	names := map[string]int{}
	for i, t := range r.all("part") {
		s := spot{t, spotName("part", i)}
		p := Part{Empty: r.boolean(s, "empty"), Name: r.named(s)}
		r.checkUnique(s, names, p.Name)
		base, limit, in := r.partRange(s)
		first, _, ok1 := r.integer(s, "first", 1, limit)
		last, e, ok2 := r.integer(s, "last", 1, limit)
		whole := in && s.t.find("first") == nil && s.t.find("last") == nil
		switch {
		case whole:
			first, last = 1, limit
		case s.t.find("first") == nil || s.t.find("last") == nil:
			r.reportMissing(s.line(), s.name, "write first = 1 and last = 36, counted from 1, or a run", "does not say which pixels it is")
		case ok1 && ok2 && last < first:
			r.problem(e.line, s.key("last"), "swap first and last", "%d comes before first, %d", last, first)
		}
		p.First, p.Last = base+first-1, base+last-1
		r.prop.Parts = append(r.prop.Parts, p)
	}
}

// partRange returns the pixel at which a part's numbers start and how many there are.
func (r *reader) partRange(s spot) (base, limit int, inRun bool) {
	name, e, ok := r.text(s, "run")
	if !ok {
		return 0, r.pixelLimit(), false
	}
	if i := r.runNamed(name); i >= 0 {
		n := r.prop.Runs[i].Pixels
		if n == 0 {
			n = MaxPixels
		}
		return r.runTables[i].first, n, true
	}
	r.problem(e.line, s.key("run"), r.runHint(name), "there is no run %q", name)
	return 0, MaxPixels, true
}

// pixelLimit is the pixel count of the prop, or no limit while a run's count is wrong.
func (r *reader) pixelLimit() int {
	if r.uncounted || r.total == 0 {
		return MaxPixels
	}
	return r.total
}

// runNamed is the index of a run, ignoring case; -1 for none.
func (r *reader) runNamed(name string) int {
	if i, ok := r.byName[strings.ToLower(name)]; ok {
		return i
	}
	return -1
}

// runHint lists the runs or suggests one. Above 200 runs it suggests none: edit
// distance to each name, for each mistake, would take too long.
func (r *reader) runHint(name string) string {
	if len(r.prop.Runs) > 200 {
		return "name a run of this file"
	}
	var names []string
	for _, run := range r.prop.Runs {
		names = append(names, run.Name)
	}
	if n := nearest(name, names); n != "" {
		return fmt.Sprintf("did you mean %q?", n)
	}
	if len(names) > 8 {
		names = append(names[:8], "...")
	}
	return "the runs are " + strings.Join(names, ", ")
}

// feeds reads every [[feed]]: the wire, its one-way length in metres, and its fuse in
// amps, 0 for none given.
func (r *reader) feeds() {
	names := map[string]int{}
	for i, t := range r.all("feed") {
		s := spot{t, spotName("feed", i)}
		f := Feed{Wire: r.wire(s, "wire"), Name: r.named(s)}
		r.checkUnique(s, names, f.Name)
		f.Pixel = r.feedPixel(s)
		if v, _, ok := r.measure(s, "length", lengths, orZero, maxLength); ok {
			f.WireMetre = v
		}
		if v, _, ok := r.measure(s, "fuse", amps, 0, 500); ok {
			f.FuseAmps = v
		}
		if t.find("wire") == nil {
			r.reportMissing(s.line(), s.key("wire"), `write wire = "18 AWG" or "0.75 mm2"`, "is missing")
		}
		if t.find("length") == nil {
			r.reportMissing(s.line(), s.key("length"), `write length = "5 ft" or "1.5 m", one way`, "is missing")
		}
		r.prop.Feeds = append(r.prop.Feeds, f)
	}
}

const feedHint = `write at = 1 (the pixel), "start", "end"; for a run "start of NAME" or "end of NAME"`

// feedPixel is the pixel that a feed is soldered to, from 0. The file gives a number
// from 1, or the start or end of the prop or of a run.
func (r *reader) feedPixel(s spot) int {
	e := s.t.find("at")
	n := r.pixelLimit()
	if e == nil {
		r.reportMissing(s.line(), s.key("at"), feedHint, "does not say where it enters")
		return 0
	}
	if e.val.kind == unstable.Integer {
		v, err := strconv.Atoi(strings.ReplaceAll(e.val.text, "_", ""))
		if err != nil || v < 1 || v > n {
			r.problem(e.line, s.key("at"), fmt.Sprintf(`give 1 to %d, or "end"`, n), "pixel %s is not on the prop, which has %d", e.val.text, n)
			return 0
		}
		return v - 1
	}
	text, _, ok := r.text(s, "at")
	if !ok {
		return 0
	}
	return r.feedPlace(s, e, text)
}

// feedPlace reads "start", "end", "start of NAME" or "end of NAME".
func (r *reader) feedPlace(s spot, e *entry, text string) int {
	word, name, of := strings.Cut(text, " of ")
	word = strings.ToLower(strings.TrimSpace(word))
	if word != "start" && word != "end" {
		r.problem(e.line, s.key("at"), feedHint, "%q is no place for a feed", text)
		return 0
	}
	i := 0
	if of {
		name = strings.TrimSpace(name)
		if i = r.runNamed(name); i < 0 {
			r.problem(e.line, s.key("at"), r.runHint(name), "there is no run %q", name)
			return 0
		}
	} else if word == "end" {
		i = len(r.prop.Runs) - 1
	}
	if i < 0 || len(r.prop.Runs) == 0 {
		return 0
	}
	at := r.runTables[i].first
	if word == "end" {
		at += max(r.prop.Runs[i].Pixels, 1) - 1 // the last pixel of this run, not the first of the next
	}
	return at
}
