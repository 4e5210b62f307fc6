package underway

import (
	"errors"
	"fmt"
	"os"
	"time"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/words"
)

// A CheckOut is a check-out in progress, as a value. Only the holder of the newest
// value may change its session.
type CheckOut struct {
	Part    Part
	Sub     *prop.Prop // the part as a prop of its own
	First   int        // its first pixel on the wire of the whole prop
	Session *checkout.Session
	Mended  []record.Finding   // repaired during this check-out
	Text    string             // the prop file at the beginning, for the record
	Seen    []checkout.Finding // findings that remain after the pictures; nil for those of the session
	Doubt   string             // why the findings must not change the plan; empty if they may
}

// Begin begins a check-out of a part. An earlier unfinished one of the same part is
// moved aside, and note says where. number is that of Save.
func (d *Desk) Begin(pt Part, number int) (c CheckOut, note string, err error) {
	if err := d.Claim(); err != nil {
		return c, "", err
	}
	c = CheckOut{Part: pt, Text: d.Text()}
	if c.Sub, c.First, err = pt.Of(d.opt.Prop); err != nil {
		return c, "", err
	}
	if c.Session, err = checkout.New(c.Sub, checkout.Options{}); err != nil {
		return c, "", err
	}
	note, err = d.moveAside(pt, "", number)
	return c, note, err
}

// moveAside moves aside the unfinished check of a part and test, so another can begin, and
// reports it.
func (d *Desk) moveAside(pt Part, test single.Kind, number int) (note string, err error) {
	u, found, err := d.Find(pt, test)
	switch {
	case err != nil:
		to := d.asideAt(d.opt.Now())
		if moved := os.Rename(d.file, to); moved != nil {
			return "", fmt.Errorf("%w; it can't be put aside either: %w", err, moved)
		}
		return fmt.Sprintf("%s. It is put aside in %s.", words.Capital(err.Error()), to), nil
	case found:
		return d.moveOneAside(number, u)
	}
	return "", nil
}

// moveOneAside moves one unfinished check aside and reports it.
func (d *Desk) moveOneAside(number int, u record.UnfinishedCheck) (note string, err error) {
	to, err := d.PutAside(number, u)
	if err != nil || to == "" {
		return "", err
	}
	return fmt.Sprintf("The unfinished one of %s, with %s, is put aside in %s.", u.At.Format("2 January 15:04"), words.Count(u.Answers(), "answer"), to), nil
}

// TakeUp resumes the unfinished check-out of a part, or begins one. One of another
// version of the prop is moved aside. note says what was done.
func (d *Desk) TakeUp(pt Part, number int) (c CheckOut, note string, err error) {
	if err := d.Claim(); err != nil {
		return c, "", err
	}
	u, found, err := d.Find(pt, "")
	if err != nil {
		return c, "", err
	}
	if !found {
		return d.Begin(pt, number)
	}
	if why := d.stale(u); why != "" {
		c, aside, err := d.Begin(pt, number)
		return c, fmt.Sprintf("The unfinished check-out of %q is %s, so a new one begins. %s", d.opt.Prop.Name, why, aside), err
	}
	c = CheckOut{Part: pt, Mended: u.Mended, Text: d.Text()}
	if c.Sub, c.First, err = pt.Of(d.opt.Prop); err != nil {
		return c, "", err
	}
	c.Session, err = checkout.Restore(c.Sub, checkout.Options{}, u.Log)
	var changed *checkout.ChangedError
	if errors.As(err, &changed) {
		c, aside, err := d.Begin(pt, number)
		return c, fmt.Sprintf("%q has changed since its unfinished check-out of %s, so a new one begins. %s", d.opt.Prop.Name, u.At.Format("2 January 15:04"), aside), err
	}
	if err != nil {
		return c, "", err
	}
	return c, fmt.Sprintf("Taking up the check-out of %s after %s.", u.At.Format("2 January 15:04"), words.Count(u.Answers(), "answer")), nil
}

// maxPause is how long answers wait for the rest of their check-out: between two evenings a
// prop is moved, and what was seen then may not be so now.
const maxPause = 7 * 24 * time.Hour

