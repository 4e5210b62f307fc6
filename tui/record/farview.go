package record

import "example.org/ringout/tui/screen"

// FarView is what is typed, or the result of the page shown.
func (m Model) FarView() screen.FarView {
	if m.prop == nil {
		return screen.FarView{Texts: []string{"No prop yet", "No prop"}}
	}
	if m.typing != nil && m.typing.text.String() != "" {
		return screen.FarView{Texts: m.typing.large()[:1]}
	}
	if says := m.page.large(m); len(says.Texts) > 0 {
		return says
	}
	return listPage{}.large(m)
}
