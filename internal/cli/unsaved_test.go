package cli

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// A plan or sheet made while there are unsaved changes says that it does not have them.
func TestPlanAndSheetTellOfChangesThatWait(t *testing.T) {
	t.Chdir(t.TempDir())
	code, _, errs := command(t, "", "new", "porthole", "--defaults")
	require.Zero(t, code, errs)
	_, doc, err := prop.Load("porthole.toml")
	require.NoError(t, err)
	for _, args := range [][]string{{"plan", "porthole.toml"}, {"sheet", "porthole.toml", "--labels"}} {
		_, _, errs = command(t, "", args...)
		assert.NotContains(t, errs, "were not saved")
	}
	file, err := prop.KeepUnsaved("porthole.toml", "", strings.Replace(doc.Text(), "pixels   = 50", "pixels   = 51", 1))
	require.NoError(t, err)
	for _, args := range [][]string{{"plan", "porthole.toml"}, {"sheet", "porthole.toml", "--labels"}} {
		code, out, errs := command(t, "", args...)
		require.Zero(t, code, errs)
		assert.Contains(t, errs, "were not saved and are not in this: they wait in "+file+", and ringout porthole.toml offers them")
		assert.Contains(t, out, "50")
	}
}
