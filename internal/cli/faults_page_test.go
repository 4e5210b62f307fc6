package cli

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/cli/pages"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// The page of the JSON lines has a row for every fault that a check-out can
// name, written as it is read, with how much of the prop it concerns.
func TestThePageHasEveryFault(t *testing.T) {
	page, ok := pages.Find("json-lines")
	require.True(t, ok)
	concerns := map[strip.Scope]string{strip.Whole: "whole prop", strip.OneRun: "one run", strip.TwoRuns: "two runs", strip.AtPixel: "one pixel",
		strip.FromPixel: "from a pixel on", strip.ChipsFrom: "chips from a pixel on"}
	p, rows := prop.Porthole(), map[strip.Kind]string{}
	p.Runs[2].Pixels = 200 // more than one universe
	for _, row := range regexp.MustCompile("(?m)^\\| `([a-z-]+[^`]*)` \\| ([a-z ]+) \\| (.+) \\|$").FindAllStringSubmatch(page.Markdown(), -1) {
		ft, err := strip.ParseFault(row[1], p)
		require.NoError(t, err, row[1])
		require.Empty(t, rows[ft.Kind], "%s stands twice", ft.Kind)
		rows[ft.Kind] = row[2]
	}
	for _, k := range strip.Kinds() {
		if facts := strip.FactsOf(k); facts.Unlit {
			assert.Empty(t, rows[k], "%s, which no light shows", k)
		} else {
			assert.Equal(t, concerns[facts.Scope], rows[k], "what %s concerns", k)
		}
	}
}
