package check

import (
	"errors"
	"fmt"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/record"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
)

// The whole way on the screen: aim, mark, level, run, map; a pixel that is dark
// is on the map, in the findings and in the record.
func TestACameraProvesAPropOnTheScreen(t *testing.T) {
	e := &easel{moves: 1, change: func(place int, c patterns.Colour) patterns.Colour {
		if place == 19 {
			return patterns.Colour{}
		}
		return c
	}}
	s := studioOf(t, "porthole", e, termenv.Ascii)
	s.aimed()
	require.NotNil(t, s.out.last(t).Frames, "the prop is lit while the camera is aimed")
	require.Contains(t, s.text(), "camera pixels between neighbours: good")
	s.mark(e)
	s.until("map", func() bool { return on[mapPage](s.m) })
	require.Nil(t, s.out.last(t).Frames, "dark at the end")
	require.Contains(t, s.text(), "143 of 144 places are as planned")
	require.Contains(t, s.mapText(), "inner ring, place 20: dark")
	s.until("record", func() bool { return s.m.rec.done != "" })
	h, err := record.Beside(s.m.bench.path).Read("Porthole")
	require.NoError(t, err)
	require.Len(t, h.Entries, 1)
	require.Equal(t, record.Fail, h.Entries[0].Verdict)
	require.Equal(t, 143, h.Entries[0].Camera.Right)
	s.send(named("1"))
	require.IsType(t, findingPage{}, s.m.page)
	require.Contains(t, s.findings(), `Pixel 20 of run "inner ring"`)
	require.True(t, e.closed.Load() || s.waits(e), "the camera is closed when its pages are left")
}

// From afar each page of a proof says its one thing.
func TestACameraFromAfar(t *testing.T) {
	e := &easel{change: func(place int, c patterns.Colour) patterns.Colour {
		if place == 19 {
			return patterns.Colour{}
		}
		return c
	}}
	s := studioOf(t, "porthole", e, termenv.Ascii)
	far := func() string { return s.m.FarView().Texts[0] }
	s.aimed()
	require.Equal(t, "Good: hold it there", far())
	s.send(named("enter"))
	require.Equal(t, "Mark pixel 1", far())
	s.mark(e)
	s.until("run", func() bool { p, ok := s.m.page.(runPage); return ok && p.proof.Look == 3 })
	require.Equal(t, "HOLD STILL", far())
	s.until("map", func() bool { return on[mapPage](s.m) })
	require.Equal(t, "Pixel 20 dark", far())
	require.Equal(t, "The camera cannot", s.m.lost(errors.New("it ended")).FarView().Texts[0])
}

// waits gives the camera a moment to be closed.
func (s *studio) waits(e *easel) bool {
	for range 100 {
		if e.closed.Load() {
			return true
		}
		time.Sleep(10 * time.Millisecond)
	}
	return false
}

// A sound prop is signed off after its map by the tests that are left, one after
// the other, and the record has it.
func TestASoundPropIsSignedOffAfterItsMap(t *testing.T) {
	e := &easel{}
	s := studioOf(t, "porthole", e, termenv.Ascii)
	s.aimed()
	s.mark(e)
	s.until("map", func() bool { return on[mapPage](s.m) })
	require.Contains(t, s.mapText(), "All 144 places were read and are as planned. Left: flex test and load test.")
	s.until("record", func() bool { return s.m.rec.done != "" })
	require.Equal(t, []string{"Next: Flex test", "Flex test"}, s.m.st.verdict(e.prop))
	s.send(named("1"))
	s.until("flex test", func() bool { return on[testPage](s.m) })
	for on[testPage](s.m) {
		s.send(named("1"))
	}
	result := func() bool { p, ok := s.m.page.(resultPage); return ok && p.known && s.m.rec.done != "" }
	s.until("result", result)
	require.Contains(t, s.text(), "It is not signed off yet: the load test with a voltmeter is left.")
	s.send(named("enter"))
	s.until("load test", func() bool { return on[testPage](s.m) })
	model, err := strip.New(e.prop)
	require.NoError(t, err)
	for on[testPage](s.m) {
		step := s.m.page.(testPage).now()
		sent := step.Show(nil, e.prop.Pixels(), 0)
		for i := range sent {
			sent[i] = sent[i].Dim(step.Level)
		}
		volts, err := model.Volts(sent)
		require.NoError(t, err)
		for _, k := range fmt.Sprintf("%.2f", volts[step.Marks[0].First]) {
			s.send(named(string(k)))
		}
		s.send(named("enter"))
	}
	s.until("result", result)
	require.Regexp(t, "Signed off: every place was read by .*camera and is as planned.", s.text())
	h, err := record.Beside(s.m.bench.path).Read("Porthole")
	require.NoError(t, err)
	var verdicts []record.Verdict
	for _, one := range h.Entries {
		verdicts = append(verdicts, one.Verdict)
	}
	require.Equal(t, []record.Verdict{record.Stopped, record.Pass, record.Pass, record.Pass}, verdicts)
	require.NotNil(t, h.Entries[3].Camera)
	require.Equal(t, []string{"Close it up"}, s.m.st.verdict(e.prop))
}

