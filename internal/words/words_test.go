package words

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestCapital(t *testing.T) {
	for in, want := range map[string]string{"": "", "a": "A", "feed 1": "Feed 1", "école": "École", "灯 x": "灯 x", "U1": "U1"} {
		assert.Equal(t, want, Capital(in))
	}
}

func TestCountAndPlural(t *testing.T) {
	assert.Equal(t, "0 pixels", Count(0, "pixel"))
	assert.Equal(t, "1 pixel", Count(1, "pixel"))
	assert.Equal(t, "2 pixels", Count(uint16(2), "pixel"))
	assert.Equal(t, "-1 pixels", Count(-1, "pixel"))
	assert.Equal(t, "this entry", Plural(1, "this entry", "these entries"))
	assert.Equal(t, "these entries", Plural(2, "this entry", "these entries"))
}

func TestSentence(t *testing.T) {
	for in, want := range map[string]string{"": "", "it is off": "It is off.", "It is off.": "It is off.", "is it on?": "Is it on?", "é": "É."} {
		assert.Equal(t, want, Sentence(in))
	}
}

func TestAside(t *testing.T) {
	assert.Equal(t, "It is dark (likely).", Aside("It is dark.", "likely"), "the full stop ends the sentence")
	assert.Equal(t, "dark (likely)", Aside("dark", "likely"), "what is no sentence has none")
}

func TestAnd(t *testing.T) {
	for want, all := range map[string][]string{"": nil, "a": {"a"}, "a and b": {"a", "b"}, "a, b and c": {"a", "b", "c"}} {
		assert.Equal(t, want, And(all))
		assert.Equal(t, strings.ReplaceAll(want, " and ", " or "), Or(all))
	}
}
