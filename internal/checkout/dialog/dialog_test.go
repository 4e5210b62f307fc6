package dialog

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

type terminal struct {
	Bench
	out   bytes.Buffer
	shown int
	ended []bool // whether the stream was ended, a call of Light
	kept  int
}

func newTerminal(in string) *terminal {
	r := &terminal{}
	r.Bench = Bench{In: strings.NewReader(in), Out: &r.out, Prop: prop.Porthole(),
		Light: func(_ patterns.FrameFunc, _ float64, ended bool) error {
			r.shown++
			r.ended = append(r.ended, ended)
			return nil
		},
		Keep: func() error { r.kept++; return nil }}
	return r
}

func session(t *testing.T) *checkout.Session {
	t.Helper()
	s, err := checkout.New(prop.Porthole(), checkout.Options{})
	require.NoError(t, err)
	return s
}

func TestPlainNonsenseLosesNothing(t *testing.T) {
	r := newTerminal("hello\n\n99\n-1\nu\ne\ne 1 1\n?\nwhy\nopen\n0\nx\n")
	end, err := r.Plain(session(t))
	require.NoError(t, err)
	assert.True(t, end.Left)
	text := r.out.String()
	for _, want := range []string{`"hello" is no answer`, "There is no answer to take away.", "Write e, the number of the question",
		`"99" is no answer`, "Nothing has been answered yet: there is no answer to change.", "Still open:", "Ended early: this is what is known so far."} {
		assert.Contains(t, text, want)
	}
	assert.Equal(t, 1, r.kept, "only the not-sure was an answer")
	assert.Equal(t, 2, r.shown, "each probe is lit once")
}

func TestPlainUndoAndChangeAskAgain(t *testing.T) {
	s := session(t)
	r := newTerminal("3\n1\nu\ne 1 5\nx\n")
	_, err := r.Plain(s)
	require.NoError(t, err)
	require.Len(t, s.Log().Steps, 1)
	assert.Equal(t, "none", s.Log().Steps[0].Given)
}

func TestInputThatEndsIsGoneAndKept(t *testing.T) {
	for _, talk := range []func(*terminal, *checkout.Session) (End, error){
		func(r *terminal, s *checkout.Session) (End, error) { return r.Plain(s) },
		func(r *terminal, s *checkout.Session) (End, error) {
			r.In = strings.NewReader("{\"answer\":3}\n")
			return r.JSON(s)
		},
	} {
		r := newTerminal("3\n")
		end, err := talk(r, session(t))
		assert.True(t, Gone(err), "%v", err)
		assert.True(t, end.Left)
		assert.Equal(t, 1, r.kept)
	}
}

func TestJSONLines(t *testing.T) {
	r := newTerminal("nonsense\n{}\n{\"answer\":77}\n{\"sees\":\"plaid\"}\n{\"undo\":true}\n{\"sees\":\"tail\"}\n{\"answer\":0}\n{\"change\":{\"id\":2,\"key\":1}}\n{\"leave\":true}\n")
	end, err := r.JSON(session(t))
	require.NoError(t, err)
	assert.True(t, end.Left)
	var says []string
	var first Begin
	var last Done
	lines := bufio.NewScanner(&r.out)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		var m struct{ Say string }
		require.NoError(t, json.Unmarshal(lines.Bytes(), &m), lines.Text())
		says = append(says, m.Say)
		switch m.Say {
		case "begin":
			require.NoError(t, json.Unmarshal(lines.Bytes(), &first))
		case "probe":
			var q Question
			require.NoError(t, json.Unmarshal(lines.Bytes(), &q))
			assert.NotEmpty(t, q.Answers)
		case "end":
			require.NoError(t, json.Unmarshal(lines.Bytes(), &last))
		}
	}
	assert.Equal(t, "begin probe lit refused refused refused refused refused probe lit probe lit probe lit end", strings.Join(says, " "))
	assert.Equal(t, []BeginRun{{"inner ring", 36}, {"middle ring", 48}, {"outer ring", 60}}, first.Runs)
	assert.Equal(t, Hue{R: 255, G: 255}, first.Hues["yellow"])
	assert.Equal(t, 2, last.Answered)
	assert.True(t, last.Left)
	assert.NotEmpty(t, last.Findings)
}

func TestKeepThatFailsIsSaidAndGoesOn(t *testing.T) {
	r := newTerminal("{\"answer\":3}\n{\"leave\":true}\n")
	r.Keep = func() error { return errors.New("the disk is full") }
	_, err := r.JSON(session(t))
	require.NoError(t, err)
	assert.Contains(t, r.out.String(), `{"say":"mind","text":"The answers so far could not be kept: the disk is full."}`)
	p := newTerminal("3\nx\n")
	p.Keep = r.Keep
	_, err = p.Plain(session(t))
	require.NoError(t, err)
	assert.Contains(t, p.out.String(), "could not be kept: the disk is full")
}

