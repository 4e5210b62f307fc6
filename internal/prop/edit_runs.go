package prop

import (
	"bytes"
	"fmt"
)

// SetPixels sets the pixel count of run i (from 0). Parts and feeds written as pixel
// numbers after or across the change are renumbered.
func (d *Document) SetPixels(i, n int) error {
	if d.prop == nil || i < 0 || i >= len(d.prop.Runs) {
		return d.noRun(i)
	}
	first, old := d.prop.FirstPixel(i), d.prop.Runs[i].Pixels
	within := func(v int) int { return max(min(v, first+n-1), min(v, first)) }
	m := moves{
		total: d.prop.Pixels() + n - old,
		from: func(v int) int {
			if v >= first+old {
				return v + n - old
			}
			return within(v)
		},
		to: func(v int) int { // the last pixel of the run stays its last
			if v >= first+old-1 {
				return v + n - old
			}
			return within(v)
		},
	}
	all := []Setting{{Where{"run", i, "pixels"}, n}}
	return d.SetAll(append(all, d.renumber(m, i, n)...))
}

// SetReverse sets whether data in run i travels against the drawing.
func (d *Document) SetReverse(i int, reverse bool) error {
	if d.prop == nil || i < 0 || i >= len(d.prop.Runs) {
		return d.noRun(i)
	}
	words := [2]string{"forward", "backward"}
	if k := d.prop.Runs[i].Shape.Kind; k == Ring || k == Star {
		words = [2]string{"clockwise", "counter-clockwise"}
	}
	word := words[0]
	if reverse {
		word = words[1]
	}
	return d.Set(Where{"run", i, "travel"}, word)
}

func (d *Document) noRun(i int) error {
	if d.prop == nil {
		return fmt.Errorf("%s has problems: correct it by hand first", d.name)
	}
	return fmt.Errorf("%s: there is no run %d: it has %d", d.name, i+1, len(d.prop.Runs))
}

// ReorderRuns changes the wiring order: order[i] is the present index of the run that
// becomes run i. Comments move with their runs, parts and feeds written as pixel
// numbers with their pixels.
func (d *Document) ReorderRuns(order []int) error {
	if d.prop == nil {
		return d.noRun(0)
	}
	if !isPermutation(order, len(d.prop.Runs)) {
		return fmt.Errorf("%s: %v is no order of its %d runs", d.name, order, len(d.prop.Runs))
	}
	move, err := d.pixelMoves(order)
	if err != nil {
		return err
	}
	settings := append(d.renumber(moves{move, move, d.prop.Pixels()}, -1, 0), d.pinEnds(order, move)...)
	next := d.copyWith(d.text)
	next.reparse() //nolint:errcheck // the text was valid before
	if err := next.SetAll(next.nameReferred()); err != nil {
		return err
	}
	blocks, err := next.runBlocks()
	if err != nil {
		return err
	}
	next.text = next.reorderBlocks(blocks, order)
	next.reparse() //nolint:errcheck // SetAll checks the text after renumbering
	if err := next.SetAll(settings); err != nil {
		return err
	}
	*d = *next
	return nil
}

// A block is a table with the comments next to it, as byte offsets.
type block struct{ start, end int }

func (d *Document) runBlocks() ([]block, error) {
	var out []block
	for _, t := range d.tree.all("run") {
		if t.head < 0 {
			return nil, fmt.Errorf("%s line %d: the runs stand in braces on one line: write each as [[run]] first", d.name, t.line)
		}
		out = append(out, d.block(t))
	}
	return out, nil
}

// block extends from the comments right above the header to the table's last line, and
// over comments right below that unless they belong to the next table.
func (d *Document) block(t *table) block {
	floor := 0
	for _, e := range d.tree.top.entries {
		floor = max(floor, d.lineEnd(e.end-1))
	}
	next := len(d.text)
	for _, o := range d.tree.tables {
		if o.head >= 0 && o.head < t.head {
			floor = max(floor, d.lineEnd(d.lastLine(o)))
		}
		if o.head > t.head {
			next = min(next, d.above(o.head, d.lineEnd(d.lastLine(t))))
		}
	}
	end := d.lineEnd(d.lastLine(t))
	for end < next && d.isComment(end) {
		end = d.lineEnd(end)
	}
	return block{d.above(t.head, floor), end}
}

