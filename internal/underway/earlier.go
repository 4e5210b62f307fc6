package underway

import (
	"fmt"
	"slices"
	"strconv"
	"time"

	"example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/record"
)

// maxLoadAge is how long a load test stays valid: joints flex and corrode from one season
// to the next (common practice).
const maxLoadAge = 300 * 24 * time.Hour

// Earlier applies the newest load test of the bench record to a proof by camera that
// still needs one, if prop and wiring are unchanged. Otherwise it gives the proof the
// reason why the test must be repeated; none when there was no test. It reads the disk.
func (d *Desk) Earlier(p *pictures.Proof) {
	if !slices.Contains(p.Left(), single.Load) || d.opt.Path == "" {
		return
	}
	h, err := record.Beside(d.opt.Path).Read(d.opt.Prop.Name)
	at := -1 // the newest
	for i, e := range h.Entries {
		if isLoad(e) {
			at = i
		}
	}
	if err != nil || at < 0 {
		return
	}
	e := h.Entries[at]
	on := "The load test of " + e.At.Format(record.Day)
	why := d.whyOutdated(h, at)
	if why == "" {
		if r, err := d.recordedResult(e); err != nil || !r.Whole {
			why = "not all of its readings were taken"
		} else if !r.Good {
			why = didNotPass
		} else if p.Tested(single.Load, r); slices.Contains(p.Left(), single.Load) {
			why = "its readings leave room for too much resistance somewhere"
		}
	}
	if p.Earlier = on + " counts: nothing was mended and the prop file was not changed since."; why != "" {
		p.Earlier = fmt.Sprintf("%s does not count any more, so it is wanted again: %s.", on, why)
	}
}

const didNotPass = "it did not pass"

func isLoad(e record.Entry) bool {
	return e.Kind == "check-out" && e.Test == record.LoadTest && e.Only == ""
}

// whyOutdated says why a load test is not valid for the prop as it is now; empty if it is.
func (d *Desk) whyOutdated(h record.History, at int) string {
	e := h.Entries[at]
	switch {
	case len(h.Troubles) > 0:
		return "the bench record has lines that are not as ringout wrote them"
	case e.Prop != d.opt.Prop.Name || e.PropFile == "" || e.PropFile != d.Text():
		return "the prop file has changed since"
	case e.Verdict == record.Fail:
		return didNotPass // one that was stopped is judged by its readings
	case e.Ahead(d.opt.Now()):
		return "its date is yet to come, so its age is not known"
	case d.opt.Now().Sub(e.At) > maxLoadAge:
		return "that was a season ago"
	}
	for _, since := range h.Entries[at+1:] {
		on := since.At.Format(record.Day)
		switch {
		case since.Kind != "check-out":
		case since.Verdict == record.Fail:
			return "something was found wrong since, on " + on + ", and is not there any more"
		case slices.ContainsFunc(since.Findings, func(f record.Finding) bool { return f.Fixed }):
			return "something was mended since, on " + on
		}
	}
	return ""
}

// recordedResult computes the result of a load test from its recorded readings; one that is
// missing counts as not taken.
func (d *Desk) recordedResult(e record.Entry) (single.Result, error) {
	test, err := single.New(single.Load, d.opt.Prop)
	if err != nil {
		return single.Result{}, err
	}
	left := e.Volts
	for step, more := test.Step(); more; step, more = test.Step() {
		r := single.Reply{}
		if len(left) > 0 && left[0].Pixel == step.Marks[0].First+1 {
			r = single.Reply{Typed: strconv.FormatFloat(left[0].Volts, 'f', -1, 64), Level: left[0].Level}
			left = left[1:]
		}
		if err := test.Answer(r); err != nil {
			return single.Result{}, err
		}
	}
	return test.Result()
}
