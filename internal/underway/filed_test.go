package underway

import (
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
)

// An entry holds the text of the prop that was checked, or says that it has none: a file
// that another program changes during a test, or that has not got the figures on the bench
// yet, would have the record vouch for what nobody checked.
func TestAnEntryIsOfThePropThatWasChecked(t *testing.T) {
	text := prop.DemoFile("porthole")
	other := strings.Replace(text, "pixels   = 48", "pixels   = 50", 1)
	require.NotEqual(t, text, other)
	for _, row := range []struct {
		name, before, after, want string
	}{
		{"as it was", text, text, text},
		{"a note more, during the test", text, "# dry\n" + text, "# dry\n" + text},
		{"other figures, during the test", text, other, ""},
		{"no prop file any more", text, "name = ", ""},
		{"not saved", other, other, ""},
		{"saved during the test", other, text, text},
	} {
		d := desk(t)
		write := func(text string) { require.NoError(t, os.WriteFile(d.Path(), []byte(text), 0o644)) }
		write(row.before)
		trial, _, err := d.BeginTest(single.Load, 1)
		require.NoError(t, err, row.name)
		require.NoError(t, trial.Answer(single.Reply{Typed: "4.9", Level: 0.1}))
		write(row.after)
		r, err := trial.Result()
		require.NoError(t, err)
		e, ok := d.TestEntry(trial, r)
		require.True(t, ok)
		assert.Equal(t, row.want, e.PropFile, row.name)
		assert.Equal(t, row.want == "", e.Unfiled, row.name)
		assert.Equal(t, row.want != "", e.Fits(prop.Porthole()), row.name)

		write(row.before)
		c, _, err := d.Begin(Part{}, 2)
		require.NoError(t, err)
		write(row.after)
		e = d.Entry(c, true)
		assert.Equal(t, row.want == "" && row.before != text, e.Unfiled, row.name)
		assert.Equal(t, row.before == text || row.want != "", e.Fits(prop.Porthole()), row.name)
		d.Release()
	}
	e := NewDesk(Options{Prop: prop.Porthole()}).stamp(record.Entry{}, "")
	assert.False(t, e.Unfiled, "a prop without a file has none to differ from")
}

// Answers of long ago are put aside and do not count: a season later they would sign off a
// prop that nobody looked at since.
func TestOldAnswersAreNotTakenUp(t *testing.T) {
	for _, row := range []struct {
		ago  time.Duration
		says string // empty when it is taken up
	}{
		{time.Minute, ""}, {maxPause, ""}, {-23 * time.Hour, ""},
		{maxPause + time.Second, "of 18 November 2026, too long ago to go on with"},
		{400 * 24 * time.Hour, "too long ago to go on with"},
		{-25 * time.Hour, "dated 26 November 2026, which is yet to come"},
	} {
		d := desk(t)
		c, _, err := d.Begin(Part{}, 1)
		require.NoError(t, err)
		require.NoError(t, c.Session.Answer(1))
		u := d.Unfinished(c)
		u.At = then.Add(-row.ago)
		require.NoError(t, d.Save(2, u))
		trial, _, err := d.BeginTest(single.Flex, 3)
		require.NoError(t, err)
		require.NoError(t, trial.Answer(single.Reply{Key: 1}))
		v := d.UnfinishedTest(trial)
		v.At = u.At
		require.NoError(t, d.Save(4, v))

		c, note, err := d.TakeUp(Part{}, 5)
		require.NoError(t, err)
		trial, testNote, err := d.TakeUpTest(single.Flex, 6)
		require.NoError(t, err)
		if row.says == "" {
			assert.Equal(t, 1, c.Session.Answered(), row.ago)
			assert.Len(t, trial.Replies, 1, row.ago)
			continue
		}
		assert.Zero(t, c.Session.Answered(), row.ago)
		assert.Empty(t, trial.Replies, row.ago)
		for _, n := range []string{note, testNote} {
			assert.Contains(t, n, row.says)
			assert.Contains(t, n, "is put aside in ", "the answers stay")
		}
	}
}

// Answers are taken up for the prop that they were given for. Readings of a voltmeter do not
// hold with another feed, lead, supply or chip, looks not with another travel or empty part.
func TestAnswersHoldForOneProp(t *testing.T) {
	text := prop.DemoFile("porthole")
	for change, kept := range map[[2]string][2]bool{ // looks, readings
		{"[supply]\n", "# dry\n[supply]\n"}:                                        {true, true},
		{`fuse   = "5 A"`, `fuse   = "4 A"`}:                                       {true, true},
		{`length = "1.5 m"`, `length = "15 m"`}:                                    {true, false},
		{`lead_wire = "20 AWG"`, `lead_wire = "28 AWG"`}:                           {true, false},
		{`amps       = "10 A"`, `amps       = "5 A"`}:                              {true, false},
		{`full      = "20 mA"`, `full      = "12 mA"`}:                             {true, false},
		{`name     = "middle ring"`, "name = \"middle ring\"\napart = true"}:       {true, false},
		{`travel   = "clockwise"`, `travel   = "counter-clockwise"`}:               {false, false},
		{"[[part]]\nname = \"pupil\"", "[[part]]\nname = \"pupil\"\nempty = true"}: {false, false},
	} {
		d := desk(t)
		c, _, err := d.Begin(Part{}, 1)
		require.NoError(t, err)
		require.NoError(t, c.Session.Answer(1))
		require.NoError(t, d.Save(2, d.Unfinished(c)))
		trial, _, err := d.BeginTest(single.Load, 3)
		require.NoError(t, err)
		require.NoError(t, trial.Answer(single.Reply{Typed: "4.9", Level: 0.09}))
		require.NoError(t, d.Save(4, d.UnfinishedTest(trial)))
		d.Release()

		then := strings.Replace(text, change[0], change[1], 1)
		require.NotEqual(t, text, then, change[0])
		p, _, err := prop.Parse([]byte(then), "")
		require.NoError(t, err)
		d = NewDesk(Options{Prop: p, Path: d.Path(), Now: d.opt.Now})
		c, _, err = d.TakeUp(Part{}, 5)
		require.NoError(t, err)
		assert.Equal(t, kept[0], c.Session.Answered() == 1, change[1])
		trial, _, err = d.TakeUpTest(single.Load, 6)
		require.NoError(t, err)
		assert.Equal(t, kept[1], len(trial.Replies) == 1, change[1])
		d.Release()
	}
}