// stale says why an unfinished check is not taken up; empty if it is.
func (d *Desk) stale(u record.UnfinishedCheck) string {
	switch now := d.opt.Now(); {
	case u.At.IsZero():
		return "without a date"
	case (record.Entry{At: u.At}).Ahead(now):
		return "dated " + u.At.Format(record.Day) + ", which is yet to come"
	case now.Sub(u.At) > maxPause:
		return "of " + u.At.Format(record.Day) + ", too long ago to go on with"
	}
	return ""
}

// Unfinished returns the check-out in the form that is saved.
func (d *Desk) Unfinished(c CheckOut) record.UnfinishedCheck {
	u := record.UnfinishedCheck{Log: c.Session.Log(), At: d.opt.Now(), Mended: c.Mended}
	c.Part.mark(&u)
	return u
}

// Entry returns the check-out as a record entry. left means that the builder ended it
// early.
func (d *Desk) Entry(c CheckOut, left bool) record.Entry {
	e := record.FromCheckout(c.Sub, c.Session.Asked(), c.Findings(), left)
	e.Findings = append(e.Findings, c.Mended...)
	if c.Part.Way != Whole {
		e.Test, e.Only = record.RunTest, c.Part.Name
		where := c.Part.where()
		if e.Notes != "" {
			where += ". " + e.Notes
		}
		e.Notes = where
		for i := range e.Findings {
			if e.Findings[i].Pixel > 0 {
				e.Findings[i].Pixel += c.First // counted in the whole prop
			}
		}
	}
	text := c.Text
	if text == "" { // saved meanwhile, perhaps
		text = d.Text()
	}
	return d.stamp(e, text)
}

// Findings are the findings so far.
func (c CheckOut) Findings() []checkout.Finding {
	if c.Seen != nil {
		return c.Seen
	}
	return c.Session.Findings()
}

// Repaired marks the faults found as repaired and starts again on the same part. It is
// false when there was no fault to repair.
func (c CheckOut) Repaired() (CheckOut, bool, error) {
	found := c.Findings()
	faulty := false
	for _, f := range found {
		faulty = faulty || !f.Good && !f.Absent
	}
	if !faulty {
		return c, false, nil
	}
	if found[0].Sure.Firm() && !found[0].Good { // otherwise it is not known which fault it was
		fixed := record.FromCheckout(c.Sub, c.Session.Asked(), found[:1], false).Findings
		for i := range fixed {
			fixed[i].Fixed = true
		}
		c.Mended = append(c.Mended[:len(c.Mended):len(c.Mended)], fixed...)
	}
	s, err := checkout.New(c.Sub, checkout.Options{})
	if err == nil {
		s.SetNetwork(c.Session.Network())
	}
	c.Session, c.Seen = s, nil
	return c, true, err
}

// AsBuilt is the plan change that the findings show, or why there is none. Its doubt
// names what else looks the same.
func (c CheckOut) AsBuilt() single.AsBuilt {
	f := c.Findings()
	switch {
	case c.Part.Way != Whole:
		return single.AsBuilt{Why: "One run was checked alone: check the whole prop to correct its plan."}
	case c.Doubt != "":
		return single.AsBuilt{Why: c.Doubt}
	case len(f) == 0 || f[0].Good || f[0].Absent:
		return single.AsBuilt{Why: "The prop is as planned: there is nothing to take over."}
	case !f[0].Sure.Firm():
		return single.AsBuilt{Why: "It is not settled what is true: answer more questions first."}
	case len(f[0].Causes) == 0:
		return single.AsBuilt{Why: "There is nothing in it that the plan could follow."}
	}
	found, alike, ok := f[0].AsBuilt(c.Sub)
	if !ok {
		return single.AsBuilt{Why: "This has to be mended on the prop: it is nothing the plan could follow."}
	}
	return single.AsBuilt{Found: found, Doubt: doubtOf(alike)}
}

// doubtOf says what must be ruled out before the plan follows a finding; empty for nothing.
func doubtOf(alike []checkout.Cause) string {
	if len(alike) == 0 {
		return ""
	}
	text := "Save it only if you looked at the prop and it is so. This looks the same: " + alike[0].Text
	if n := len(alike) - 1; n > 0 {
		text += fmt.Sprintf(" So %s %s.", words.Plural(n, "does", "do"), words.Count(n, "other cause"))
	}
	return text
}