// above walks up from head over comment lines, but not past floor.
func (d *Document) above(head, floor int) int {
	for head > floor {
		line := bytes.LastIndexByte(d.text[:head-1], '\n') + 1
		if line < floor || !d.isComment(line) {
			break
		}
		head = line
	}
	return head
}

func (d *Document) isComment(at int) bool {
	line := bytes.TrimSpace(bytes.TrimPrefix(d.text[at:d.lineEnd(at)], []byte(bom)))
	return bytes.HasPrefix(line, []byte("#"))
}

// reorderBlocks returns the text with the blocks in another order and everything between
// them unmoved.
func (d *Document) reorderBlocks(blocks []block, order []int) []byte {
	var out []byte
	at := 0
	for i, b := range blocks {
		out = append(out, d.text[at:b.start]...)
		from := blocks[order[i]]
		body := bytes.TrimPrefix(d.text[from.start:from.end], []byte(bom))
		out = append(out, body...)
		if n := len(body); n > 0 && body[n-1] != '\n' {
			out = append(out, d.newline()...)
		}
		at = b.end
	}
	return append(out, d.text[at:]...)
}

// AddRun inserts a run at index i (from 0) in wiring order, with its fields in the
// order to write.
func (d *Document) AddRun(i int, fields []Field) error {
	if d.tree == nil {
		return d.noRun(i)
	}
	blocks, err := d.runBlocks()
	if err != nil {
		return err
	}
	if i < 0 || i > len(blocks) {
		return fmt.Errorf("%s: a run can be put at place 1 to %d, not %d", d.name, len(blocks)+1, i+1)
	}
	nl := d.newline()
	text := "[[run]]" + nl
	for _, f := range fields {
		v, err := written(f.Value)
		if err != nil {
			return err
		}
		text += f.Key + " = " + v + nl
	}
	switch {
	case i < len(blocks):
		at := blocks[i].start
		return d.replaceText(splice(d.text, change{at, at, text + nl}))
	case len(blocks) > 0:
		at := blocks[i-1].end
		if at > 0 && d.text[at-1] != '\n' {
			text = nl + text
		}
		return d.replaceText(splice(d.text, change{at, at, nl + text}))
	}
	return d.replaceText(splice(d.text, change{len(d.text), len(d.text), nl + nl + text}))
}

// A Field is a key and its value, as Set takes them.
type Field struct {
	Key   string
	Value any
}

// RemoveRun removes run i (from 0) with the comments right above and below it. It is
// refused while a part or feed refers to the run.
func (d *Document) RemoveRun(i int) error {
	if d.prop == nil || i < 0 || i >= len(d.prop.Runs) {
		return d.noRun(i)
	}
	if err := d.refuseReferred(i); err != nil {
		return err
	}
	first, n := d.prop.FirstPixel(i), d.prop.Runs[i].Pixels
	settings := d.renumber(withoutRun(first, n, d.prop.Pixels()-n), -1, 0)
	next := d.copyWith(d.text)
	next.reparse() //nolint:errcheck // the text was valid before
	if err := next.SetAll(next.nameReferred()); err != nil {
		return err
	}
	if err := next.cutOut(i); err != nil {
		return err
	}
	if err := next.SetAll(settings); err != nil {
		return err
	}
	*d = *next
	return nil
}

// cutOut removes the text of run i and one blank line after it.
func (d *Document) cutOut(i int) error {
	blocks, err := d.runBlocks()
	if err != nil {
		return err
	}
	b := blocks[i]
	end := b.end
	if end < len(d.text) && len(bytes.TrimSpace(d.text[end:d.lineEnd(end)])) == 0 {
		end = d.lineEnd(end)
	}
	d.text = splice(d.text, change{b.start, end, ""})
	d.reparse() //nolint:errcheck // the caller checks the text
	return nil
}
