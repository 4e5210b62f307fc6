package traffic

import (
	"strings"

	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// FarView is who lights the prop.
func (m Model) FarView() screen.FarView {
	if m.prop == nil {
		return screen.FarView{Texts: []string{"No prop yet", "No prop"}}
	}
	long := strings.TrimSuffix(m.lightWords(m.farNames, false), ".")
	short := strings.TrimSuffix(m.lightWords(m.farNames, true), ".")
	return screen.FarView{Texts: []string{long, short, strings.TrimSuffix(m.lightWords(others, true), ".")}}
}

// farNames are the sources by name alone: quotes and addresses are too small to be
// read from afar.
func (m Model) farNames(list []protocol.CID) string {
	if len(list) == 1 {
		if s := m.news.Report.Source(list[0]); s != nil && s.Name != "" {
			return style.Clean(strings.Trim(advice.Quoted(s.Name), "'"))
		}
	}
	return others(list)
}

func others(list []protocol.CID) string {
	if len(list) == 1 {
		return "another"
	}
	return "others"
}
