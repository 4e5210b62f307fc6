package check

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A list that leaves rows out says how many, and the key that it names lists them all:
// beside the answers and, where there is no room for a list, among the keys.
func TestWhatIsLeftOutIsListed(t *testing.T) {
	more, shares := regexp.MustCompile(`… (\w) shows (\d+) more`), regexp.MustCompile(`  [ \d]\d %  `)
	for _, name := range []string{"first question", "second question"} {
		for _, size := range sizes {
			t.Run(fmt.Sprint(name, size), func(t *testing.T) {
				e := visits[name].open(t, termenv.Ascii)
				e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
				all, open := e.m.st.suspects, "a"
				require.Greater(t, len(all), 2)
				view := e.m.View(size[0], rowsOf(size))
				shown := len(shares.FindAllString(strings.ReplaceAll(view, "\n", "  \n"), -1))
				if left := more.FindStringSubmatch(view); left != nil {
					n, err := strconv.Atoi(left[2])
					require.NoError(t, err)
					assert.Equal(t, len(all), shown+n, "shown, and left out\n%s", view)
					open = left[1]
				} else if rowsOf(size) >= airyFrom {
					assert.Equal(t, len(all), shown)
				} else if size[0] >= narrow {
					assert.Contains(t, view, "a shows what it may still be")
				}
				said := false
				for _, b := range e.m.Keys().FullHelp()[0] {
					said = said || b.Help().Key == open
				}
				assert.True(t, said, "the key is among those of the page")
				e.press(open)
				text := ""
				for range 10 {
					text += strings.Join(strings.Fields(e.m.View(size[0], rowsOf(size))), " ")
					e.press("pgdown")
				}
				for _, s := range all {
					for _, w := range strings.Fields(s.text) {
						assert.Contains(t, text, w, s.text)
					}
				}
				e.press("esc")
				assert.Equal(t, view, e.m.View(size[0], rowsOf(size)), "esc goes back to the question")
			})
		}
	}
}

// What it may still be adds up: many places of a fault, each unlikely, are a likely fault
// together, and what is not known has its share.
func TestSuspectsAddUp(t *testing.T) {
	for _, name := range []string{"first question", "second question", "what is left"} {
		e := visits[name].open(t, termenv.Ascii)
		sum, joints, percent := 0.0, 0.0, 0
		for _, s := range e.m.st.suspects {
			sum += s.share
			percent += s.percent
			assert.InDelta(t, 100*s.share, s.percent, 1, s.text)
			if strings.HasPrefix(s.text, "data line open") {
				joints = s.share
			}
		}
		assert.InDelta(t, 1, sum, 0.02, name)
		assert.Equal(t, 100, percent, "as they are written: %s", name)
		if name == "first question" {
			assert.Greater(t, joints, 0.03, "the commonest fault of a new prop, though no one place of it is likely")
		}
	}
}

// Percentages add up, none is below 1, and none says that it is certain.
func TestPercentsAddUp(t *testing.T) {
	for _, row := range []struct {
		shares []float64
		want   []int
	}{
		{[]float64{0.504, 0.253, 0.243}, []int{51, 25, 24}},
		{[]float64{0.999}, []int{99}},
		{[]float64{0.993, 0.007}, []int{99, 1}},
		{[]float64{0.3333, 0.3333, 0.3334}, []int{33, 33, 34}},
		{nil, nil},
	} {
		var all []suspect
		for _, s := range row.shares {
			all = append(all, suspect{share: s})
		}
		var got []int
		for _, s := range withPercents(all) {
			got = append(got, s.percent)
		}
		assert.Equal(t, row.want, got, "%v", row.shares)
	}
}
