package check

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// A kept is an unfinished check-out as it lies on disk.
type kept = record.Unfinished

// partOf is the part checked alone, -1 for the whole prop.
func partOf(k kept, p *prop.Prop) int {
	if !k.Alone {
		return -1
	}
	for part := range len(p.Runs) + len(p.Sections()) {
		if inPlace(p, part) == k.InPlace && partName(p, part) == style.Clean(k.Run) {
			return part
		}
	}
	return -1
}

// keptMsg is what was found on disk when a prop was connected.
type keptMsg struct {
	path string // where it lies
	kept kept
	err  error
}

// savedMsg says that an unfinished check-out could not be kept.
type savedMsg struct{ err error }

// keeper writes unfinished check-outs. Commands run side by side, so an older
// one may come late: it is then dropped.
type keeper struct {
	mu     sync.Mutex
	newest int
}

func (k *keeper) save(job int, path string, u record.Unfinished) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	if job < k.newest {
		return nil
	}
	k.newest = job
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return record.WriteUnfinished(path, u)
}

// drop removes what was kept up to a job.
func (k *keeper) drop(job int, path string) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if job >= k.newest {
		k.newest = job + 1
		os.Remove(path)
	}
}

// keepPath is where the unfinished check-out of the prop lies: beside its file,
// or in the settings folder; empty when there is no place.
func (m Model) keepPath() string {
	switch {
	case m.prop == nil:
		return ""
	case m.path != "":
		return record.UnfinishedBeside(m.path)
	case m.opt.Folder != "" && !m.demo:
		return filepath.Join(m.opt.Folder, fileName(m.prop.Name)+".check.json")
	}
	return ""
}

// fileName is a name in letters, digits and dashes.
func fileName(name string) string {
	clean := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, name)
	if clean = strings.Trim(clean, "-"); clean == "" {
		return "strip"
	}
	return clean
}

// keep writes the check-out as it stands, after each answer.
func (m Model) keep() tea.Cmd {
	path := m.keepPath()
	if path == "" || len(m.st.asked) == 0 {
		return nil
	}
	k := m.unfinished()
	keeper, job := m.keeper, m.job
	return func() tea.Msg {
		return savedMsg{keeper.save(job, path, k)}
	}
}

// unfinished is the check-out as it stands.
func (m Model) unfinished() kept {
	k := kept{Log: m.st.log, At: m.opt.Now(), Mended: m.mended}
	if m.part >= 0 {
		k.Run, k.Alone, k.InPlace = partName(m.prop, m.part), true, inPlace(m.prop, m.part)
	}
	return k
}

// setAside lays a check-out under way aside before something else begins, so
// that it can be taken up again.
func (m Model) setAside() Model {
	if m.under() && !m.st.over() && len(m.st.asked) > 0 {
		m.kept = m.unfinished()
	}
	return m
}

// beside makes room for a test of the whole prop: a check-out under way can be
// taken up again later, and what one of the whole prop has found stays to be
// seen.
func (m Model) beside() Model {
	stays := m.under() && m.st.over() && m.part == whole
	m = m.setAside().choose(whole)
	if !stays {
		m.st, m.past = state{}, nil
	}
	return m
}

// lookForKept reads what is kept of the prop that was connected.
func (m Model) lookForKept() tea.Cmd {
	path := m.keepPath()
	if path == "" {
		return nil
	}
	return func() tea.Msg {
		msg := keptMsg{path: path}
		msg.kept, _, msg.err = record.ReadUnfinished(path)
		if msg.err != nil {
			msg.err = fmt.Errorf("%w; a new one begun here is written over it", msg.err)
		}
		return msg
	}
}

// withText reads the prop file before the check-out begins, for the record.
func withText(cmd tea.Cmd, path string) tea.Cmd {
	if path == "" {
		return cmd
	}
	return func() tea.Msg {
		text, err := os.ReadFile(path)
		msg := cmd()
		if st, ok := msg.(stateMsg); ok && err == nil {
			st.text = string(text)
			return st
		}
		return msg
	}
}

// ready takes another prop.
func (m Model) ready(msg screen.ReadyMsg) (Model, tea.Cmd) {
	m.prop, m.out, m.demo, m.path = msg.Prop, msg.Out, msg.Demo, msg.Path
	again, mended, part := m.again, m.mended, m.part
	m.again, m.onBench, m.meter = false, whole, meter{}
	m.snap, m.any, m.page, m.at, m.st, m.busy = screen.SnapshotMsg{}, false, startPage, 0, state{}, false
	m.job++ // what the engine still thinks about belongs to the old prop
	m.news, m.past = traffic.News{}, nil
	m.kept, m.mended, m.text, m.entering, m.lift, m.dark = kept{}, nil, "", nil, 0, false
	m.look.Light = nil
	m.rec.done, m.rec.why = "", ""
	m = m.choose(-1).fresh()
	m.send()
	if !again {
		return m, m.lookForKept()
	}
	m, cmd := m.begin(part)
	m.mended = mended
	return m, cmd
}
