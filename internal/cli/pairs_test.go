package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/underway"
	"example.org/ringout/tui/check"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// A checkScreen drives the Check screen without a terminal.
type checkScreen struct {
	t *testing.T
	m screen.Screen
}

// Set is the show of a checkScreen, which lights nothing.
func (*checkScreen) Set(show.Want) {}

// sit opens the screen on a prop file.
func sit(t *testing.T, file string) *checkScreen {
	t.Helper()
	p, _, err := prop.Load(file)
	require.NoError(t, err)
	r := lipgloss.NewRenderer(os.Stdout)
	r.SetColorProfile(termenv.Ascii)
	s := &checkScreen{t: t, m: check.New(check.Options{Style: style.On(r, style.AnyGround), Version: "test"})}
	s.feed(tea.WindowSizeMsg{Width: 80, Height: 40})
	s.feed(screen.ReadyMsg{Prop: p, Out: s, Path: file})
	s.feed(screen.EnterMsg{})
	return s
}

// leave ends the checkScreen as the end of its process would.
func (s *checkScreen) leave() { underway.ReleaseAll() }

func (s *checkScreen) feed(msg tea.Msg) {
	m, cmd := s.m.Update(msg)
	s.m = m
	s.run(cmd)
}

func (s *checkScreen) run(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	switch msg := cmd().(type) {
	case nil:
	case tea.BatchMsg:
		for _, c := range msg {
			s.run(c)
		}
	default:
		s.feed(msg)
	}
}

func (s *checkScreen) press(keys ...string) {
	for _, k := range keys {
		switch k {
		case "enter":
			s.feed(tea.KeyMsg{Type: tea.KeyEnter})
		case "esc":
			s.feed(tea.KeyMsg{Type: tea.KeyEsc})
		default:
			s.feed(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)})
		}
	}
}

// line presses the digit of the line of the page that begins so. The page is low and wide, so
// that a line is of plain letters, in two rows at most.
func (s *checkScreen) line(begins string) {
	s.t.Helper()
	rows := strings.Split(ansi.Strip(s.m.View(120, 18)), "\n")
	for i, l := range rows {
		text := strings.Join(strings.Fields(strings.Join(rows[i:min(i+2, len(rows))], " ")), " ") // with its second row
		if digit, text, ok := strings.Cut(strings.TrimLeft(text, "▸ "), " "); ok && strings.HasPrefix(text, begins) && strings.TrimSpace(l) != "" {
			s.press(digit)
			return
		}
	}
	require.Fail(s.t, "no line "+begins, ansi.Strip(s.m.View(120, 18)))
}

// kept is the one unfinished check-out or test of a prop file.
func kept(t *testing.T, file string) record.UnfinishedCheck {
	t.Helper()
	list, err := record.ReadUnfinished(record.UnfinishedBeside(file))
	require.NoError(t, err)
	require.Len(t, list, 1)
	return list[0]
}

// A check started on the screen is continued on the command line, and the other way
// round, and each continues its own: for the whole prop, one run, a part and every
// single test. Repaired faults are kept.
func TestBegunInEitherTakenUpInEither(t *testing.T) {
	t.Parallel() // it works long, with files of its own
	for _, row := range []struct {
		name, prop string
		begin      func(*checkScreen)
		screen     []string // answers on the screen
		flags      []string
		line       string // an answer on the command line
		takeUp     string // the line of the start page
	}{
		{"whole", "porthole", func(s *checkScreen) { s.line("Begin a check-out") }, []string{"0"}, []string{"--plain"}, "0", "Take up the unfinished check-out:"},
		{"run", "porthole", func(s *checkScreen) { s.line("Check one run"); s.line("middle ring, not joined") }, []string{"0"}, []string{"--run", "middle ring"}, "0", "Take up the unfinished check-out of middle ring:"},
		{"part", "porthole", func(s *checkScreen) { s.line("Check one run"); s.line("outer ring, in the finished") }, []string{"0"}, []string{"--part", "outer ring"}, "0", "Take up the unfinished check-out of outer ring:"},
		{"flex", "porthole", func(s *checkScreen) { s.line("Flex test") }, []string{"1"}, []string{"--flex"}, "1", "Take up the unfinished flex test:"},
		{"load", "porthole", func(s *checkScreen) { s.line("Load test") }, []string{"n", "4.9", "enter"}, []string{"--load"}, "4.9", "Take up the unfinished load test:"},
		{"bulb", "buoylamp", func(s *checkScreen) { s.line("Check of the bulb") }, []string{"r"}, []string{"--bulb"}, "0", "Take up the unfinished check of the bulb:"},
		{"count", "porthole", func(s *checkScreen) { s.line("Roll call") }, []string{"r"}, []string{"--count"}, "0", "Take up the unfinished roll call:"},
	} {
		t.Run(row.name, func(t *testing.T) {
			file := onWire(t, row.prop, demos[row.prop])
			s := sit(t, file)
			row.begin(s)
			s.press(row.screen...)
			require.Equal(t, 1, kept(t, file).Answers())
			code, _, errs := command(t, "", append([]string{"check", file}, row.flags...)...)
			assert.Equal(t, 1, code)
			assert.Contains(t, errs, "is being checked already, by process", "while the screen has it")
			s.leave()
			times := 2
			if row.name == "flex" {
				times = 1 // there are three joints
			}
			for n := 1; n <= times; n++ { // begun on the screen, then begun on the command line
				code, _, errs = command(t, row.line+"\n", append([]string{"check", file}, row.flags...)...)
				assert.Equal(t, 1, code)
				assert.Regexp(t, "(Taking up|taken up).* after [12] answers?", errs)
				assert.Contains(t, errs, "what was answered is kept in "+record.UnfinishedBeside(file))
				require.Equal(t, n+1, kept(t, file).Answers(), errs)
			}
			for range 2 { // begun on the command line, then on the screen
				s = sit(t, file)
				s.line(fmt.Sprintf("%s %d answers", row.takeUp, times+1))
				require.Equal(t, times+1, kept(t, file).Answers())
				s.leave()
			}
			code, _, errs = command(t, "x\n", append([]string{"check", file}, row.flags...)...)
			require.Zero(t, code, errs)
			assert.NoFileExists(t, record.UnfinishedBeside(file), "it has ended")
			assert.NoFileExists(t, strings.TrimSuffix(record.UnfinishedBeside(file), ".json")+".lock")
		})
	}
}

