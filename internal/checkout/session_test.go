package checkout

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// begun is a check-out with some answers given.
func begun(t testing.TB, p *prop.Prop, answers int, faults ...strip.Fault) *Session {
	t.Helper()
	s, err := New(p, Options{})
	require.NoError(t, err)
	st, err := strip.New(p, faults...)
	require.NoError(t, err)
	var b builder
	for range answers {
		p, ok := s.Next()
		require.True(t, ok)
		require.NoError(t, s.Answer(key(s.field, &p, st, &b)))
	}
	return s
}

func TestSameAnswersSameQuestions(t *testing.T) {
	a := begun(t, prop.Porthole(), 4, strip.Fault{Kind: strip.DeadPixel, Pixel: 70})
	b := begun(t, prop.Porthole(), 4, strip.Fault{Kind: strip.DeadPixel, Pixel: 70})
	pa, _ := a.Next()
	pb, _ := b.Next()
	assert.Equal(t, pa.Spec, pb.Spec)
	assert.Equal(t, pa.Answers, pb.Answers)
	assert.Equal(t, a.Log(), b.Log())
}

func TestUndoAndChange(t *testing.T) {
	s := begun(t, prop.Porthole(), 3, strip.Fault{Kind: strip.DeadPixel, Pixel: 70})
	third, _ := s.Next()
	before := s.Suspects()
	require.NoError(t, s.Answer(1))
	require.True(t, s.Undo())
	assert.Equal(t, before, s.Suspects())
	again, _ := s.Next()
	assert.Equal(t, third.Spec, again.Spec)
	require.NoError(t, s.Change(2, NotSure))
	assert.Equal(t, "", s.Log().Steps[1].Given)
	assert.NotEqual(t, before, s.Suspects())
	assert.Error(t, s.Change(9, 1))
	assert.Error(t, s.Change(1, 99))
	for s.Undo() {
	}
	assert.Zero(t, s.Answered())
	assert.False(t, s.Undo())
}

func TestAnswerOutOfRangeLosesNothing(t *testing.T) {
	s := begun(t, prop.Porthole(), 2)
	before := s.Log()
	for _, k := range []int{-1, 12, 1000} {
		err := s.Answer(k)
		require.Error(t, err)
		assert.Contains(t, err.Error(), "not sure")
	}
	assert.Equal(t, before, s.Log())
}

func TestNotSureMovesNothingAndIsNotAskedAgain(t *testing.T) {
	s := begun(t, prop.Porthole(), 0)
	first, _ := s.Next()
	before := s.Suspects()
	require.NoError(t, s.Answer(NotSure))
	assert.Equal(t, before, s.Suspects())
	second, _ := s.Next()
	assert.NotEqual(t, first.Spec, second.Spec)
}

func TestOnlyNotSureEndsHonestly(t *testing.T) {
	s := begun(t, prop.Porthole(), 0)
	for _, ok := s.Next(); ok; _, ok = s.Next() {
		require.NoError(t, s.Answer(NotSure))
	}
	assert.LessOrEqual(t, s.Answered(), 40)
	assert.Equal(t, Possible, s.Findings()[0].Sure)
	assert.NotEmpty(t, s.Findings()[0].Rivals)
}

func TestTakenUpAgain(t *testing.T) {
	p := prop.Porthole()
	fault := strip.Fault{Kind: strip.WrongChip, Pixel: 50, N: 4}
	s := begun(t, p, 4, fault)
	text, err := json.Marshal(s.Log())
	require.NoError(t, err)
	var l Log
	require.NoError(t, json.Unmarshal(text, &l))
	r, err := Restore(p, Options{}, l)
	require.NoError(t, err)
	again, err := json.Marshal(r.Log())
	require.NoError(t, err)
	assert.JSONEq(t, string(text), string(again))
	assert.Equal(t, s.Suspects(), r.Suspects())
	st, err := strip.New(p, fault)
	require.NoError(t, err)
	finish(t, r, st)
	assert.True(t, isNamed(r.Findings()[0], []strip.Fault{fault}))
}

func TestPropChangedHalfWay(t *testing.T) {
	s := begun(t, prop.Porthole(), 2)
	p := prop.Porthole()
	p.Runs[1].Pixels++
	_, err := Restore(p, Options{}, s.Log())
	var changed *ChangedError
	require.ErrorAs(t, err, &changed)
	assert.Contains(t, err.Error(), "Porthole")
}

