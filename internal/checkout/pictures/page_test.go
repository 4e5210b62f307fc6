package pictures

import (
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The page about JSON lines names every field of a camera's line.
func TestThePageNamesEveryField(t *testing.T) {
	page, err := os.ReadFile("../../cli/pages/json-lines.md")
	require.NoError(t, err)
	_, part, _ := strings.Cut(string(page), "## A camera's line")
	part, _, _ = strings.Cut(part, "\n## ")
	for _, of := range []any{jsonProof{}, jsonMeasures{}, jsonPlace{}, jsonSpot{}, jsonAlong{}, jsonFinding{}} {
		for f := range reflect.TypeOf(of).Fields() {
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			require.Contains(t, part, "`"+name+"`", "%T", of)
		}
	}
}
