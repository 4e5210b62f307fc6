package prop

import (
	"fmt"
	"sort"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// moves map old pixel numbers to new ones: the first of a part or the pixel of a feed,
// and the last of a part. Pixels count from 0; total is the new count.
type moves struct {
	from, to func(int) int
	total    int
}

// renumber returns the settings that renumber parts and feeds. run then has n pixels:
// parts counted inside it that ended at its end still do, and longer ones are cut.
func (d *Document) renumber(m moves, run, n int) []Setting {
	var out []Setting
	set := func(i int, key string, v, to int) {
		if v != to {
			out = append(out, Setting{Where{"part", i, key}, to})
		}
	}
	for i, t := range d.tree.all("part") {
		p := d.prop.Parts[i]
		e := t.find("run")
		switch {
		case t.find("first") == nil || t.find("last") == nil:
		case e == nil:
			set(i, "first", p.First+1, m.from(p.First)+1)
			set(i, "last", p.Last+1, m.to(p.Last)+1)
		case run >= 0 && strings.EqualFold(strings.TrimSpace(e.val.text), d.prop.Runs[run].Name):
			base := d.prop.FirstPixel(run)
			first, last := p.First-base+1, p.Last-base+1
			set(i, "first", first, min(first, n))
			if last == d.prop.Runs[run].Pixels || last > n {
				set(i, "last", last, n)
			}
		}
	}
	return append(out, d.renumberFeeds(m)...)
}

// renumberFeeds returns the settings of feeds given by number; one past the new end
// goes to the end. Feeds given in words follow their run without a change.
func (d *Document) renumberFeeds(m moves) (out []Setting) {
	for i, t := range d.tree.all("feed") {
		e := t.find("at")
		if e == nil || e.val.kind != unstable.Integer {
			continue
		}
		at := d.prop.Feeds[i].Pixel
		switch to := m.from(at); {
		case to >= m.total:
			out = append(out, Setting{Where{"feed", i, "at"}, "end"})
		case to != at:
			out = append(out, Setting{Where{"feed", i, "at"}, to + 1})
		}
	}
	return out
}

// pinEnds ties feeds at the "start" or "end" of the prop to their run when another run
// takes that place.
func (d *Document) pinEnds(order []int, move func(int) int) []Setting {
	var out []Setting
	last := len(order) - 1
	runs := d.tree.all("run")
	for i, t := range d.tree.all("feed") {
		e := t.find("at")
		if e == nil {
			continue
		}
		word, run, at := strings.ToLower(strings.TrimSpace(e.val.text)), 0, 0
		switch {
		case word == "start" && order[0] != 0:
			at = move(0) + 1
		case word == "end" && order[last] != last:
			run, at = last, move(d.prop.Pixels()-1)+1
		default:
			continue
		}
		var v any = at
		if runs[run].find("name") != nil {
			v = word + " of " + d.prop.Runs[run].Name
		}
		out = append(out, Setting{Where{"feed", i, "at"}, v})
	}
	return out
}

// nameReferred gives a name to unnamed runs that are referred to, as "run 2", so the
// reference still holds after a move.
func (d *Document) nameReferred() []Setting {
	referred := map[string]bool{}
	for _, t := range d.tree.all("part") {
		if e := t.find("run"); e != nil {
			referred[strings.ToLower(strings.TrimSpace(e.val.text))] = true
		}
	}
	for _, t := range d.tree.all("feed") {
		if e := t.find("at"); e != nil {
			if _, name, ok := strings.Cut(e.val.text, " of "); ok {
				referred[strings.ToLower(strings.TrimSpace(name))] = true
			}
		}
	}
	needed := false
	var out []Setting
	for i, t := range d.tree.all("run") {
		if name := d.prop.Runs[i].Name; t.find("name") == nil {
			needed = needed || referred[strings.ToLower(name)]
			out = append(out, Setting{Where{"run", i, "name"}, name})
		}
	}
	if !needed {
		return nil
	}
	return out
}

func isPermutation(order []int, n int) bool {
	s := append([]int(nil), order...)
	sort.Ints(s)
	for i, v := range s {
		if v != i {
			return false
		}
	}
	return len(s) == n
}

// pixelMoves maps each pixel to its index under a new order of runs. It refuses to split a
// numbered part.
func (d *Document) pixelMoves(order []int) (func(int) int, error) {
	start := make([]int, len(order))
	at := 0
	for _, old := range order {
		start[old] = at
		at += d.prop.Runs[old].Pixels
	}
	move := func(v int) int {
		r, o := d.prop.Find(v)
		if r < 0 {
			return v
		}
		return start[r] + o
	}
	for i, t := range d.tree.all("part") {
		p := d.prop.Parts[i]
		if t.find("run") == nil && move(p.Last)-move(p.First) != p.Last-p.First {
			return nil, fmt.Errorf("%s line %d: part %q spans runs that come apart: change or remove it by hand first", d.name, t.line, p.Name)
		}
	}
	return move, nil
}

// refuseReferred refuses to remove a run that a part or feed refers to by number.
func (d *Document) refuseReferred(i int) error {
	first, n := d.prop.FirstPixel(i), d.prop.Runs[i].Pixels
	inside := func(v int) bool { return v >= first && v < first+n }
	for k, t := range d.tree.all("part") {
		p := d.prop.Parts[k]
		around := p.First <= first && p.Last >= first+n-1 && p.Last-p.First+1 > n
		if t.find("run") == nil && !around && (inside(p.First) || inside(p.Last)) {
			return fmt.Errorf("%s line %d: part %q lies in run %q: change or remove the part first", d.name, t.line, p.Name, d.prop.Runs[i].Name)
		}
	}
	for k, t := range d.tree.all("feed") {
		f := d.prop.Feeds[k]
		if e := t.find("at"); e != nil && e.val.kind == unstable.Integer && f.Pixel != first && inside(f.Pixel) {
			return fmt.Errorf("%s line %d: feed %q enters run %q: move the feed first", d.name, t.line, f.Name, d.prop.Runs[i].Name)
		}
	}
	return nil
}

// withoutRun returns the moves when n pixels from first on are removed. No part or feed
// may begin or end in them.
func withoutRun(first, n, total int) moves {
	return moves{
		total: total,
		from: func(v int) int {
			if v >= first+n {
				return v - n
			}
			return v
		},
		to: func(v int) int {
			if v >= first+n-1 {
				return v - n
			}
			return v
		},
	}
}
