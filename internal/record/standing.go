package record

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/words"
)

// The single tests that are recorded by themselves.
const (
	FlexTest = "flex" // every joint bent
	LoadTest = "load" // voltmeter readings at rising levels
	RunTest  = "run"  // one run checked alone, named in Only
)

// Last is the newest check-out of the whole prop; false when there is none.
// Single tests are not among them: a load test that passes says nothing of a
// pixel that is dark.
func (h History) Last() (Entry, bool) {
	for _, e := range slices.Backward(h.Entries) {
		if e.Kind == "check-out" && e.Test == "" {
			return e, true
		}
	}
	return Entry{}, false
}

// Tests are the newest of each kind of single test, oldest first. A run checked
// alone counts until the whole prop is checked out again.
func (h History) Tests() []Entry {
	var out []Entry
	seen := map[string]bool{}
	whole := false
	for _, e := range slices.Backward(h.Entries) {
		key := e.Test + "|" + e.Only
		switch {
		case e.Kind != "check-out" || seen[key] || e.Test == RunTest && whole:
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

// LastTwo are the two newest check-outs of the same kind as the newest one,
// older first: two load tests are compared with each other, and not with a
// check-out that measured nothing. Where the newest is the only one of its kind
// they are the two newest check-outs of the whole prop.
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

// LastPair are the places of LastTwo in Entries, older first; empty when there
// are none.
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

// kind is what was done, in words.
func (e Entry) kind() string {
	switch e.Test {
	case "":
		return "check-out"
	case RunTest:
		return "check-out of " + plain(e.Only) + " alone"
	}
	return plain(e.Test) + " test"
}
