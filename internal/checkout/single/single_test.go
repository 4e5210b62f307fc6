package single

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
)

// replyTo draws something a builder may do at a step, sense or nonsense.
func replyTo(t *rapid.T, s Step) Reply {
	switch {
	case s.Typed == VoltsLine && rapid.Bool().Draw(t, "typed"):
		return Reply{Typed: rapid.SampledFrom([]string{"4.9", "4,8 V", "0", "99", "wet"}).Draw(t, "volts"), Level: s.Level}
	case s.Typed == CountLine && rapid.IntRange(0, 9).Draw(t, "kind") == 0:
		return Reply{Typed: rapid.SampledFrom([]string{"12", "0", "x"}).Draw(t, "count")}
	case s.Other != "" && rapid.IntRange(0, 9).Draw(t, "kind") == 0:
		return Reply{Other: true}
	}
	return Reply{Key: rapid.IntRange(-1, 9).Draw(t, "key")}
}

// whatShows is all of a step that can be compared, with its light.
func whatShows(p *prop.Prop, test Test) (Step, any) {
	s, more := test.Step()
	if s.Show == nil {
		return s, more
	}
	frame := s.Show(nil, p.Pixels(), 0)
	s.Show = nil
	return s, []any{more, frame}
}

// Whatever is answered, the replies that counted lead back to the same step and
// result, and taking all of them back leads to the first one.
func TestRestoredIsTheSame(t *testing.T) {
	for _, p := range prop.Demos() {
		for _, o := range Offers(p) {
			t.Run(p.Name+" "+string(o.Kind), func(t *testing.T) {
				rapid.Check(t, func(t *rapid.T) {
					test, err := New(o.Kind, p)
					require.NoError(t, err)
					first, firstMore := whatShows(p, test)
					var said []Reply
					for range rapid.IntRange(0, 12).Draw(t, "answers") {
						s, more := test.Step()
						if !more {
							break
						}
						r := replyTo(t, s)
						again := (*RestartError)(nil)
						switch err := test.Answer(r); {
						case err == nil && r.Other:
							said = append(others(said), r)
						case err == nil:
							said = append(said, r)
						case assert.ErrorAs(discard{}, err, &again):
							said = again.Said
						}
					}
					restored, err := Restore(o.Kind, p, said)
					require.NoError(t, err)
					a, am := whatShows(p, test)
					b, bm := whatShows(p, restored)
					require.Equal(t, a, b)
					require.Equal(t, am, bm)
					if l, ok := test.(LoadTest); ok { // whose fit takes long
						require.Equal(t, l.Readings(), restored.(LoadTest).Readings())
					} else {
						ra, errA := test.Result()
						rb, errB := restored.Result()
						require.Equal(t, ra, rb)
						require.Equal(t, errA, errB)
					}
					undone := 0
					for test.Undo() {
						undone++
					}
					require.Equal(t, len(said)-len(others(said)), undone)
					if len(others(said)) == 0 {
						a, am = whatShows(p, test)
						require.Equal(t, first, a)
						require.Equal(t, firstMore, am)
					}
				})
			})
		}
	}
}

// others are the replies that chose another way.
func others(said []Reply) (out []Reply) {
	for _, r := range said {
		if r.Other {
			out = append(out, r)
		}
	}
	return out
}

// discard takes what an assertion says that is only asked.
type discard struct{}

func (discard) Errorf(string, ...any) {}

// Each prop has the tests that fit it, each with a name, and every step has an
// answer on key 0 and no key twice.
func TestStepsAreWhole(t *testing.T) {
	want := map[string][]Kind{"Porthole": {Flex, Load, Count}, "Pennant": {Flex, Load, Count}, "Buoy lamp": {Bulb}}
	for _, p := range prop.Demos() {
		var got []Kind
		for _, o := range Offers(p) {
			got = append(got, o.Kind)
			assert.Contains(t, o.Text, o.Kind.Title()+": ")
			test, err := New(o.Kind, p)
			require.NoError(t, err)
			for s, more := test.Step(); more; s, more = test.Step() {
				assert.NotEmpty(t, s.Question)
				assert.NotEmpty(t, s.Progress)
				assert.NotEmpty(t, s.Large)
				assert.Greater(t, s.Level, 0.0)
				assert.LessOrEqual(t, s.Level, 1.0)
				pressed := map[string]bool{}
				for _, a := range s.Answers {
					assert.False(t, pressed[a.Press], "%q twice", a.Press)
					pressed[a.Press] = true
					key, ok := s.Pressed(a.Press)
					assert.True(t, ok)
					assert.Equal(t, a.Key, key)
				}
				last := s.Answers[len(s.Answers)-1]
				require.NoError(t, test.Answer(Reply{Key: last.Key}))
			}
			assert.Error(t, test.Answer(Reply{Key: 1, Typed: ""}), "there is no question left")
		}
		assert.Equal(t, want[p.Name], got)
	}
	_, err := New("taste", prop.Porthole())
	assert.ErrorContains(t, err, `there is no test "taste"`)
	_, err = Restore(Flex, prop.Porthole(), []Reply{{Key: 99}})
	assert.ErrorContains(t, err, "answer 1 of the flex test does not fit")
	_, err = New(Bulb, prop.Porthole())
	assert.Error(t, err)
}

// Volts as people type them; a comma is a decimal mark in much of Europe (ISO
// 80000-1, 7.3.2).
func TestParseVolts(t *testing.T) {
	for text, want := range map[string]float64{"4.83": 4.83, "4,83": 4.83, "4.83 V": 4.83, "12v": 12, "0": 0, "-0.2": -0.2} {
		got, err := ParseVolts(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-12, text)
	}
	for _, text := range []string{"", "V", "wet", "4.8.3", "4 8"} {
		_, err := ParseVolts(text)
		assert.ErrorContains(t, err, "is no reading", text)
	}
}
