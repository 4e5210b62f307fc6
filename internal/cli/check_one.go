package cli

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/checkout/dialog"
	"example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/underway"
	"example.org/ringout/internal/words"
)

// errAbsent ends the check-out of a prop that is not connected.
var errAbsent = errors.New("the prop is not there, so there is no finding")

// A propCheck is one prop checked on the command line.
type propCheck struct {
	*checkFlags
	cmd    *cobra.Command
	prop   *prop.Prop
	doc    *prop.Document
	desk   *underway.Desk
	number int // number of saves
}

func (f *checkFlags) open(c *cobra.Command, path string) (*propCheck, error) {
	p, doc, err := load(c, path)
	if err != nil {
		return nil, err
	}
	return &propCheck{checkFlags: f, cmd: c, prop: p, doc: doc,
		desk: underway.NewDesk(underway.Options{Prop: p, Path: path, Version: versionText()})}, nil
}

// note writes a sentence about the check-out, apart from the dialog's lines.
func (b *propCheck) note(format string, args ...any) {
	if text := strings.TrimSpace(fmt.Sprintf(format, args...)); text != "" {
		fmt.Fprintln(b.cmd.ErrOrStderr(), "ringout: "+text)
	}
}

// next numbers a save.
func (b *propCheck) next() int {
	b.number++
	return b.number
}

// dialog returns the interface between a dialog and the lit prop.
func (b *propCheck) dialog(l *lamp, keep func() error) dialog.Bench {
	return dialog.Bench{In: b.cmd.InOrStdin(), Out: b.cmd.OutOrStdout(), Prop: l.prop, Light: l.light, Level: l.level,
		Keep: keep, Network: l.network, Settle: l.settle, Wait: wait}
}

// early adds to the error of an unfinished dialog the place where its answers are
// kept; it leaves other errors unchanged.
func (b *propCheck) early(err error, kept record.UnfinishedCheck) error {
	absent := (*dialog.AbsentError)(nil)
	switch {
	case errors.As(err, &absent):
		b.note("%s: %v", b.prop.Name, err)
		return fmt.Errorf("%w; %s", errAbsent, b.desk.WhereKept(kept))
	case dialog.Gone(err) || errors.Is(err, errStopped):
		return fmt.Errorf("%w; %s", err, b.desk.WhereKept(kept))
	}
	return err
}

// part returns the part of the prop to check.
func (b *propCheck) part() (pt underway.Part, err error) {
	switch {
	case b.checkFlags.part != "":
		if pt, err = underway.Named(b.prop, underway.Joined, b.checkFlags.part); err != nil {
			return pt, wrong(b.cmd, fmt.Errorf("--part: %w", err))
		}
	case b.alone != "":
		if pt, err = underway.Named(b.prop, underway.Unbuilt, b.alone); err != nil {
			return pt, wrong(b.cmd, fmt.Errorf("--run: %w", err))
		}
	}
	return pt, nil
}

// one checks one prop without a screen.
func (f *checkFlags) one(c *cobra.Command, path string) error {
	b, err := f.open(c, path)
	if err != nil {
		return err
	}
	if b.bySlots() {
		return b.slots()
	}
	pt, err := b.part()
	if err != nil {
		return err
	}
	defer b.desk.Release()
	begin := b.desk.TakeUp
	if f.again {
		begin = b.desk.Begin
	}
	var co underway.CheckOut
	var note string
	wait(func() { co, note, err = begin(pt, b.next()) },
		func() { b.note("working out all that may be wrong with %s", words.Count(b.prop.Pixels(), "pixel")) })
	if err != nil {
		return err
	}
	if b.note("%s", note); co.Session.Answered() > 0 {
		b.note("--again puts it aside and begins again")
	}
	end, err := b.converse(&co)
	if err != nil {
		return b.early(err, b.desk.Unfinished(co))
	}
	if err := b.finish(co, end); err != nil || pt.Way != underway.Whole {
		return err // the findings of a part are too few to change the whole plan
	}
	built := co.AsBuilt()
	if built.Why != "" {
		return nil // no finding that the plan could take over
	}
	return b.takeOver(c, path, b.doc, built)
}

// converse lights the part and asks questions until the check-out ends.
func (b *propCheck) converse(co *underway.CheckOut) (end dialog.End, err error) {
	l, err := b.own.lamp(b.cmd.Context(), co.Sub)
	if err != nil {
		return end, err
	}
	d := b.dialog(l, func() error { return b.desk.Save(b.next(), b.desk.Unfinished(*co)) })
	ask := d.Plain
	if b.json {
		ask = d.JSON
	}
	ends := make(chan dialog.End, 1)
	err = l.whileLit(func() error {
		end, err := ask(co.Session)
		ends <- end
		return err
	})
	select {
	case end = <-ends:
	default: // the command ended while it waited for an answer
	}
	return end, errors.Join(err, l.close())
}

