package cli

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

func TestSimulateIsRefusedInOneSentence(t *testing.T) {
	t.Chdir(t.TempDir())
	code, _, errs := command(t, "", "new", "porthole", "--defaults")
	require.Zero(t, code, errs)
	for _, row := range []struct {
		args []string
		says string
	}{
		{[]string{"--simulate"}, "--simulate without a prop file: give one, or open ringout demo"},
		{[]string{"porthole.toml", "--fault", "random"}, "--fault and --seed are for a simulated prop: add --simulate"},
		{[]string{"porthole.toml", "--seed", "7"}, "--fault and --seed are for a simulated prop: add --simulate"},
		{[]string{"porthole.toml", "--simulate", "--fault", "burnt"}, `--fault: `},
	} {
		code, _, errs := command(t, "", row.args...)
		assert.Equal(t, 2, code, row.args)
		assert.Contains(t, errs, row.says)
	}
}

// The same seed draws the same fault, and the last line says how to repeat it.
func TestRandomFaultsComeAgain(t *testing.T) {
	p := prop.Porthole()
	f := simFlags{fault: "random"}
	b, again, err := f.bench(new(identity), p)
	require.NoError(t, err)
	require.NotZero(t, f.seed)
	assert.Contains(t, again, "shows it again")
	assert.Contains(t, again, b.faults[0].String())
	second := simFlags{fault: "random", seed: f.seed}
	same, _, err := second.bench(new(identity), p)
	require.NoError(t, err)
	assert.Equal(t, b.faults, same.faults)

	none := simFlags{}
	sound, again, err := none.bench(new(identity), p)
	require.NoError(t, err)
	assert.Empty(t, again)
	assert.Empty(t, sound.faults)
}
