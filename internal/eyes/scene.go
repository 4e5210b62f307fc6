package eyes

import (
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"
)

// The largest scene that is read.
const (
	maxPlaces = 20_000
	maxLooks  = 64
	maxSlots  = 5
)

// A Point is a point of a picture, in camera pixels with y down, or of the plan, in
// metres with y up.
type Point struct{ X, Y float64 }

// A Run is one piece of strip with the places of its pixels on the plan.
type Run struct {
	Name   string
	Places []Point // metres, in data order
}

// A Mark is the point of the picture at which a person marked a planned place.
type Mark struct {
	Place int // from 0 over all runs
	At    Point
}

// A Scene is the data needed to read pictures: the plan, the words and the looks.
type Scene struct {
	Prop  string
	Runs  []Run
	Order string // planned wire order, as GRB
	Slots int    // of a pixel, as the data was written
	Level float64
	Words []Word // a data index each; a place may receive any of them
	Looks []Look
	Marks []Mark
	Empty []bool // places planned without light; nil for none

	// Partial: part of the prop may be outside the picture and is left unread.
	Partial bool
}

// Places is the planned places of all runs in data order.
func (s *Scene) Places() []Point {
	var out []Point
	for _, r := range s.Runs {
		out = append(out, r.Places...)
	}
	return out
}

// sceneFile is a scene as written in scene.json. Marks count places from 1.
type sceneFile struct {
	Prop  string     `json:"prop"`
	Runs  []runFile  `json:"runs"`
	Order string     `json:"wire_order"`
	Slots int        `json:"slots_per_pixel"`
	Level float64    `json:"level"`
	Looks []lookFile `json:"looks"`
	Code  []codeWord `json:"code"`
	Note  string     `json:"code_note,omitempty"`
	Marks []markFile `json:"marks,omitempty"`
	Empty []int      `json:"empty_places,omitempty"`
}

type runFile struct {
	Name   string       `json:"name"`
	Pixels int          `json:"pixels"`
	Places [][2]float64 `json:"places_m"`
}

type lookFile struct {
	File string `json:"file"`
	Name string `json:"name"`
	Clip string `json:"frames,omitempty"`
}

type markFile struct {
	Place int     `json:"place"`
	X     float64 `json:"x"`
	Y     float64 `json:"y"`
}

// A codeWord is written as a list of numbers; JSON would write a Word as base64.
type codeWord []int

// ParseScene reads a scene.json. It ignores unknown fields. Errors are one sentence.
func ParseScene(data []byte) (*Scene, error) {
	var f sceneFile
	if err := json.Unmarshal(data, &f); err != nil {
		return nil, fmt.Errorf("scene.json cannot be read: %w", err)
	}
	s := &Scene{Prop: f.Prop, Order: strings.ToUpper(f.Order), Slots: f.Slots, Level: f.Level}
	for _, step := range []func(*sceneFile) error{s.takeRuns, s.takeWords, s.takeLooks, s.takeMarks, s.takeEmpty} {
		if err := step(&f); err != nil {
			return nil, fmt.Errorf("scene.json: %w", err)
		}
	}
	return s, nil
}

func (s *Scene) takeRuns(f *sceneFile) error {
	places := 0
	for i, r := range f.Runs {
		if r.Pixels != len(r.Places) {
			return fmt.Errorf("run %d (%q) has %d pixels but %d places; give one place a pixel", i+1, r.Name, r.Pixels, len(r.Places))
		}
		run := Run{Name: r.Name}
		for _, p := range r.Places {
			if !isPlain(p[0]) || !isPlain(p[1]) {
				return fmt.Errorf("run %d (%q) has a place at %g, %g; give metres", i+1, r.Name, p[0], p[1])
			}
			run.Places = append(run.Places, Point{p[0], p[1]})
		}
		if places += r.Pixels; places > maxPlaces {
			return fmt.Errorf("more than %d places; check the prop in parts", maxPlaces)
		}
		s.Runs = append(s.Runs, run)
	}
	if places == 0 {
		return fmt.Errorf("no run has a place; give runs with places_m")
	}
	return nil
}

// isPlain reports whether a number is a possible coordinate.
func isPlain(v float64) bool { return math.Abs(v) < 1e6 }

func (s *Scene) takeWords(f *sceneFile) error {
	switch {
	case s.Slots < 1 || s.Slots > maxSlots:
		return fmt.Errorf("slots_per_pixel is %d; give 1 to %d", s.Slots, maxSlots)
	case len(f.Code) == 0:
		return fmt.Errorf("code is missing; give one word a pixel of the data")
	case len(f.Code) > maxPlaces:
		return fmt.Errorf("code has more than %d words", maxPlaces)
	}
	for i, w := range f.Code {
		if len(w) != len(f.Code[0]) || len(w) == 0 || len(w) > maxLooks {
			return fmt.Errorf("word %d of code has %d looks, the first has %d; give all the same number, 1 to %d", i+1, len(w), len(f.Code[0]), maxLooks)
		}
		word := make(Word, len(w))
		for k, c := range w {
			if c < 0 || c >= s.Slots {
				return fmt.Errorf("word %d of code has slot %d in look %d; a pixel has slots 0 to %d", i+1, c, k, s.Slots-1)
			}
			word[k] = uint8(c)
		}
		s.Words = append(s.Words, word)
	}
	return nil
}

