package dialog

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
)

func test(t *testing.T, k single.Kind, p *prop.Prop) single.Test {
	t.Helper()
	s, err := single.New(k, p)
	require.NoError(t, err)
	return s
}

func TestFlexInPlainLines(t *testing.T) {
	r := newTerminal("1\nwhat\n7\n2\nu\n2\n1\n")
	f := test(t, single.Flex, prop.Porthole())
	end, err := r.Test(f)
	require.NoError(t, err)
	assert.False(t, end.Left)
	found := f.(single.FlexTest).Findings()
	require.Len(t, found, 1)
	assert.Equal(t, "inner ring to middle ring", found[0].Name)
	assert.Equal(t, 2, strings.Count(r.out.String(), "is no answer"))
	assert.Contains(t, r.out.String(), "Flex test, joint 3 of 3.")
}

func TestLoadInPlainLines(t *testing.T) {
	r := newTerminal("4,91 V\nwet\n99\ns\nu\n4.9\nx\n")
	r.Level = func() float64 { return 0.05 }
	l := test(t, single.Load, prop.Porthole())
	end, err := r.Test(l)
	require.NoError(t, err)
	assert.True(t, end.Left)
	got := l.(single.LoadTest).Readings()
	require.Len(t, got, 2)
	assert.Equal(t, 4.91, got[0].Volts)
	assert.Equal(t, 0.05, got[0].Level, "the level that the limiter left")
	assert.Contains(t, r.out.String(), `"wet" is no reading`)
	assert.Contains(t, r.out.String(), "99 V can't be right")
}

func TestBulbInPlainLines(t *testing.T) {
	r := newTerminal("r\ng\nblue\nw\n1\n1\n1\n1\n")
	p := prop.BuoyLamp()
	p.Chip.Order = "RGBW"
	r.Prop = p
	s := test(t, single.Bulb, p)
	_, err := r.Test(s)
	require.NoError(t, err, r.out.String())
	result, err := s.Result()
	require.NoError(t, err)
	assert.True(t, result.Good)
	assert.Equal(t, []bool{false, false, false, false, false, false, true, false}, r.ended, "the stream ends once and comes back")
}

// Six colours, read off a sound prop of 144 pixels; and the same count typed.
func TestCountInPlainLines(t *testing.T) {
	for _, answers := range []func(single.Test) string{
		func(c single.Test) string {
			all := ""
			for {
				s, more := c.Step()
				if !more {
					return all
				}
				hue := s.Show(nil, 144, 0)[143]
				for _, a := range s.Answers {
					if a.Hue != "" && a.Hue.Colour() == hue {
						all += a.Press + "\n"
						require.NoError(t, c.Answer(single.Reply{Key: a.Key}))
						break
					}
				}
			}
		},
		func(single.Test) string { return "n x\nn 0\nv\nn 144\n" },
	} {
		r := newTerminal(answers(test(t, single.Count, prop.Porthole())))
		c := test(t, single.Count, prop.Porthole())
		end, err := r.Test(c)
		require.NoError(t, err)
		assert.False(t, end.Left)
		result, err := c.Result()
		require.NoError(t, err)
		assert.Equal(t, 144, result.Number, r.out.String())
	}
}

func TestTestsWhoseAnswersEnd(t *testing.T) {
	for _, o := range single.Offers(prop.Porthole()) {
		_, err := newTerminal("").Test(test(t, o.Kind, prop.Porthole()))
		assert.True(t, Gone(err), o.Kind)
	}
}

// No verdict on a prop that is not there, by a single test either.
func TestAbsentPropEndsATest(t *testing.T) {
	r := newTerminal("1\n1\n1\n")
	asked := 0
	r.Network = func() checkout.Network {
		asked++
		return checkout.Network{Refused: asked > 3, Trouble: "no program listens at 192.0.2.9"}
	}
	_, err := r.Test(test(t, single.Flex, prop.Porthole()))
	gone := (*AbsentError)(nil)
	require.ErrorAs(t, err, &gone)
	assert.Contains(t, r.out.String(), "It ends here. The prop is not there: no program listens at 192.0.2.9.")
}

// What takes long says that it works, in check-outs and single tests alike.
func TestLongWorkAndHeldLightAreSaid(t *testing.T) {
	slow := func(in string) *terminal {
		r := newTerminal(in)
		r.Wait = func(work, still func()) { still(); work() }
		return r
	}
	r := slow("1\nx\n")
	_, err := r.Plain(session(t))
	require.NoError(t, err)
	assert.Equal(t, 2, strings.Count(r.out.String(), working+"\n"))
	assert.Equal(t, 2, strings.Count(r.out.String(), holds+"\n"))

	r = slow("1\nx\n")
	_, err = r.Test(test(t, single.Flex, prop.Porthole()))
	require.NoError(t, err)
	assert.Equal(t, 2, strings.Count(r.out.String(), working+"\n"))
	assert.Equal(t, 2, strings.Count(r.out.String(), holds+"\n"))
	done := false
	r.Working(func() { done = true })
	assert.True(t, done)
	assert.True(t, strings.HasSuffix(r.out.String(), "Working it out.\n"))
}

// Who has a model of a strip finds in the first line where its slots are.
func TestBeginSaysWhereThePixelsAre(t *testing.T) {
	r := newTerminal("")
	r.Prop.Address.Universe, r.Prop.Address.Slot, r.Prop.Address.Packing = 7, 9, ""
	_, err := r.JSON(session(t))
	assert.True(t, Gone(err))
	var b Begin
	require.NoError(t, json.Unmarshal([]byte(strings.SplitN(r.out.String(), "\n", 2)[0]), &b))
	assert.Equal(t, uint16(7), b.First)
	assert.Equal(t, 10, b.Slot, "slots count from 1 in text")
	assert.Equal(t, "whole", b.Packing)
	assert.Equal(t, r.Prop.Chip.Name, b.Chip)
	assert.Equal(t, string(r.Prop.Chip.Order), b.Order)
}
