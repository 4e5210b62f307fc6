package checkout

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// Every kind of question is asked of some fault: of one of these faults of the
// Porthole, or where the list of faults has changed which, of the first or the last
// of any kind.
func TestEachQuestionIsAsked(t *testing.T) {
	base, err := New(prop.Porthole(), Options{})
	require.NoError(t, err)
	missing := map[Kind]bool{}
	for kind := range questions {
		missing[kind] = true
	}
	play := func(ft strip.Fault) {
		st, err := base.field.sound.With(ft)
		if err != nil || len(missing) == 0 {
			return
		}
		s := base.Clone()
		finish(t, s, st)
		for _, step := range s.steps {
			delete(missing, step.spec.Kind)
		}
	}
	for _, text := range []string{
		"count run 2 by -1", "mirrored", "dead-channel pixel 20 colour blue", "wrong-chip pixel 37 slots 4", "flicker pixel 37",
		"sag by 1500", "hidden-first", "dead-pixel pixel 20", "open-joint pixel 37", "resistance run 2 by 1000", "no-supply",
	} {
		ft, err := strip.ParseFault(text, base.field.prop)
		require.NoError(t, err)
		play(ft)
	}
	for _, k := range strip.Kinds() {
		if every := strip.Every(k, base.field.prop); len(every) > 0 {
			play(every[0])
			play(every[len(every)-1])
		}
	}
	assert.Empty(t, missing, "a new kind of question wants a fault that it is asked of")
}