// finish adds the check-out to the bench record and deletes the unfinished one.
func (b *propCheck) finish(co underway.CheckOut, end dialog.End) error {
	kept := b.desk.Unfinished(co)
	if co.Session.Answered() == 0 {
		b.note("nothing was answered, so nothing is recorded")
		return b.desk.Forget(b.next(), kept)
	}
	if err := b.enter(kept, b.desk.Entry(co, end.Left)); err != nil {
		return err
	}
	return b.desk.Forget(b.next(), kept)
}

// enter adds entries to the bench record, unless --no-record is given.
func (b *propCheck) enter(kept record.UnfinishedCheck, entries ...record.Entry) error {
	if b.noRecord || len(entries) == 0 {
		return nil
	}
	file := record.Beside(b.desk.Path())
	for _, e := range entries {
		if err := appendTo(b.cmd, file, e); err != nil {
			return fmt.Errorf("%w; %s: mend that and run the check again", err, b.desk.WhereKept(kept))
		}
	}
	b.note("recorded in %s", file.Path)
	return nil
}

// single runs and records one single test. proof is the proof by camera that needs
// the test; nil for none.
func (f *checkFlags) single(c *cobra.Command, path string, k single.Kind, proof *pictures.Proof) error {
	b, err := f.open(c, path)
	if err != nil {
		return err
	}
	return b.single(k, proof)
}

// bySlots reports whether the prop is a bulb that is asked slot by slot. One with too few slots for that has
// the check-out, as one pixel of a strip has; so has each bulb in JSON lines, which single tests have not.
func (b *propCheck) bySlots() bool {
	_, err := single.New(single.Bulb, b.prop)
	return b.prop.Bulb() && !b.json && err == nil
}

// slots asks a bulb slot by slot, which is its check-out in the record.
func (b *propCheck) slots() error {
	if err := refuse(b.cmd, flagConflict{b.alone != "" || b.checkFlags.part != "",
		fmt.Sprintf("%s is a bulb, which has no runs or parts to check alone: leave --run and --part out", b.desk.Path())}); err != nil {
		return err
	}
	err := b.single(single.Bulb, nil)
	if errors.Is(err, errUnanswered) { // no failure, as a check-out that was left at once
		b.note("%v", err)
		return nil
	}
	return err
}

func (b *propCheck) single(k single.Kind, proof *pictures.Proof) error {
	defer b.desk.Release()
	begin := b.desk.TakeUpTest
	if b.again {
		begin = b.desk.BeginTest
	}
	t, note, err := begin(k, b.next())
	if err != nil {
		return err
	}
	t.Proof = proof
	b.note("%s", note)
	l, err := b.own.lamp(b.cmd.Context(), b.prop)
	if err != nil {
		return err
	}
	d := b.dialog(l, func() error { return b.desk.Save(b.next(), b.desk.UnfinishedTest(t)) })
	err = l.whileLit(func() error {
		_, err := d.Test(t)
		return err
	})
	if err = errors.Join(err, l.close()); err != nil {
		return b.early(err, b.desk.UnfinishedTest(t))
	}
	return b.result(d, t)
}

// errUnanswered ends a single test that was left before its first answer.
var errUnanswered = errors.New("nothing was answered, so nothing is recorded")

// result writes the result of a test, records it, and says where the file of the prop contradicts it.
func (b *propCheck) result(d dialog.Bench, t *underway.Trial) error {
	kept := b.desk.UnfinishedTest(t)
	if len(t.Replies) == 0 {
		return errors.Join(errUnanswered, b.desk.Forget(b.next(), kept))
	}
	var r single.Result
	var err error
	d.Working(func() { r, err = t.Result() })
	if err != nil {
		return err
	}
	var entries []record.Entry
	if e, ok := b.desk.TestEntry(t, r); ok {
		entries = append(entries, e)
	}
	if e, signed := b.desk.Sign(t, &r); signed {
		entries = append(entries, e)
	}
	d.WriteResult(r)
	if err := b.enter(kept, entries...); err != nil {
		return err
	}
	if err := b.desk.Forget(b.next(), kept); err != nil || r.Built.Why != "" {
		return err
	}
	return b.takeOver(b.cmd, b.desk.Path(), b.doc, r.Built)
}