func (s *Scene) takeLooks(f *sceneFile) error {
	if len(f.Looks) > maxLooks {
		return fmt.Errorf("more than %d looks", maxLooks)
	}
	seen := map[string]bool{}
	for _, l := range f.Looks {
		look, err := s.lookNamed(l.Name)
		switch {
		case err != nil:
			return err
		case seen[l.Name]:
			return fmt.Errorf("look %q is listed twice", l.Name)
		case !liesBeside(l.File):
			return fmt.Errorf("look %q has the file %q; give the name of a picture that lies beside scene.json", l.Name, l.File)
		case l.Clip != "" && !liesBeside(l.Clip):
			return fmt.Errorf("look %q has the frames %q; give the name of a picture that lies beside scene.json", l.Name, l.Clip)
		}
		look.File, look.Clip = l.File, l.Clip
		seen[l.Name] = true
		s.Looks = append(s.Looks, look)
	}
	return s.checkLooks(seen)
}

// liesBeside reports whether a name has no folder in it.
func liesBeside(name string) bool {
	return name != "" && name == filepath.Base(name) && !strings.ContainsAny(name, `/\:`)
}

// checkLooks refuses a scene without the black look or a code look.
func (s *Scene) checkLooks(seen map[string]bool) error {
	if !seen["black"] {
		return fmt.Errorf("the look \"black\" is missing; room light cannot be taken off without it")
	}
	code := 0
	for k := range s.Words[0] {
		if seen[Look{Kind: Code, Index: k}.Name()] {
			code++
		}
	}
	if code < len(s.Words[0]) {
		return fmt.Errorf("%d of %d code looks are listed; the words cannot be told apart without the others", code, len(s.Words[0]))
	}
	return nil
}

func (s *Scene) lookNamed(name string) (Look, error) {
	switch {
	case name == "black":
		return Look{Kind: Black}, nil
	case name == "full":
		return Look{Kind: Full}, nil
	}
	for _, k := range []struct {
		prefix string
		kind   LookKind
		count  int
	}{{"all", All, s.Slots}, {"code", Code, len(s.Words[0])}} {
		rest, found := strings.CutPrefix(name, k.prefix)
		if n, err := strconv.Atoi(rest); found && err == nil && n >= 0 && n < k.count && strconv.Itoa(n) == rest {
			return Look{Kind: k.kind, Index: n}, nil
		}
	}
	return Look{}, fmt.Errorf("look %q is not one of black, full, all0 to all%d, code0 to code%d", name, s.Slots-1, len(s.Words[0])-1)
}

func (s *Scene) takeMarks(f *sceneFile) error {
	total := len(s.Places())
	for _, m := range f.Marks {
		if m.Place < 1 || m.Place > total {
			return fmt.Errorf("a mark is for place %d; the plan has 1 to %d", m.Place, total)
		}
		if !isPlain(m.X) || !isPlain(m.Y) {
			return fmt.Errorf("the mark of place %d lies at %g, %g; give camera pixels", m.Place, m.X, m.Y)
		}
		s.Marks = append(s.Marks, Mark{Place: m.Place - 1, At: Point{m.X, m.Y}})
	}
	return nil
}

func (s *Scene) takeEmpty(f *sceneFile) error {
	for _, n := range f.Empty {
		if n < 1 || n > len(s.Places()) {
			return fmt.Errorf("empty place %d; the plan has 1 to %d", n, len(s.Places()))
		}
		if s.Empty == nil {
			s.Empty = make([]bool, len(s.Places()))
		}
		s.Empty[n-1] = true
	}
	return nil
}

// MarshalScene writes a scene as ParseScene reads it.
func MarshalScene(s *Scene) ([]byte, error) {
	f := sceneFile{Prop: s.Prop, Order: s.Order, Slots: s.Slots, Level: s.Level,
		Note: "code[i][k]: the slot of its own, from 0, that data index i+1 lights in look code<k>; all<c>: slot c of every pixel"}
	for _, r := range s.Runs {
		run := runFile{Name: r.Name, Pixels: len(r.Places)}
		for _, p := range r.Places {
			run.Places = append(run.Places, [2]float64{p.X, p.Y})
		}
		f.Runs = append(f.Runs, run)
	}
	for _, l := range s.Looks {
		f.Looks = append(f.Looks, lookFile{File: l.File, Name: l.Name(), Clip: l.Clip})
	}
	for _, w := range s.Words {
		word := make(codeWord, len(w))
		for k, c := range w {
			word[k] = int(c)
		}
		f.Code = append(f.Code, word)
	}
	for _, m := range s.Marks {
		f.Marks = append(f.Marks, markFile{Place: m.Place + 1, X: m.At.X, Y: m.At.Y})
	}
	for i, empty := range s.Empty {
		if empty {
			f.Empty = append(f.Empty, i+1)
		}
	}
	return json.MarshalIndent(f, "", " ")
}
