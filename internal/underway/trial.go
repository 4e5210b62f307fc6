package underway

import (
	"errors"
	"fmt"
	"hash/fnv"
	"slices"
	"strings"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/words"
)

// A Trial is a single test in progress, with its replies.
type Trial struct {
	single.Test
	Replies []single.Reply

	Proof *pictures.Proof // proof by camera that waits for this test to sign the prop off; nil for none
}

// BeginTest begins a single test. An earlier unfinished one is moved aside, and note
// says where. number is that of Save.
func (d *Desk) BeginTest(k single.Kind, number int) (t *Trial, note string, err error) {
	if err := d.Claim(); err != nil {
		return nil, "", err
	}
	test, err := single.New(k, d.opt.Prop)
	if err != nil {
		return nil, "", err
	}
	note, err = d.moveAside(Part{}, k, number)
	return &Trial{Test: test}, note, err
}

// TakeUpTest resumes an unfinished single test, or begins one. One of another version
// of the prop is moved aside. note says what was done.
func (d *Desk) TakeUpTest(k single.Kind, number int) (t *Trial, note string, err error) {
	if err := d.Claim(); err != nil {
		return nil, "", err
	}
	u, found, err := d.Find(Part{}, k)
	if err != nil {
		return nil, "", err
	}
	if !found {
		return d.BeginTest(k, number)
	}
	if why := d.stale(u); why != "" {
		t, aside, err := d.BeginTest(k, number)
		return t, fmt.Sprintf("%s of %q: the unfinished one is %s, so a new one begins. %s", k.Title(), d.opt.Prop.Name, why, aside), err
	}
	test, err := single.Restore(k, d.opt.Prop, u.Replies)
	if err != nil || u.Print != printOf(k, d.opt.Prop) {
		t, aside, err := d.BeginTest(k, number)
		return t, fmt.Sprintf("%q has changed since its unfinished %s, so a new one begins. %s", d.opt.Prop.Name, k.Title(), aside), err
	}
	return &Trial{Test: test, Replies: u.Replies}, fmt.Sprintf("%s of %s is taken up after %s.", k.Title(), u.At.Format("2 January 15:04"), words.Count(u.Answers(), "answer")), nil
}

// Answer gives a reply to the test and stores it. When the test starts again, earlier
// replies are dropped.
func (t *Trial) Answer(r single.Reply) error {
	err := t.Test.Answer(r)
	var again *single.RestartError
	switch {
	case errors.As(err, &again):
		t.Replies = again.Said
		return err
	case err != nil:
		return err
	case r.Other:
		t.Replies = slices.DeleteFunc(slices.Clone(t.Replies), func(r single.Reply) bool { return !r.Other })
	}
	t.Replies = append(t.Replies[:len(t.Replies):len(t.Replies)], r)
	return nil
}

// Undo takes back the last reply.
func (t *Trial) Undo() bool {
	if !t.Test.Undo() {
		return false
	}
	t.Replies = t.Replies[:max(0, len(t.Replies)-1)]
	return true
}

// UnfinishedTest returns a single test in the form that is saved.
func (d *Desk) UnfinishedTest(t *Trial) record.UnfinishedCheck {
	return record.UnfinishedCheck{Test: t.Kind(), Replies: append([]single.Reply(nil), t.Replies...), At: d.opt.Now(), Print: printOf(t.Kind(), d.opt.Prop)}
}

// printOf is a hash of what the replies of a test hold for: readings of a voltmeter hold for
// one supply, one copper and one chip.
func printOf(k single.Kind, p *prop.Prop) string {
	base := checkout.Print(p)
	copper, err := power.Copper(p)
	if k != single.Load || err != nil {
		return base
	}
	h := fnv.New64a()
	fmt.Fprint(h, base, copper)
	return fmt.Sprintf("%016x", h.Sum64())
}

// TestEntry returns a single test as a record entry; false for a test without entries,
// or without any reply.
func (d *Desk) TestEntry(t *Trial, r single.Result) (record.Entry, bool) {
	var e record.Entry
	switch test := t.Test.(type) {
	case single.FlexTest:
		e = record.FromFlex(test.Flex)
	case single.LoadTest:
		if len(test.Readings()) == 0 {
			return e, false
		}
		e = record.FromLoad(d.opt.Prop, test.Readings(), *r.Fit)
		if n := test.Missing(); n > 0 {
			e.Notes += " " + single.NotTaken(n)
		}
	case single.BulbTest:
		e = record.FromBulb(test.Found())
	case *single.CountTest:
		var text []string
		for _, l := range r.Lines {
			text = append(text, l.Text)
		}
		e = record.FromCount(strings.Join(text, " "), r.Number, r.Good)
	default:
		return e, false
	}
	if !r.Whole && e.Verdict == record.Pass {
		e.Verdict = record.Stopped // a pass would claim the steps that were not taken
	}
	return d.stamp(e, d.Text()), len(t.Replies) > 0
}
