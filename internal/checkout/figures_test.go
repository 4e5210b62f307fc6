package checkout

import (
	"fmt"
	"os"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// figuresFile has what the check-outs of the usual tests come to, a test a line:
// answers that were asked for, seconds at the bench, per cent of what was found.
// Limits alone let a change for the worse pass that stays within them. Where
// the engine is meant to ask or weigh otherwise, RINGOUT_FIGURES=write puts the
// new figures in, and the difference shows what it brings and costs.
const figuresFile = "testdata/figures.tsv"

var figuresLock sync.Mutex

// figures compares what a test came to with what is recorded for it.
// Other processors may round sums otherwise, which turns ties between questions.
func figures(t *testing.T, format string, args ...any) {
	t.Helper()
	text := fmt.Sprintf(format, args...)
	t.Log(text)
	if long() || runtime.GOARCH != "amd64" {
		return
	}
	figuresLock.Lock()
	defer figuresLock.Unlock()
	b, err := os.ReadFile(figuresFile)
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(b)), "\n")
	at := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, t.Name()+"\t") })
	line := t.Name() + "\t" + text
	if os.Getenv("RINGOUT_FIGURES") != "write" {
		if assert.GreaterOrEqual(t, at, 0, "%s has no line in %s", t.Name(), figuresFile) {
			assert.Equal(t, lines[at], line, "other figures than in %s: if that is meant, RINGOUT_FIGURES=write puts them in", figuresFile)
		}
		return
	}
	if at < 0 {
		lines = append(lines, line)
	} else {
		lines[at] = line
	}
	slices.Sort(lines)
	require.NoError(t, os.WriteFile(figuresFile, []byte(strings.Join(lines, "\n")+"\n"), 0o644))
}

// A sum is what some check-outs come to together.
type sum struct{ checkouts, answers, again, unsure, offered, seconds, certain, unknown, findings, percent int }

// add counts a check-out that has come to its end.
func (f *sum) add(s *Session) {
	found := s.Findings()
	f.checkouts++
	f.findings += len(found)
	for i := range s.steps {
		st := &s.steps[i]
		f.answers, f.offered, f.seconds = f.answers+1, f.offered+len(st.answers), f.seconds+int(questions[st.spec.Kind].seconds)
		if st.spec.Again {
			f.again++
		}
		if st.given < 0 {
			f.unsure++
		}
	}
	for _, x := range found {
		f.percent += x.Percent
		if x.Sure == Certain {
			f.certain++
		}
		if x.Unknown != nil {
			f.unknown++
		}
	}
}

func (f *sum) String() string {
	return fmt.Sprintf("%d check-outs, %d answers of %d offered, %d asked once more, %d not sure, %d s of looking; %d findings, %d certain, %d unknown, %d per cent in all",
		f.checkouts, f.answers, f.offered, f.again, f.unsure, f.seconds, f.findings, f.certain, f.unknown, f.percent)
}
