package checkout

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// Every kind of question is asked of somebody: here is a fault of the Porthole
// for each, whose check-out has it.
func TestEachQuestionIsAsked(t *testing.T) {
	base, err := New(prop.Porthole(), Options{})
	require.NoError(t, err)
	asked := func(fault string) (kinds []Kind) {
		ft, err := strip.ParseFault(fault, base.field.prop)
		require.NoError(t, err)
		st, err := base.field.sound.With(ft)
		require.NoError(t, err)
		s := base.Clone()
		finish(t, s, st)
		for _, step := range s.steps {
			kinds = append(kinds, step.spec.Kind)
		}
		return kinds
	}
	rows := map[Kind]string{
		AskEven: "no-supply", AskLastLit: "open-joint pixel 37", AskBefore: "wrong-chip pixel 37 slots 4", AskOdd: "count run 2 by -1",
		AskMark: "dead-pixel pixel 20", AskPlace: "hidden-first", AskRuns: "mirrored", AskConfirm: "open-joint pixel 37",
		AskSequence: "dead-channel pixel 20 colour blue", AskSteady: "resistance run 2 by 1000", AskStaysLit: "flicker pixel 37", AskFade: "sag by 1500",
	}
	for kind := range questions {
		if assert.Contains(t, rows, kind, "a new kind of question wants a fault that it is asked of") {
			assert.Contains(t, asked(rows[kind]), kind, rows[kind])
		}
	}
}
