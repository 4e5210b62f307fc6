package checkout

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/checkouttest"
)

// TestQuestionRowsAreComplete: every kind of question has words of its own, a
// time, a reading, the same meaning as on the page of the JSON lines, and eyes
// that have learnt it.
func TestQuestionRowsAreComplete(t *testing.T) {
	s, err := New(prop.Porthole(), Options{})
	require.NoError(t, err)
	page, err := os.ReadFile("../../testdata/checkout-json.md")
	require.NoError(t, err)
	asked, heads := map[string]Kind{}, map[string]Kind{}
	for _, k := range Kinds() {
		q, spec := questions[k], &Spec{Kind: k, Base: HueRed}
		require.Equal(t, k, q.kind)
		text := s.field.question(spec)
		require.Empty(t, asked[text], "%s: %s", k, text)
		require.Empty(t, heads[Headline(k)], "%s: %s", k, Headline(k))
		asked[text], heads[Headline(k)] = k, k
		assert.NotEmpty(t, Headline(k), k)
		assert.NotEmpty(t, s.field.hint(spec), k)
		assert.Greater(t, q.seconds, 2.0, k)
		assert.NotNil(t, q.read, k)
		assert.Contains(t, string(page), "| `"+string(k)+"` | "+Meaning(k)+" |", k)
		again := *spec
		again.Again = true
		assert.True(t, strings.HasSuffix(s.field.question(&again), text) && s.field.question(&again) != text)
		for _, a := range q.answers {
			assert.Equal(t, a == SeesElse || k == AskEven && a == SeesMixed, strings.HasPrefix(s.field.answerText(spec, a), "something else"), "%s %s", k, a)
		}
		var eyes checkouttest.Eyes
		eyes.Look(s.field.sound.Shine(s.field.noise(1)))
		assert.NotEmpty(t, eyes.See(checkouttest.Question{Kind: string(k), Paint: []checkouttest.Stretch{{Colour: "red", Pixels: 144}}}, s.field.sizes), k)
	}
	assert.Empty(t, Meaning("riddle"))
	assert.Empty(t, Headline("riddle"))
}
