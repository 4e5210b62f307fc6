package checkout

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/prop"
)

// A Log holds all questions and answers as plain data, for the bench record and
// to resume a check-out.
type Log struct {
	Version int     `json:"version"`
	Prop    string  `json:"prop"`  // its name
	Print   string  `json:"print"` // hash of runs, order and address, see Print
	Steps   []Entry `json:"steps"`
	Network Network `json:"network,omitzero"` // state of the network at the end
}

// An Entry is one probe and its answer.
type Entry struct {
	Spec    Spec     `json:"probe"`
	Offered []string `json:"offered"`
	Given   string   `json:"given"`          // one of Offered, or empty for not sure
	Pair    bool     `json:"pair,omitempty"` // asked only to rule two faults at once out
}

const logVersion = 1

// A ChangedError reports that the prop has changed since a log was written.
type ChangedError struct{ Prop string }

func (e *ChangedError) Error() string {
	return fmt.Sprintf("the check-out was begun with another version of %q: its runs, colour order or address have changed since. Begin a new check-out, or put the file back as it was", e.Prop)
}

// Log is the check-out so far.
func (s *Session) Log() Log {
	l := Log{Version: logVersion, Prop: s.field.prop.Name, Print: Print(s.field.prop), Steps: []Entry{}, Network: s.network}
	for _, st := range s.steps {
		e := Entry{Spec: st.spec, Pair: st.pair}
		for i, t := range st.answers {
			e.Offered = append(e.Offered, t.String())
			if i == st.given {
				e.Given = t.String()
			}
		}
		l.Steps = append(l.Steps, e)
	}
	return l
}

// Restore resumes a check-out. It returns a *ChangedError when the prop has
// changed since, and refuses an invalid log, naming the entry.
func Restore(p *prop.Prop, opts Options, l Log) (*Session, error) {
	if l.Version != logVersion {
		return nil, fmt.Errorf("the check-out was written by another version of this program (%d, this one reads %d): begin a new one", l.Version, logVersion)
	}
	if l.Print != Print(p) {
		return nil, &ChangedError{Prop: l.Prop}
	}
	s, err := New(p, opts)
	if err != nil {
		return nil, err
	}
	steps := make([]step, len(l.Steps))
	for i, e := range l.Steps {
		if steps[i], err = e.step(s.field); err != nil {
			return nil, fmt.Errorf("entry %d of the check-out cannot be read: %w; begin a new one", i+1, err)
		}
	}
	s.network = Network{Rival: l.Network.Rival} // the link is as it is now: the caller reports it
	s.replay(steps)
	return s, nil
}

// step reads an entry, and refuses one that does not fit the prop or itself.
func (e Entry) step(f *field) (step, error) {
	st := step{spec: e.Spec, given: -1, pair: e.Pair}
	if err := e.Spec.check(f.pixels, len(f.sizes)); err != nil {
		return st, err
	}
	if len(e.Offered) < 2 {
		return st, fmt.Errorf("%d answers were offered, at least 2 are needed", len(e.Offered))
	}
	for _, w := range e.Offered {
		t, err := ParseToken(w)
		if err != nil {
			return st, err
		}
		st.answers = append(st.answers, t)
	}
	if e.Given != "" {
		if st.given = slices.Index(e.Offered, e.Given); st.given < 0 {
			return st, fmt.Errorf("the answer %q was not offered", e.Given)
		}
	}
	return st, nil
}
