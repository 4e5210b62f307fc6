package check

import (
	"context"
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/underway"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// provable reports whether a camera can prove the prop: a simulated prop gives no light,
// and pixels of five slots cannot be told apart.
func provable(m Model) bool {
	return !m.bench.demo && m.bench.prop.Chip.Order.Slots() <= 4 && m.bench.prop.Pixels() > 1
}

// sourcePage is the choice of a camera, a stream or a film.
type sourcePage struct {
	basePage
	list    choice
	cameras []camera.Camera
	known   bool   // the list of cameras has arrived
	keep    string // the folder for the pictures, "" for none
}

// camerasMsg are the cameras of this machine.
type camerasMsg struct{ all []camera.Camera }

func chooseCamera(m Model) (Model, tea.Cmd) {
	ask := m.cameras
	return m.open(sourcePage{}), func() tea.Msg {
		all, _ := ask(context.Background()) // after an error the list is empty
		return camerasMsg{all}
	}
}

func (p sourcePage) found(m Model, cameras []camera.Camera) Model {
	p.cameras, p.known = cameras, true
	m.page = p
	return m
}

// texts are the items of the page: the cameras, then a stream, then a film.
func (p sourcePage) texts() []string {
	var out []string
	for _, c := range p.cameras {
		name := "Camera " + c.Use
		if c.Title != "" {
			name += ": " + c.Title
		}
		out = append(out, style.Clean(name))
	}
	keep := "Store the pictures too, to send them if it does not work"
	if p.keep != "" {
		keep = "The pictures will be stored in " + style.Clean(p.keep) + ": choose another folder"
	}
	return append(out, "A phone's stream: type its address", "A film of the sequence, or a kept folder: type its name", keep)
}

func (p sourcePage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	if at, ok := p.list.moved(m, k, len(p.texts())); ok {
		p.list = at
		m.page = p
		return m, nil, true
	}
	i, note, ok := p.list.picked(m, k, len(p.texts()))
	if m.note = note; !ok || i == none {
		return m, nil, ok
	}
	m, cmd := p.take(m, i)
	return m, cmd, true
}

func (p sourcePage) take(m Model, i int) (Model, tea.Cmd) {
	open := func(m Model, text string) (Model, tea.Cmd) { return m.openEye(text, p.keep, nil) }
	switch i - len(p.cameras) {
	case 0:
		return m.ask("The address that the phone shows", pathLine, "http://", open), nil
	case 1:
		return m.ask("The film's file, or the folder in which pictures were kept", pathLine, "", open), nil
	case 2:
		return m.ask("A new folder for the pictures", pathLine, p.keep, func(m Model, text string) (Model, tea.Cmd) {
			p.keep = text
			m.page = p
			return m, nil
		}), nil
	}
	if i < 0 || i >= len(p.cameras) {
		return m, nil
	}
	return m.openEye(p.cameras[i].Use, p.keep, nil)
}

func (p sourcePage) help(m Model) []key.Binding {
	return append(m.keys.choosing(len(p.texts())), screen.Hint(m.keys.Leave, "esc", "start"))
}

func (p sourcePage) lines(m Model, width, height int) ([]string, []zone) {
	command := m.style.Strong.Render("ringout\u00a0check\u00a0FILE\u00a0--sequence") // on one line
	t := chooser{title: "Which camera?", chosen: p.list,
		above: "The prop shows a sequence of looks for about 15 seconds. A camera that does not move reads what arrives at every pixel.",
		below: "The camera is opened when you choose it, and its light may come on. Pictures are stored only if you choose that, and none leaves this machine. To film with a phone, run " + command + "."}
	if p.keep != "" {
		t.below = strings.Replace(t.below, " Pictures are stored only if you choose that, and stay here.", " Pictures stay here.", 1)
		t.below = strings.Replace(t.below, "Pictures are stored only if you choose that, and none leaves", "No picture leaves", 1)
	}
	texts := p.texts()
	if height < lowPage || width < narrow { // what happens and the large words have room then
		n := len(p.cameras)
		t.above = ""
		t.below = "The prop shows looks for about 15 seconds. The camera's light may come on. Pictures are stored only if you choose that, and stay here. With a phone: " + command + "."
		texts[n+1] = "A film or a kept folder: type its name"
		if p.keep == "" {
			texts[n+2] = "Store the pictures too, to send them"
		}
	}
	far := append(p.cameraNames(), "Phone", "Film", "Store pictures")
	for i, l := range texts {
		t.items = append(t.items, item{digit: i + 1, text: l, far: far[i]})
	}
	if p.known && len(p.cameras) == 0 {
		t.above += " This machine has no camera that can be seen."
	}
	return underSteps(m, width, height, t.besideProp)
}

// underSteps is a page below the row of steps, none of them begun, if there is room for
// both.
func underSteps(m Model, width, height int, page func(m Model, width, height int) ([]string, []zone)) ([]string, []zone) {
	if height < lowPage {
		return page(m, width, height)
	}
	lines, zones := page(m, width, height-2)
	return append([]string{proofState{}.head(m, 0, width), ""}, lines...), down(zones, 2)
}

// cameraNames are short names of the cameras, to be drawn large.
func (p sourcePage) cameraNames() (out []string) {
	for i := range p.cameras {
		name := "Camera"
		if len(p.cameras) > 1 {
			name = fmt.Sprintf("Camera %d", i+1)
		}
		out = append(out, name)
	}
	return out
}

// openingPage is shown while a camera is opened or a film is read.
type openingPage struct{ proofBase }

func (p openingPage) with(s proofState) page { p.proofState = s; return p }
func (p openingPage) byCamera() proofPage    { return p }

func (p openingPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) { return m, nil, false }

func (p openingPage) help(m Model) []key.Binding {
	return []key.Binding{screen.Hint(m.keys.Leave, "esc", "stop")}
}

func (p openingPage) lines(m Model, width, height int) ([]string, []zone) {
	t := chooser{title: "Opening the camera " + style.Clean(p.rig.name), above: "Its light may come on.", below: "esc stops it."}
	if p.rig.reads {
		t.title, t.above = "Reading "+style.Clean(p.rig.name), "It takes some seconds. No camera is opened."
	}
	return underSteps(m, width, height, t.lines)
}

// lostPage says why the camera cannot prove the prop; it leads back to the questions.
type lostPage struct {
	basePage
	list choice
	why  string
	name string // of the camera
	keep string // the folder for the pictures
}

func (p lostPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	if at, ok := p.list.moved(m, k, 3); ok {
		p.list = at
		m.page = p
		return m, nil, true
	}
	i, note, ok := p.list.picked(m, k, 3)
	if m.note = note; !ok || i == none {
		return m, nil, ok
	}
	m, cmd := p.take(m, i)
	return m, cmd, true
}

func (p lostPage) take(m Model, i int) (Model, tea.Cmd) {
	switch i {
	case 0:
		return m.restart(underway.Part{})
	case 1:
		if p.name != "" {
			return m.openEye(p.name, p.keep, nil)
		}
		return chooseCamera(m)
	case 2:
		return chooseCamera(m)
	}
	return m, nil
}

func (p lostPage) help(m Model) []key.Binding {
	return append(m.keys.choosing(3), screen.Hint(m.keys.Leave, "esc", "start"))
}

func (p lostPage) lines(m Model, width, height int) ([]string, []zone) {
	t := chooser{title: "This camera cannot check the prop now", bad: true, chosen: p.list, above: p.why,
		items: []item{{digit: 1, text: "Check by eye: the prop shows a look, you answer", far: "By eye"}, {digit: 2, text: "Try this camera again", far: "Try again"},
			{digit: 3, text: "Choose another camera", far: "Other camera"}}}
	return underSteps(m, width, height, t.besideProp)
}

func (p lostPage) farView(Model) screen.FarView {
	return screen.FarView{Texts: []string{"The camera cannot", "See the page"}, Bad: true}
}
