package plan

import "example.org/ringout/tui/screen"

// FarView is what the page shown says in large letters.
func (m Model) FarView() screen.FarView {
	switch {
	case m.failed != "":
		return screen.FarView{Texts: []string{"Not a prop yet", "See the page"}}
	case m.plan == nil:
		return screen.FarView{Texts: []string{"Working it out", "Wait"}}
	}
	says := m.pageNow().large(m.plan, level(m.level))
	return screen.FarView{Texts: says.texts, Bad: says.bad}
}
