package plan

import (
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

func TestACountCarriesFeedsAndParts(t *testing.T) {
	b := porthole(t)
	b.edit("run", 0, "pixels", "40")
	p := b.m.doc.Prop()
	assert.Equal(t, 88, p.Feeds[1].Pixel, "at the start of the outer ring still")
	assert.Equal(t, prop.Part{Name: "lower rim", First: 103, Last: 132}, p.Parts[1])
	assert.Equal(t, 148, b.m.plan.Prop.Pixels())
	require.Len(t, b.m.plan.Rows, 3)
	assert.Equal(t, 148*3, b.m.plan.Rows[2].LastSlot)
	b.edit("run", 2, "name", "rim")
	assert.Equal(t, "start of rim", b.value("feed", 1, "at"))
}

func TestRunsFeedsAndPartsComeAndGo(t *testing.T) {
	b := porthole(t)
	notes := strings.Count(b.m.doc.Text(), "#")
	b.to("run", 1, "pixels")
	b.press("a")
	require.Len(t, b.m.doc.Prop().Runs, 4)
	assert.Equal(t, "new run", b.m.doc.Prop().Runs[2].Name, "behind the one chosen")
	assert.Equal(t, prop.Where{Table: "run", Index: 2, Key: "name"}, b.m.lines[b.m.at].where)
	b.press("]")
	assert.Equal(t, "new run", b.m.doc.Prop().Runs[3].Name)
	assert.Equal(t, 3, b.m.lines[b.m.at].where.Index, "the choice goes along")
	b.press("[", "[")
	assert.Equal(t, "new run", b.m.doc.Prop().Runs[1].Name)
	b.press("x")
	assert.Len(t, b.m.doc.Prop().Runs, 3)
	assert.Equal(t, notes, strings.Count(b.m.doc.Text(), "#"))

	b.to("feed", 0, "at")
	b.press("a")
	require.Len(t, b.m.doc.Prop().Feeds, 3)
	b.press("[")
	assert.Equal(t, "new feed", b.m.doc.Prop().Feeds[1].Name)
	b.press("x", "x", "x")
	require.Empty(t, b.m.doc.Prop().Feeds)
	b.press("end")
	b.to("feed", -1, "")
	assert.Contains(t, b.view(), "none yet; press a to add one")
	b.press("enter", "x", "[", "a")
	assert.Len(t, b.m.doc.Prop().Feeds, 1)

	b.to("part", 0, "name")
	b.press("a")
	require.Len(t, b.m.doc.Prop().Parts, 3)
	assert.Equal(t, 36, b.m.doc.Prop().Parts[2].First, "the first run that is no part yet")
	b.to("supply", 0, "amps")
	b.press("a", "x", "[")
	assert.Contains(t, b.m.note, "only runs, feeds and parts")
}

func TestAFeedGoesWhereThePlanWantsOne(t *testing.T) {
	b := porthole(t)
	require.NotEmpty(t, b.m.plan.Power.Extra.Pixels, "the Porthole wants more feeds for full level")
	for range 10 {
		extra := b.m.plan.Power.Extra.Pixels
		if len(extra) == 0 {
			break
		}
		b.to("feed", 0, "name")
		b.press("a")
		feeds := b.m.doc.Prop().Feeds
		assert.Equal(t, extra[0], feeds[len(feeds)-1].Pixel)
		assert.Less(t, len(b.m.plan.Power.Extra.Pixels), len(extra))
	}
	assert.True(t, b.m.plan.Power.Holds)
	assert.Contains(t, strings.Join(b.m.pageLines(70), "\n"), "No more feeds are needed")
}

func TestTheLastRunStays(t *testing.T) {
	b := open(t, prop.DemoFile("buoylamp"), "", 80, 21, termenv.Ascii)
	b.to("run", 0, "pixels")
	b.press("x")
	assert.Len(t, b.m.doc.Prop().Runs, 1)
	assert.Contains(t, b.m.note, "one run at least")
}
