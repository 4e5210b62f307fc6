package underway

import (
	"os"
	"strings"
	"testing"

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
