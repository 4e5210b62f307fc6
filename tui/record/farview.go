package record

import "example.org/ringout/tui/screen"

// FarView is what is typed, or the result of the page shown.
func (m Model) FarView() screen.FarView {
	if m.prop == nil {
		return screen.FarView{Texts: []string{"No prop yet", "No prop"}}
	}
	if texts := m.page.large(m); len(texts) > 0 {
		return screen.FarView{Texts: texts}
	}
	return screen.FarView{Texts: listPage{}.large(m)}
}
