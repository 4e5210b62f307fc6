package prop

import (
	"bytes"
	"fmt"
	"strings"
)

// Given is the number of tables of that name in the file.
func (d *Document) Given(table string) int {
	if d.tree == nil {
		return 0
	}
	return len(d.tree.all(table))
}

// AddTable adds a feed or part after the others of its kind, or at the end of the file
// when it is the first. For runs, which have an order, see AddRun.
func (d *Document) AddTable(table string, fields []Field) error {
	if !repeatable[table] || table == "run" || d.tree == nil {
		return fmt.Errorf("%s: no [[%s]] can be added here", d.name, table)
	}
	nl := d.newline()
	text := "[[" + table + "]]" + nl
	for _, f := range fields {
		v, err := written(f.Value)
		if err != nil {
			return err
		}
		text += f.Key + " = " + v + nl
	}
	at := len(d.text)
	blocks, err := d.tableBlocks(table)
	if err != nil {
		return err
	}
	if len(blocks) > 0 {
		at = blocks[len(blocks)-1].end
	}
	text = nl + text
	if at > 0 && d.text[at-1] != '\n' {
		text = nl + text
	}
	return d.replaceText(splice(d.text, change{at, at, text}))
}

// RemoveTable removes feed or part i (from 0) with the comments right above and below
// it. For runs, which hold pixels, see RemoveRun.
func (d *Document) RemoveTable(table string, i int) error {
	blocks, err := d.tableBlocks(table)
	if err != nil {
		return err
	}
	if table == "run" || i < 0 || i >= len(blocks) {
		return fmt.Errorf("%s: there is no %s %d to take out", d.name, table, i+1)
	}
	b := blocks[i]
	end := b.end
	if end < len(d.text) && len(bytes.TrimSpace(d.text[end:d.lineEnd(end)])) == 0 {
		end = d.lineEnd(end) // one blank line goes with it
	}
	return d.replaceText(splice(d.text, change{b.start, end, ""}))
}

// ReorderTables reorders feeds or parts: order[i] is the present index of the one that
// becomes i. Comments move with their table. For runs, whose pixels are renumbered, see
// ReorderRuns.
func (d *Document) ReorderTables(table string, order []int) error {
	blocks, err := d.tableBlocks(table)
	if err != nil {
		return err
	}
	if table == "run" || !isPermutation(order, len(blocks)) {
		return fmt.Errorf("%s: %v is no order of its %d [[%s]]", d.name, order, len(blocks), table)
	}
	return d.replaceText(d.reorderBlocks(blocks, order))
}

func (d *Document) tableBlocks(table string) ([]block, error) {
	if d.tree == nil {
		return nil, d.noRun(0)
	}
	var out []block
	for _, t := range d.tree.all(table) {
		if t.head < 0 {
			return nil, fmt.Errorf("%s line %d: each %s stands in braces: write it as [[%s]] first", d.name, t.line, table, table)
		}
		out = append(out, d.block(t))
	}
	return out, nil
}

// RenameRun renames run i (from 0), also in the parts and feeds that refer to it by
// name.
func (d *Document) RenameRun(i int, name string) error {
	if d.prop == nil || i < 0 || i >= len(d.prop.Runs) {
		return d.noRun(i)
	}
	old := d.prop.Runs[i].Name
	all := []Setting{{Where{"run", i, "name"}, name}}
	for k, t := range d.tree.all("part") {
		if e := t.find("run"); e != nil && strings.EqualFold(strings.TrimSpace(e.val.text), old) {
			all = append(all, Setting{Where{"part", k, "run"}, name})
		}
	}
	for k, t := range d.tree.all("feed") {
		e := t.find("at")
		if e == nil {
			continue
		}
		if word, run, of := strings.Cut(e.val.text, " of "); of && strings.EqualFold(strings.TrimSpace(run), old) {
			all = append(all, Setting{Where{"feed", k, "at"}, word + " of " + name})
		}
	}
	return d.SetAll(all)
}