func FuzzJSONIn(f *testing.F) {
	f.Add("{\"answer\":1}\n{\"undo\":true}\n{\"sees\":\"run-2\"}")
	f.Add("{\"change\":{\"id\":-1,\"key\":9}}")
	s, err := checkout.New(prop.BuoyLamp(), checkout.Options{Most: 4})
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, in string) {
		r := newTerminal(in)
		if _, err := r.JSON(s.Clone()); err != nil && !Gone(err) {
			t.Fatal(err)
		}
	})
}

// One who leaves at once is told no list of guesses.
func TestPlainLeftAtOnce(t *testing.T) {
	r := newTerminal("x\n")
	r.Prop = prop.BuoyLamp()
	s, err := checkout.New(r.Prop, checkout.Options{})
	require.NoError(t, err)
	_, err = r.Plain(s)
	require.NoError(t, err)
	assert.Contains(t, r.out.String(), "1 pixel in 1 run.")
	assert.True(t, strings.HasSuffix(r.out.String(), "Nothing was answered, so nothing is known.\n"), r.out.String())
}

// Nor is a program: before the first answer there is no finding, a good one
// least of all; one answer later there is.
func TestJSONLeftAtOnce(t *testing.T) {
	for in, found := range map[string]bool{"": false, `{"leave":true}` + "\n": false, `{"answer":1}` + "\n": true} {
		r := newTerminal(in)
		_, _ = r.JSON(session(t)) // answers that end early are an error, and still end in a line
		lines := strings.Split(strings.TrimSpace(r.out.String()), "\n")
		end := lines[len(lines)-1]
		assert.Contains(t, end, `"left":true`, in)
		assert.Equal(t, found, !strings.Contains(end, `"findings":[]`), "%q: %s", in, end)
	}
}

func TestJSONNonsenseIsQuotedShort(t *testing.T) {
	r := newTerminal(strings.Repeat("灯", 1200) + "\n{\"leave\":true}\n")
	_, err := r.JSON(session(t))
	require.NoError(t, err)
	for _, line := range strings.Split(r.out.String(), "\n") {
		if strings.Contains(line, "refused") {
			assert.Less(t, len(line), 600)
			assert.Contains(t, line, "is no JSON object with one of answer, sees, change, undo and leave")
			assert.NotContains(t, line, "invalid character")
			return
		}
	}
	t.Fatal("nothing was refused")
}

// A line of any length is refused in a sentence, and the next one counts.
func TestLongLinesAreRefused(t *testing.T) {
	for _, n := range []int{longest + 1, longest + 2, 3 * longest, 5 << 20} {
		r := newTerminal(strings.Repeat("1", n) + "\n1\nx\n")
		_, err := r.Plain(session(t))
		require.NoError(t, err)
		assert.Contains(t, r.out.String(), "The line is longer than 4096 bytes, so it was not read: write a short one.")
		assert.Equal(t, 1, r.kept, "%d", n)
		r = newTerminal(strings.Repeat("[", n) + "\n{\"answer\":1}\n{\"leave\":true}\n")
		_, err = r.JSON(session(t))
		require.NoError(t, err)
		assert.Contains(t, r.out.String(), `{"say":"refused","text":"The line is longer than 4096 bytes`)
		assert.Equal(t, 1, r.kept, "%d", n)
		r = newTerminal(strings.Repeat("1", n) + "\n1\nx\n")
		end, err := r.Test(test(t, single.Flex, prop.Porthole()))
		require.NoError(t, err)
		assert.True(t, end.Left)
		assert.Equal(t, 1, r.kept, "%d", n)
	}
	r := newTerminal(strings.Repeat("1", longest*3)) // without an end
	_, err := r.Plain(session(t))
	assert.True(t, Gone(err))
}

// What a line may hold, by the page: just one field, and the probe's number
// beside it or not.
func TestJSONRefusals(t *testing.T) {
	for line, want := range map[string]string{
		`{"answer":1,"undo":true}`:    "The line sets 2 of answer, sees, change, undo and leave: set one.",
		`{"answer":0,"sees":"dark"}`:  "sets 2 of",
		`{"undo":false}`:              "sets 0 of",
		`{"id":1}`:                    "sets 0 of",
		`{"answer":1,"id":7}`:         "The line is for probe 7, and probe 1 waits.",
		`{"answer":1} {"answer":1}`:   "is no JSON object with one of",
		`{"reply":1}`:                 "is no JSON object with one of",
		`{"sees":"plaid"}`:            `"plaid" is nothing a person can see here`,
		`{"sees":""}`:                 "is nothing a person can see here",
		`{"answer":-1}`:               "There is no answer -1",
		`{"change":{"id":1,"key":1}}`: "No question was answered yet",
		`{"undo":true}`:               "There is no answer to take away.",
		`[1]`:                         "is no JSON object",
		`null`:                        "sets 0 of",
		`{"Answer":1}`:                `The field "Answer" stands twice or has capitals`,
		`{"answer":1,"answer":2}`:     `The field "answer" stands twice`,
		`{"id":1,"id":2,"answer":1}`:  `The field "id" stands twice`,
		`{"change":{"ID":1,"key":1}}`: `The field "ID" stands twice or has capitals`,
		`{"change":{"id":1}}`:         "Change wants a question and a key",
		`{"change":{"key":1}}`:        "Change wants a question and a key",
	} {
		r := newTerminal(line + "\n{\"id\":1,\"answer\":1}\n{\"leave\":true}\n")
		_, err := r.JSON(session(t))
		require.NoError(t, err, line)
		var refused Remark
		require.NoError(t, json.Unmarshal([]byte(strings.Split(r.out.String(), "\n")[3]), &refused))
		assert.Equal(t, "refused", refused.Say, line)
		assert.Contains(t, refused.Text, want, line)
		assert.Equal(t, 1, r.kept, "and the next line counts")
	}
}