// demos are the demo props by the names of their files.
var demos = map[string]*prop.Prop{"porthole": prop.Porthole(), "buoylamp": prop.BuoyLamp()}

// If two unfinished checks of one kind collide, the second start is told so, and the
// first is set aside, not deleted. Those of other parts and tests are unchanged.
func TestNothingUnfinishedIsThrownAway(t *testing.T) {
	file := onWire(t, "porthole", prop.Porthole())
	for _, flags := range [][]string{{"--plain"}, {"--part", "outer ring"}, {"--flex"}} {
		code, _, errs := command(t, "0\n0\n", append([]string{"check", file}, flags...)...)
		assert.Equal(t, 1, code, errs)
	}
	list, err := record.ReadUnfinished(record.UnfinishedBeside(file))
	require.NoError(t, err)
	require.Len(t, list, 3, "each has its place")

	s := sit(t, file)
	s.line("Begin a check-out")
	assert.Contains(t, s.m.View(200, 40), "with 2 answers, is put aside in")
	s.leave()
	_, _, errs := command(t, "x\n", "check", file, "--flex", "--again")
	assert.Contains(t, errs, "with 2 answers, is put aside in")
	aside, err := filepath.Glob(strings.TrimSuffix(file, ".toml") + ".check-*.json")
	require.NoError(t, err)
	assert.Len(t, aside, 2)
	list, err = record.ReadUnfinished(record.UnfinishedBeside(file))
	require.NoError(t, err)
	require.Len(t, list, 1)
	assert.Equal(t, "outer ring", list[0].Run)
}

// Faults repaired on the screen are in the record of the check-out that the command
// line finishes.
func TestMendedFaultsSurviveTheOtherFace(t *testing.T) {
	t.Parallel() // it works long, with files of its own
	file := onWire(t, "porthole", prop.Porthole())
	mended := record.Finding{Kind: "open-joint", Text: "No data reaches pixel 60.", Pixel: 60, Fixed: true}
	code, _, _ := command(t, "1\n", "check", file, "--plain")
	require.Equal(t, 1, code)
	u := kept(t, file)
	u.Mended = []record.Finding{mended}
	require.NoError(t, record.WriteUnfinished(record.UnfinishedBeside(file), []record.UnfinishedCheck{u}))
	code, _, _ = command(t, "1\n", "check", file, "--plain")
	require.Equal(t, 1, code)
	assert.Equal(t, []record.Finding{mended}, kept(t, file).Mended)
	s := sit(t, file)
	s.line("Take up")
	s.press("0")
	assert.Equal(t, []record.Finding{mended}, kept(t, file).Mended)
	s.leave()
	code, _, errs := command(t, "x\n", "check", file, "--plain")
	require.Zero(t, code, errs)
	assert.Contains(t, lastOf(t, file, "Porthole").Findings, mended)
}

// The program says that answers are kept only if they are.
func TestKeptIsTrue(t *testing.T) {
	file := onWire(t, "porthole", prop.Porthole())
	folder := filepath.Join(t.TempDir(), "gone")
	require.NoError(t, os.Mkdir(folder, 0o755))
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	file = filepath.Join(folder, "porthole.toml")
	require.NoError(t, os.WriteFile(file, text, 0o644))
	in, w, err := os.Pipe()
	require.NoError(t, err)
	defer in.Close()
	answered := make(chan struct{})
	go func() {
		defer w.Close()
		<-answered
		w.WriteString("0\n")
	}()
	done := make(chan string)
	go func() {
		_, _, errs := commandFrom(in, "check", file, "--plain")
		done <- errs
	}()
	require.Eventually(t, func() bool {
		_, err := os.Stat(strings.TrimSuffix(record.UnfinishedBeside(file), ".json") + ".lock")
		return err == nil
	}, 20*time.Second, 10*time.Millisecond, "the check-out has begun")
	require.NoError(t, os.Rename(folder, folder+"-away"))
	close(answered)
	errs := <-done
	assert.Contains(t, errs, "what was answered is not on disk")
	assert.NotContains(t, errs, "is kept in")
}
