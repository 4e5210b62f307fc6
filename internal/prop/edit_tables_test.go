package prop_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

func porthole(t *testing.T) *prop.Document {
	t.Helper()
	_, d, err := prop.Parse([]byte(prop.DemoFile("porthole")), "porthole.toml")
	require.NoError(t, err)
	return d
}

func comments(text string) []string {
	var out []string
	for l := range strings.Lines(text) {
		if _, c, ok := strings.Cut(l, "#"); ok {
			out = append(out, strings.TrimSpace(c))
		}
	}
	return out
}

func TestAddTable(t *testing.T) {
	d := porthole(t)
	was := comments(d.Text())
	require.NoError(t, d.AddTable("feed", []prop.Field{{Key: "name", Value: "middle"}, {Key: "at", Value: "start of middle ring"},
		{Key: "length", Value: "1 m"}, {Key: "wire", Value: "18 AWG"}}))
	require.Len(t, d.Prop().Feeds, 3)
	assert.Equal(t, "middle", d.Prop().Feeds[2].Name)
	assert.Equal(t, 36, d.Prop().Feeds[2].Pixel)
	assert.Equal(t, was, comments(d.Text()))

	text := d.Text()
	require.Error(t, d.AddTable("feed", []prop.Field{{Key: "name", Value: "no wire"}}), "a feed needs a place and a wire")
	require.Error(t, d.AddTable("supply", nil), "there is one supply")
	require.Error(t, d.AddTable("run", nil), "runs have AddRun")
	assert.Equal(t, text, d.Text())
}

func TestFirstFeedGoesToTheEnd(t *testing.T) {
	_, d, err := prop.Parse([]byte(strings.TrimRight(prop.DemoFile("buoylamp"), "\n")), "b.toml") // no line end at the end
	require.NoError(t, err)
	require.NoError(t, d.AddTable("feed", []prop.Field{{Key: "at", Value: 1}, {Key: "length", Value: "5 ft"}, {Key: "wire", Value: "1 mm2"}}))
	require.Len(t, d.Prop().Feeds, 1)
	assert.InDelta(t, 1.524, d.Prop().Feeds[0].WireMetre, 1e-9)
}

func TestRemoveTable(t *testing.T) {
	d := porthole(t)
	require.NoError(t, d.RemoveTable("feed", 0))
	require.Len(t, d.Prop().Feeds, 1)
	assert.Equal(t, "outer", d.Prop().Feeds[0].Name)
	require.NoError(t, d.RemoveTable("part", 1))
	require.Len(t, d.Prop().Parts, 1)
	require.Error(t, d.RemoveTable("feed", 1))
	require.Error(t, d.RemoveTable("run", 0))
	require.NoError(t, d.RemoveTable("feed", 0), "a prop may have no feed in its file")
	assert.Empty(t, d.Prop().Feeds)
}

func TestReorderTables(t *testing.T) {
	d := porthole(t)
	was := comments(d.Text())
	require.NoError(t, d.ReorderTables("feed", []int{1, 0}))
	assert.Equal(t, []string{"outer", "inner"}, []string{d.Prop().Feeds[0].Name, d.Prop().Feeds[1].Name})
	assert.ElementsMatch(t, was, comments(d.Text()))
	require.NoError(t, d.ReorderTables("feed", []int{1, 0}))
	assert.Equal(t, was, comments(d.Text()))
	require.Error(t, d.ReorderTables("feed", []int{0, 0}))
	require.Error(t, d.ReorderTables("part", []int{0}))
}

func TestRenameRunCarriesReferences(t *testing.T) {
	d := porthole(t)
	was := d.Prop().Feeds[1].Pixel
	require.NoError(t, d.RenameRun(2, "rim"))
	p := d.Prop()
	assert.Equal(t, "rim", p.Runs[2].Name)
	assert.Equal(t, was, p.Feeds[1].Pixel)
	assert.Contains(t, d.Text(), `at     = "start of rim"`)
	assert.Contains(t, d.Text(), "run   = \"rim\"\n")
	text := d.Text()
	require.Error(t, d.RenameRun(2, "inner ring"), "two runs of one name")
	require.Error(t, d.RenameRun(9, "x"))
	assert.Equal(t, text, d.Text())
}