func TestBadLogs(t *testing.T) {
	p := prop.Porthole()
	good := begun(t, p, 2).Log()
	rows := []struct {
		name  string
		spoil func(l *Log)
		says  string
	}{
		{"another version", func(l *Log) { l.Version = 99 }, "another version"},
		{"an answer that was not offered", func(l *Log) { l.Steps[1].Given = "purple" }, "entry 2"},
		{"a picture that does not fit", func(l *Log) { l.Steps[0].Spec.Paint = Paint{{HueRed, 3}} }, "entry 1"},
		{"a hue that is none", func(l *Log) { l.Steps[0].Spec.Paint = Paint{{"puce", 144}} }, "puce"},
		{"a question that is none", func(l *Log) { l.Steps[0].Spec.Kind = "riddle" }, "riddle"},
		{"a run the prop lacks", func(l *Log) { l.Steps[0].Spec.Run = 7 }, "no run 8"},
		{"a level that is none", func(l *Log) { l.Steps[0].Spec.Level = 3 }, "level"},
		{"one answer offered", func(l *Log) { l.Steps[0].Offered = []string{"all"} }, "at least 2"},
		{"a word that is none", func(l *Log) { l.Steps[0].Offered[0] = "mauve" }, "mauve"},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			text, _ := json.Marshal(good)
			var l Log
			require.NoError(t, json.Unmarshal(text, &l))
			r.spoil(&l)
			_, err := Restore(p, Options{}, l)
			require.Error(t, err)
			assert.Contains(t, err.Error(), r.says)
		})
	}
	_, err := New(&prop.Prop{}, Options{})
	assert.Error(t, err)
}

func FuzzRestore(f *testing.F) {
	p := single("line", 9)
	text, _ := json.Marshal(begun(f, p, 3).Log())
	f.Add(text)
	f.Add([]byte(`{"version":1,"steps":[{"probe":{"kind":"even"},"offered":["all","none"],"given":"all"}]}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		var l Log
		if json.Unmarshal(b, &l) != nil {
			return
		}
		l.Print, l.Version = Print(p), logVersion
		if len(l.Steps) > 12 {
			l.Steps = l.Steps[:12]
		}
		s, err := Restore(p, Options{}, l)
		if err != nil {
			return
		}
		again, err := Restore(p, Options{}, s.Log())
		require.NoError(t, err)
		require.Equal(t, s.Log(), again.Log())
		s.Next()
		s.Findings()
	})
}

// TestAPixelNotSeenIsNotAskedForAgain: "not sure" of one pixel settles that it
// cannot be told.
func TestAPixelNotSeenIsNotAskedForAgain(t *testing.T) {
	s, err := New(prop.Porthole(), Options{})
	require.NoError(t, err)
	seen := map[spot]int{}
	for p, ok := s.Next(); ok; p, ok = s.Next() {
		if p.Spec.Kind == AskPlace {
			seen[spot{p.Spec.Run, p.Spec.Pixel}]++
		}
		require.NoError(t, s.Answer(NotSure))
	}
	require.NotEmpty(t, seen)
	for at, n := range seen {
		require.Equal(t, 1, n, "%v", at)
	}
}

func FuzzParseToken(f *testing.F) {
	for _, w := range []string{"red", "all", "run-3", "red,dark,more", "red,green,blue,more", ""} {
		f.Add(w)
	}
	f.Fuzz(func(t *testing.T, w string) {
		if tok, err := ParseToken(w); err == nil {
			again, err := ParseToken(tok.String())
			require.NoError(t, err)
			require.Equal(t, tok, again)
		}
	})
}

// BenchmarkNext: from an answer to the next probe, on 1,000 pixels.
func BenchmarkNext(b *testing.B) {
	p := single("long line", 1000)
	s := begun(b, p, 2, strip.Fault{Kind: strip.OpenJoint, Pixel: 500})
	b.ReportAllocs()
	for b.Loop() {
		c := s.Clone()
		if err := c.Answer(1); err != nil {
			b.Fatal(err)
		}
		c.Next()
	}
}

// BenchmarkNextPairs: the dearest step, at which an explanation is about to
// stand and pairs of faults are sought, on 1,000 pixels in four runs.
func BenchmarkNextPairs(b *testing.B) {
	p := ringProp("four rings", 250, 250, 250, 250)
	ft := strip.Fault{Kind: strip.WrongOrder, Order: "BRG", Pixel: 300}
	st, err := strip.New(p, ft)
	require.NoError(b, err)
	s, err := New(p, Options{})
	require.NoError(b, err)
	var eyes builder
	for s.pairsSearchedAt == 0 { // plays on until a step has sought pairs, then goes one back
		pr, ok := s.Next()
		require.True(b, ok, "no pairs were sought")
		require.NoError(b, s.Answer(key(s.field, &pr, st, &eyes)))
		s.decide()
	}
	given := s.steps[len(s.steps)-1].given + 1
	s.Undo()
	s.decide()
	b.ReportAllocs()
	for b.Loop() {
		c := s.Clone()
		if err := c.Answer(given); err != nil {
			b.Fatal(err)
		}
		c.Next()
	}
}

// BenchmarkNew: all hypotheses of 1,000 pixels.
func BenchmarkNew(b *testing.B) {
	p := single("long line", 1000)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := New(p, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkNewLong: the same of 10,000 pixels in four runs.
func BenchmarkNewLong(b *testing.B) {
	p := ringProp("four rings", 2500, 2500, 2500, 2500)
	b.ReportAllocs()
	for b.Loop() {
		s, err := New(p, Options{})
		if err != nil {
			b.Fatal(err)
		}
		s.Next()
	}
}
