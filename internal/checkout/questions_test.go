package checkout

import (
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/checkouttest"
)

func kinds() []Kind { return slices.Sorted(maps.Keys(questions)) }

// TestQuestionRowsAreComplete: every kind of question has words of its own, a
// time, a reading, the same meaning as on the page of the JSON lines, and eyes
// that have learnt it.
func TestQuestionRowsAreComplete(t *testing.T) {
	s, err := New(prop.Porthole(), Options{})
	require.NoError(t, err)
	page, err := os.ReadFile("../cli/pages/json-lines.md")
	require.NoError(t, err)
	asked := map[string]Kind{}
	for _, k := range kinds() {
		q, spec := questions[k], &Spec{Kind: k, Base: HueRed}
		require.Equal(t, k, q.kind)
		text := s.field.question(spec)
		require.Empty(t, asked[text], "%s: %s", k, text)
		asked[text] = k
		large := Spec{Kind: k}.Large()
		require.NotEmpty(t, large, "%s: large is empty", k)
		for i := range large[1:] {
			assert.Less(t, len(large[i+1]), len(large[i]), "%s: each of large has fewer letters than the one before", k)
		}
		assert.LessOrEqual(t, len(large[0]), 20, "%s fits a screen of 80 columns in large letters", k)
		assert.NotEmpty(t, s.field.hint(spec), "%s: hint is empty", k)
		assert.Greater(t, q.seconds, 2.0, "%s: seconds to look and answer", k)
		assert.NotNil(t, q.read, "%s: read is missing", k)
		assert.True(t, strings.Contains(string(page), "| `"+string(k)+"` | "+q.meaning+" |"), "the page does not say of %s: %s", k, q.meaning)
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
	assert.Equal(t, "Last pixel: colour?", Spec{Kind: AskPlace, Pixel: -1}.Large()[0])
	assert.Equal(t, "Colour of pixel 8?", Spec{Kind: AskPlace, Pixel: 7}.Large()[0])
	assert.Equal(t, []string{"All red?", "red?"}, Spec{Kind: AskEven, Base: HueRed}.Large())
}
