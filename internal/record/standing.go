package record

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/words"
)

// The single tests that have entries of their own.
const (
	FlexTest = "flex"      // every joint bent
	LoadTest = "load"      // voltmeter readings at rising levels
	RunTest  = "run"       // one run checked alone, named in Only
	RollCall = "roll call" // pixels counted by the last one that lights
)

// Last is the newest check-out of the whole prop; false when there is none. Single
// tests do not count: a load test that passes does not show that every pixel lights.
func (h History) Last() (Entry, bool) {
	for _, e := range slices.Backward(h.Entries) {
		if e.Kind == "check-out" && e.Test == "" {
			return e, true
		}
	}
	return Entry{}, false
}

// Tests are the newest of each kind of single test, oldest first. A check of one run and a
// roll call count until the next check-out of the whole prop.
func (h History) Tests() []Entry {
	var out []Entry
	seen := map[string]bool{}
	whole := false
	for _, e := range slices.Backward(h.Entries) {
		key := e.Test + "|" + e.Only
		switch {
		case e.Kind != "check-out" || seen[key] || whole && (e.Test == RunTest || e.Test == RollCall):
		case e.Test == "":
			whole = true
		default:
			seen[key] = true
			out = append(out, e)
		}
	}
	slices.Reverse(out)
	return out
}

// LastTwo are the two newest check-outs of the newest one's kind, older first, so load
// tests are compared with load tests. If the newest is the only one of its kind, they
// are the two newest check-outs of the whole prop.
func (h History) LastTwo() (a, b Entry, err error) {
	pair := h.LastPair()
	if len(pair) < 2 {
		n := 0
		for _, e := range h.Entries {
			if e.Kind == "check-out" {
				n++
			}
		}
		return a, b, fmt.Errorf("two check-outs of the same kind are needed to compare, and the record has %s: give the numbers of two", words.Count(n, "check-out"))
	}
	return h.Entries[pair[0]], h.Entries[pair[1]], nil
}

// LastPair are the indexes of LastTwo in Entries, older first; empty when there are
// none.
func (h History) LastPair() []int {
	kinds := []string{"|"} // whole
	for _, e := range slices.Backward(h.Entries) {
		if e.Kind == "check-out" {
			kinds = append([]string{e.Test + "|" + e.Only}, kinds...)
			break
		}
	}
	for _, kind := range kinds {
		var found []int
		for i, e := range slices.Backward(h.Entries) {
			if e.Kind == "check-out" && e.Test+"|"+e.Only == kind && len(found) < 2 {
				found = append([]int{i}, found...)
			}
		}
		if len(found) == 2 {
			return found
		}
	}
	return nil
}

// kind names what was done.
func (e Entry) kind() string {
	switch e.Test {
	case "":
		return "check-out"
	case RunTest:
		return "check-out of " + plain(e.Only) + " alone"
	case RollCall:
		return RollCall
	}
	return plain(e.Test) + " test"
}