// What takes long is said.
func TestLongWorkIsSaid(t *testing.T) {
	slow := func(work, still func()) { still(); work() }
	r := newTerminal("x\n")
	r.Wait = slow
	_, err := r.Plain(session(t))
	require.NoError(t, err)
	assert.Contains(t, r.out.String(), "Working out the next question.")
	r = newTerminal("{\"leave\":true}\n")
	r.Wait = slow
	_, err = r.JSON(session(t))
	require.NoError(t, err)
	assert.Contains(t, r.out.String(), `{"say":"wait","text":"Working out the next question."}`)
	assert.Contains(t, r.out.String(), `{"say":"wait","text":"The light waits, or the prop would flash."}`)
}

// A host that refuses ends the check-out with that sentence and no finding,
// whenever it begins to refuse.
func TestAbsentPropEndsTheDialog(t *testing.T) {
	refused := checkout.Network{Refused: true, Trouble: "no program listens at 192.0.2.9"}
	for from := range 4 {
		network := func() func() checkout.Network {
			asked := 0
			return func() checkout.Network {
				if asked++; asked > from {
					return refused
				}
				return checkout.Network{}
			}
		}
		absent := (*AbsentError)(nil)
		r := newTerminal("1\n0\n0\n0\nx\n")
		r.Network = network()
		_, err := r.Plain(session(t))
		require.ErrorAs(t, err, &absent)
		assert.Contains(t, r.out.String(), "It ends here. The prop is not there: no program listens at 192.0.2.9.")
		assert.NotContains(t, r.out.String(), "Nothing is wrong")
		assert.Equal(t, from/2, r.kept, "an answer after it does not count")

		r = newTerminal("{\"answer\":1}\n{\"leave\":true}\n")
		r.Network = network()
		_, err = r.JSON(session(t))
		require.ErrorAs(t, err, &absent)
		lines := strings.Split(strings.TrimSpace(r.out.String()), "\n")
		var last Done
		require.NoError(t, json.Unmarshal([]byte(lines[len(lines)-1]), &last))
		assert.True(t, last.Absent)
		assert.Contains(t, last.Stopped, "no program listens at 192.0.2.9")
		assert.Empty(t, last.Findings)
	}
}

// lost is a check-out whose answers nothing fits: the first of those answered
// at every step by another number.
func lost(t *testing.T) *checkout.Session {
	t.Helper()
	for by := 7; by < 30; by++ {
		s := session(t)
		for i := 0; ; i++ {
			p, ok := s.Next()
			if !ok {
				break
			}
			require.NoError(t, s.Answer(1+i*by%len(p.Answers)))
		}
		if s.Findings()[0].Unknown != nil {
			return s
		}
	}
	t.Fatal("something known explains every one of them")
	return nil
}

// Where nothing known fits, people and programs are told what fits most, which
// look does not fit it, and how to go on.
func TestNothingKnownSaysTheWayOn(t *testing.T) {
	s := lost(t)
	u := s.Findings()[0].Unknown
	require.NotEmpty(t, u.Misfits())

	r := newTerminal("")
	_, err := r.Plain(s)
	require.NoError(t, err)
	text := r.out.String()
	for _, want := range append(u.Misfits(), "Nothing I know explains this (", "What fits most: "+u.Closest.Text, "What to do: "+u.Next, "pixel by pixel", "record") {
		assert.Contains(t, text, want)
	}

	r = newTerminal("")
	_, err = r.JSON(s)
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(r.out.String()), "\n")
	var end Done
	require.NoError(t, json.Unmarshal([]byte(lines[len(lines)-1]), &end))
	got := end.Findings[0]
	require.NotNil(t, got.Unknown)
	assert.Empty(t, got.Causes)
	assert.Equal(t, u.Closest.Text, got.Unknown.Closest.Text)
	assert.Equal(t, append([]string{}, u.Against...), got.Unknown.Against)
	assert.Equal(t, u.Next, got.Unknown.Next)
	assert.LessOrEqual(t, got.Unknown.First, got.Unknown.Last)
	assert.Less(t, got.Unknown.Last, prop.Porthole().Pixels())
	for _, f := range end.Findings[1:] {
		assert.Nil(t, f.Unknown)
	}
}
