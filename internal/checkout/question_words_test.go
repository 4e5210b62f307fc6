package checkout

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// What is sent to every pixel is asked of every pixel, of the one that there is,
// or of all but those in empty parts, which are sent nothing. A bulb has no far
// end, no gaps and no runs, so no one asks for them or offers them.
func TestQuestionsFitTheProp(t *testing.T) {
	holes := ringProp("with a hole", 12, 8)
	holes.Parts = []prop.Part{{Name: "hole", First: 3, Last: 5, Empty: true}}
	for _, row := range []struct {
		prop          *prop.Prop
		empty, single bool
	}{{ringProp("whole", 12, 8), false, false}, {holes, true, false}, {prop.BuoyLamp(), false, true}} {
		s, err := New(row.prop, Options{})
		require.NoError(t, err)
		spec := &Spec{Kind: AskEven, Base: HueGreen}
		text := s.field.question(spec)
		assert.Contains(t, text, "green")
		assert.Equal(t, row.empty, strings.Contains(text, "but for empty parts"), text)
		assert.Equal(t, row.single, strings.Contains(text, "one pixel"), text)
		assert.Equal(t, !row.single, strings.HasPrefix(text, "Every pixel"), text)
		for _, a := range spec.row().answers {
			said := s.field.answerText(spec, a)
			for _, word := range []string{"far end", "gaps", "all lit", "pixels"} {
				assert.False(t, row.single && strings.Contains(said, word), "%s of a bulb", said)
			}
		}
	}
}

// A pixel is counted from the end where the data should enter, or from the other
// where its number is negative; the words, the hint and the mark on the drawing
// say the same one.
func TestThePixelThatIsAskedFor(t *testing.T) {
	s, err := New(ringProp("two rings", 12, 8), Options{})
	require.NoError(t, err)
	for _, row := range []struct {
		run, pixel int
		text       string
		marked     int // of the prop, from 0
	}{
		{0, 0, "the first pixel of ring 1", 0}, {0, 4, "pixel 5 of ring 1", 4}, {0, -1, "the last pixel of ring 1", 11}, {0, -3, "pixel 3 from the far end of ring 1", 9},
		{1, 0, "the first pixel of ring 2", 12}, {1, 7, "pixel 8 of ring 2", 19}, {1, -1, "the last pixel of ring 2", 19}, {1, -2, "pixel 2 from the far end of ring 2", 18},
	} {
		spec := &Spec{Kind: AskPlace, Run: row.run, Pixel: row.pixel}
		row.text = strings.NewReplacer("ring 1", s.field.runText(0), "ring 2", s.field.runText(1)).Replace(row.text)
		assert.Equal(t, "Which colour is "+row.text+"?", s.field.question(spec))
		assert.Equal(t, row.pixel < 0, strings.Contains(s.field.hint(spec), "far end"), "%+v", row)
		assert.Equal(t, []prop.Span{{First: row.marked, Last: row.marked}}, s.field.lookAt(spec), "%+v", row)
	}
	assert.Nil(t, s.field.lookAt(&Spec{Kind: AskEven}))
}

// With something unknown behind a fault, what is still sure is what lies before it
// on the way of the data: of one pixel its colour, of the way its first odd place.
func TestWhatStaysSureBeforeAFault(t *testing.T) {
	s, err := New(ringProp("two rings", 12, 8), Options{})
	require.NoError(t, err)
	f := s.field
	h := &hypothesis{faults: []strip.Fault{{Kind: strip.DeadPixel, Pixel: 14}}}
	for _, row := range []struct {
		run, pixel int
		sure       bool
	}{{0, 0, true}, {0, 11, true}, {1, 0, true}, {1, 1, true}, {1, 2, false}, {1, 3, false}, {1, -8, false}, {0, -1, false}} {
		want := seesAnything
		if row.sure {
			want = Token(Green)
		}
		assert.Equal(t, want, questions[AskPlace].beforeUnknown(f, h, &Spec{Kind: AskPlace, Run: row.run, Pixel: row.pixel}, Token(Green)), "%+v", row)
	}
	for _, k := range []Kind{AskRuns, AskBefore, AskOdd, AskMark} {
		assert.Equal(t, seesRun, questions[k].beforeUnknown(f, h, &Spec{Kind: k}, seesRun), k)
		assert.Equal(t, seesAnything, questions[k].beforeUnknown(f, h, &Spec{Kind: k}, SeesAsDrawn), "%s: no odd place was seen, so one may follow", k)
	}
	assert.Equal(t, seesNotAll, questions[AskEven].beforeUnknown(f, h, &Spec{Kind: AskEven}, SeesTail))
	assert.Equal(t, seesAnything, questions[AskEven].beforeUnknown(f, h, &Spec{Kind: AskEven}, SeesAll))
}

// Where a fault sits: two runs, one run, a joint with both its runs, or a pixel;
// before the first run there is no joint of two.
func TestWhereAFaultSits(t *testing.T) {
	s, err := New(ringProp("two rings", 12, 8), Options{})
	require.NoError(t, err)
	f := s.field
	one, two := f.runText(0), f.runText(1)
	spot := func(pixel int) string { return strip.Spot(f.prop, pixel) }
	for _, row := range []struct {
		fault strip.Fault
		want  string
	}{
		{strip.Fault{Kind: strip.NoSupply}, ""},
		{strip.Fault{Kind: strip.RunsSwapped, Run: 0, Run2: 1}, one + " and " + two},
		{strip.Fault{Kind: strip.RunMirrored, Run: 1}, two},
		{strip.Fault{Kind: strip.OpenJoint, Pixel: 0}, spot(0)},
		{strip.Fault{Kind: strip.OpenJoint, Pixel: 11}, spot(11)},
		{strip.Fault{Kind: strip.OpenJoint, Pixel: 12}, spot(12) + ", at the joint of " + one + " and " + two},
		{strip.Fault{Kind: strip.OpenJoint, Pixel: 13}, spot(13)},
	} {
		assert.Equal(t, row.want, f.where(row.fault), "%+v", row.fault)
	}
}