// A place that was not read is named, on the map, in the finding and in the
// record; no one says that nothing is wrong, and its run can be asked about.
func TestAPlaceThatWasNotReadIsNoProof(t *testing.T) {
	e := &easel{change: func(place int, c patterns.Colour) patterns.Colour {
		if place == 19 && !c.Dark() {
			return patterns.Colour{R: 255, G: 255, B: 255}
		}
		return c
	}}
	s := studioOf(t, "porthole", e, termenv.Ascii)
	s.aimed()
	s.mark(e)
	s.until("map", func() bool { return on[mapPage](s.m) })
	s.until("record", func() bool { return s.m.rec.done != "" })
	says := `What was read is as planned, but pixel 20 of run "inner ring" was not read`
	require.Contains(t, s.text(), "Not read: 1 of 144 places")
	h, err := record.Beside(s.m.bench.path).Read("Porthole")
	require.NoError(t, err)
	require.Equal(t, record.Stopped, h.Entries[0].Verdict)
	require.Contains(t, h.Entries[0].Findings[0].Text, says)
	require.NotEqual(t, "good", h.Entries[0].Findings[0].Kind)
	s.send(named("3"))
	require.Contains(t, s.findings(), says)
	require.NotContains(t, s.text(), "othing is wrong")

	s = studioOf(t, "porthole", e, termenv.Ascii)
	s.aimed()
	s.mark(e)
	s.until("map", func() bool { return on[mapPage](s.m) })
	require.Contains(t, s.text(), "Check inner ring by eye: places were not read there")
	s.send(named("2"))
	s.until("question", func() bool { return on[questionPage](s.m) && s.m.st.more })
	require.Equal(t, "inner ring", s.m.st.Part.Name)
}

// Where the camera cannot, one sentence says so and asking goes on.
func TestAskingGoesOnWhereACameraCannot(t *testing.T) {
	s := studioOf(t, "porthole", nil, termenv.Ascii)
	s.send(named(s.line("Prove every pixel")))
	s.until("list of cameras", func() bool { p, ok := s.m.page.(sourcePage); return ok && p.known })
	s.send(named("1"))
	s.until("trouble", func() bool { return on[lostPage](s.m) })
	require.Contains(t, s.text(), "The camera 0 is in use by another program: close that one.")
	s.send(named("1"))
	s.until("question", func() bool { return on[questionPage](s.m) && s.m.st.more })

	e := &easel{dead: true}
	s = studioOf(t, "porthole", e, termenv.Ascii)
	s.aimed()
	s.mark(e)
	s.until("trouble", func() bool { return on[lostPage](s.m) })
	require.Contains(t, s.text(), "The pictures of the phone ended: start it again")
	require.True(t, s.waits(e))
}

// Another screen or esc closes the camera, and the prop goes dark.
func TestACameraIsOpenOnlyWhileItIsLookedAt(t *testing.T) {
	for _, leave := range []tea.Msg{named("esc"), screen.LeaveMsg{}} {
		e := &easel{}
		s := studioOf(t, "porthole", e, termenv.Ascii)
		s.aimed()
		s.send(leave)
		require.IsType(t, startPage{}, s.m.page)
		require.True(t, s.waits(e))
	}
}

// The program ends: the camera is closed first, which sets it back.
func TestTheCameraIsClosedBeforeTheProgramEnds(t *testing.T) {
	e := &easel{}
	s := studioOf(t, "porthole", e, termenv.Ascii)
	s.m.Closing()()
	s.aimed()
	require.False(t, e.closed.Load())
	s.m.Closing()()
	require.True(t, e.closed.Load())
}

// Where no camera is opened, no one is told that its light may come on.
func TestKeptPicturesOpenNoCamera(t *testing.T) {
	s := studioOf(t, "porthole", &easel{}, termenv.Ascii)
	m, _ := s.m.openEye("../../internal/eyes/testdata/scenes/02-star", "", nil)
	require.Contains(t, plainText(m), "No camera is opened.")
	require.NotContains(t, plainText(m), "light may come on")
	m, _ = s.m.openEye("http://127.0.0.1:9/", "", nil)
	require.Contains(t, plainText(m), "Its light may come on.")
}

func plainText(m Model) string { return ansi.Strip(m.View(80, 24)) }
