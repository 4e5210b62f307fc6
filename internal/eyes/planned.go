package eyes

import (
	"fmt"

	"example.org/ringout/internal/prop"
)

// SceneOf is the scene that proves a prop: its places, its words and the looks
// to show.
func SceneOf(p *prop.Prop) (*Scene, error) {
	slots := p.Chip.Order.Slots()
	if slots > 4 {
		return nil, fmt.Errorf("pixels of %d slots cannot be told apart by a camera, which sees three colours: use the bulb's own test", slots)
	}
	if p.Pixels() == 1 {
		return nil, fmt.Errorf("a prop of one pixel has no neighbours by which a camera could place it: use the bulb's own test")
	}
	words, err := Table(p.Pixels())
	if err != nil {
		return nil, err
	}
	s := &Scene{Prop: p.Name, Order: string(p.Chip.Order), Slots: slots, Words: words, Looks: Looks(slots, len(words[0]))}
	for i, row := range prop.Layout(p) {
		r := Run{Name: p.Runs[i].Name}
		for _, pt := range row {
			r.Places = append(r.Places, Point{pt.X, pt.Y})
		}
		s.Runs = append(s.Runs, r)
	}
	if on, lit := p.Lights(); lit < len(on) {
		s.Empty = make([]bool, len(on))
		for i, l := range on {
			s.Empty[i] = !l
		}
	}
	return s, nil
}
