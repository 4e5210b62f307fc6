package dialog

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout/bulb"
	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
)

func stage(in string) (*room, Stage) {
	r := newRoom(in)
	return r, Stage{Bench: r.Bench, Set: func(show.FrameFunc, float64) {}, Level: func() float64 { return 0.05 },
		Stream: func(bool) error { return nil }}
}

func TestFlexInPlainLines(t *testing.T) {
	r, g := stage("1\nwhat\n7\n2\nu\n2\n1\n")
	f, err := joints.NewFlex(prop.Porthole())
	require.NoError(t, err)
	end, err := g.Flex(f)
	require.NoError(t, err)
	assert.False(t, end.Left)
	found := f.Findings()
	require.Len(t, found, 1)
	assert.Equal(t, "inner ring to middle ring", found[0].Name)
	assert.Equal(t, 2, strings.Count(r.out.String(), "is no answer"))
}

func TestLoadInPlainLines(t *testing.T) {
	r, g := stage("4,91 V\nwet\n99\ns\nu\n4.9\nx\n")
	l, err := joints.NewLoad(prop.Porthole(), 1)
	require.NoError(t, err)
	end, err := g.Load(l)
	require.NoError(t, err)
	assert.True(t, end.Left)
	got := l.Readings()
	require.Len(t, got, 2)
	assert.Equal(t, 4.91, got[0].Volts)
	assert.Equal(t, 0.05, got[0].Level, "the level that the limiter left")
	assert.Contains(t, r.out.String(), `"wet" is no reading`)
	assert.Contains(t, r.out.String(), "99 V can't be right")
}

func TestBulbInPlainLines(t *testing.T) {
	var stream []bool
	r, g := stage("1\n2\n3\n4\n1\n1\n1\n1\n")
	g.Stream = func(on bool) error { stream = append(stream, on); return nil }
	p := prop.BuoyLamp()
	p.Chip.Order = "RGBW"
	s, err := bulb.New(p)
	require.NoError(t, err)
	_, err = g.Bulb(s)
	require.NoError(t, err, r.out.String())
	assert.True(t, s.Result("RGBW").Good)
	assert.Equal(t, []bool{false, true}, stream, "the stream ends once and comes back")
}

func TestTestsWhoseAnswersEnd(t *testing.T) {
	_, g := stage("")
	f, err := joints.NewFlex(prop.Porthole())
	require.NoError(t, err)
	_, err = g.Flex(f)
	assert.True(t, Gone(err))
}
