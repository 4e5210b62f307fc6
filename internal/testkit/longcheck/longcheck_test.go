package longcheck

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSentences(t *testing.T) {
	fifteen := "a b c d e f g h i j k l m n o"
	assert.Empty(t, Sentences(fifteen+". "+fifteen+": "+fifteen+"; "+fifteen+"\n"+fifteen+"?"))
	assert.Equal(t, []string{fifteen + " p"}, Sentences("Short. "+fifteen+" p."))
	assert.Empty(t, Sentences("a \"long name\" c d e f g h i j k l m n o"))
	assert.Empty(t, Sentences("'Pier PC' c d e f g h i j k l m n o p"))
	assert.Empty(t, Sentences("| "+fifteen+" p |"))
}
