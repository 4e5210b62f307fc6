package checkout

import (
	"bufio"
	"encoding/hex"
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/testkit/checkouttest"
	"example.org/ringout/patterns"
)

// A seenStretch is a colour in hexadecimal digits and a number of pixels.
type seenStretch struct {
	colour patterns.Colour
	pixels int
}

func (s *seenStretch) UnmarshalJSON(text []byte) error {
	var digits string
	if err := json.Unmarshal(text, &[]any{&digits, &s.pixels}); err != nil {
		return err
	}
	b, err := hex.DecodeString(digits)
	b = append(b, 0, 0)
	s.colour = patterns.Colour{R: b[0], G: b[1], B: b[2], W: b[3], C: b[4]}
	return err
}

// A conformanceRow is a line of testdata/conformance/rows.jsonl.
type conformanceRow struct {
	ID, About string
	Runs      []int
	Probe     json.RawMessage
	Empty     []struct{ First, Last int }
	Light     [][]seenStretch
	Moments   [][][]seenStretch
	Sees      string
}

func light(runs [][]seenStretch) (out strip.Light) {
	for _, run := range runs {
		var row []patterns.Colour
		for _, s := range run {
			for range s.pixels {
				row = append(row, s.colour)
			}
		}
		out = append(out, row)
	}
	return out
}

func piecesOf(l strip.Light) *strip.Pieces {
	p := &strip.Pieces{}
	for _, run := range l {
		var row []strip.Piece
		for _, c := range run {
			row = append(row, strip.Piece{Colour: c, Lights: 1})
		}
		p.Runs = append(p.Runs, row)
	}
	return p
}

// hiddenBy is what no one looks at, by run and place.
func (r conformanceRow) hiddenBy() (out maskedPlaces) {
	at := 0
	for _, n := range r.Runs {
		row := make([]bool, n)
		for i := range row {
			for _, e := range r.Empty {
				row[i] = row[i] || at+i >= e.First && at+i <= e.Last
			}
		}
		out, at = append(out, row), at+n
	}
	if len(r.Empty) == 0 {
		return nil
	}
	return out
}

// sight is the row as the engine sees a light.
func (r conformanceRow) sight(s *Spec) *sight {
	h := r.hiddenBy()
	see := &sight{light: piecesOf(light(r.Light)), hidden: h, look: &look{}, wanted: &look{}}
	see.look.of(see.light, h)
	frame := s.Paint.frame(nil, 1<<10)
	var wanted strip.Light
	for _, n := range r.Runs {
		wanted, frame = append(wanted, frame[:n]), frame[n:]
	}
	see.wanted.of(piecesOf(wanted), h)
	if s.Expected != nil {
		see.wanted = &look{}
		var runs strip.Light
		for _, run := range s.Expected {
			n := 0
			for _, st := range run {
				n += st.Pixels
			}
			runs = append(runs, run.frame(nil, n))
		}
		see.wanted.of(piecesOf(runs), nil)
	}
	for _, m := range r.Moments {
		other := &look{}
		other.of(piecesOf(light(m)), h)
		see.sparks = see.sparks || flashes(light(r.Light), light(m))
		if !other.equal(see.look) && (see.contactOpen == nil || litIn(other) < litIn(see.contactOpen)) {
			see.contactOpen = other
		}
	}
	return see
}

// litIn is the number of lit pixels.
func litIn(l *look) int {
	by, all := l.counts()
	return all - by[Dark]
}

// flashes reports whether a pixel has another colour at a moment without being
// dark.
func flashes(rest, moment strip.Light) bool {
	for r := range rest {
		for i, c := range rest[r] {
			if n := NameOf(moment[r][i]); n != NameOf(c) && n != Dark {
				return true
			}
		}
	}
	return false
}

// The rows that anyone's implementation can be held against: the engine's
// readings and the test builder's eyes, which share no code, answer every one
// right. The tokens were worked out by hand from internal/cli/pages/json-lines.md.
func TestConformance(t *testing.T) {
	file, err := os.Open("../../testdata/conformance/rows.jsonl")
	require.NoError(t, err)
	defer file.Close()
	rows := bufio.NewScanner(file)
	by, all, seen := map[Kind]int{}, 0, map[Kind]map[string]bool{}
	for rows.Scan() {
		var r conformanceRow
		require.NoError(t, json.Unmarshal(rows.Bytes(), &r), rows.Text())
		var s Spec
		require.NoError(t, json.Unmarshal(r.Probe, &s), r.ID)
		n := 0
		for _, run := range r.Runs {
			n += run
		}
		require.NoError(t, s.check(n, len(r.Runs)), r.ID)
		by[s.Kind]++
		all++
		if seen[s.Kind] == nil {
			seen[s.Kind] = map[string]bool{}
		}
		seen[s.Kind][r.Sees] = true
		want, err := ParseToken(r.Sees)
		require.NoError(t, err, r.ID)

		got := questions[s.Kind].read(&s, r.sight(&s))
		if got == seesPerhaps {
			got = SeesMixed // it is noticed that it comes and goes
		}
		assert.Equal(t, want.String(), got.String(), "the engine's reading of %s: %s", r.ID, r.About)

		var q checkouttest.Question
		require.NoError(t, json.Unmarshal(r.Probe, &q), r.ID)
		eyes := checkouttest.Eyes{Empty: r.hiddenBy()}
		var moments []strip.Light
		for _, m := range r.Moments {
			moments = append(moments, light(m))
		}
		eyes.Look(light(r.Light), moments...)
		assert.Equal(t, r.Sees, eyes.See(q, r.Runs), "the builder's eyes on %s: %s", r.ID, r.About)
	}
	require.NoError(t, rows.Err())
	assert.GreaterOrEqual(t, all, 60)
	for _, k := range kinds() {
		assert.NotEmpty(t, answerKinds(k), "the answers to %s", k)
		assert.GreaterOrEqual(t, by[k], 4, "rows of %s", k)
		for _, token := range answerKinds(k) {
			assert.True(t, seen[k][token], "%s: no row is answered %s", k, token)
		}
	}
}

// answerKinds are answers to a kind of question that the page of the JSON lines
// names: what is always offered, and of what depends on the picture one of each.
func answerKinds(k Kind) []string {
	var out []string
	for _, a := range questions[k].answers {
		if a != SeesElse {
			out = append(out, a.String())
		}
	}
	return append(out, map[Kind][]string{
		AskLastLit: {"green", "blue", "yellow", "cyan", "white", "none"}, AskBefore: {"as-drawn", "first", "red", "green", "blue", "yellow"},
		AskOdd: {"as-drawn", "missing", "dark", "red", "green", "blue", "white"}, AskMark: {"as-drawn", "first", "red", "green", "dark"},
		AskPlace: {"red", "green", "blue", "yellow", "magenta", "cyan", "white", "dark"}, AskRuns: {"as-drawn", "run-1", "run-2"},
		AskConfirm: {"as-drawn", "run-1", "run-2"}, AskSequence: {"cyan", "red,green,blue", "red,green,blue,more", "dark"},
		AskStaysLit: {"steady", "none", "red", "blue"}, AskFade: {"else"},
	}[k]...)
}
