package prop

import "sort"

// A Found holds what a check-out found to differ from the file. Runs are named by their
// present index; zero values mean no change.
type Found struct {
	Order    Order        // colour order of the whole prop
	Group    int          // LEDs that one pixel drives
	Universe uint16       // of the first pixel
	Slot     int          // of the first pixel, from 1
	Pixels   map[int]int  // real counts
	Reverse  map[int]bool // data travels against the drawing
	Runs     []int        // wiring order: the present index of the run that comes first, second, ...
}

// TakeOver returns a copy of the document with the findings written into it, for
// Changes to compare and Save to write. If one cannot be written, none is, and the
// error says why.
func (d *Document) TakeOver(f Found) (*Document, error) {
	next := d.copyWith(append([]byte(nil), d.text...))
	if _, err := next.reparse(); err != nil {
		return nil, err
	}
	if err := next.SetAll(f.settings()); err != nil {
		return nil, err
	}
	for _, i := range sortedKeys(f.Pixels) {
		if err := next.SetPixels(i, f.Pixels[i]); err != nil {
			return nil, err
		}
	}
	for _, i := range sortedKeys(f.Reverse) {
		if err := next.SetReverse(i, f.Reverse[i]); err != nil {
			return nil, err
		}
	}
	if len(f.Runs) > 0 {
		if err := next.ReorderRuns(f.Runs); err != nil {
			return nil, err
		}
	}
	return next, nil
}

func (f Found) settings() []Setting {
	var out []Setting
	if f.Order != "" {
		out = append(out, Setting{Where{"strip", 0, "order"}, string(f.Order)})
	}
	if f.Group > 0 {
		out = append(out, Setting{Where{"strip", 0, "group"}, f.Group})
	}
	if f.Universe > 0 {
		out = append(out, Setting{Where{"address", 0, "universe"}, int(f.Universe)})
	}
	if f.Slot > 0 {
		out = append(out, Setting{Where{"address", 0, "slot"}, f.Slot})
	}
	return out
}

func sortedKeys[V any](m map[int]V) []int {
	var out []int
	for k := range m {
		out = append(out, k)
	}
	sort.Ints(out)
	return out
}
