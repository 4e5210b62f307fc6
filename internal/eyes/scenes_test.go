package eyes

import (
	"bytes"
	"encoding/json"
	"image"
	_ "image/jpeg"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// A truth is what a place of a scene really is.
type truth struct {
	Place int
	X, Y  float64
	Slot  *int // that arrives first, nil for none
	State string
}

func loadScene(t testing.TB, dir string) (*Scene, []Picture, []truth) {
	read := func(name string) []byte {
		b, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		return b
	}
	s, err := ParseScene(read("scene.json"))
	require.NoError(t, err)
	var looks []Picture
	for _, l := range s.Looks {
		img, _, err := image.Decode(bytes.NewReader(read(l.File)))
		require.NoError(t, err)
		looks = append(looks, FromImage(img))
	}
	var is struct{ Pixels []truth }
	require.NoError(t, json.Unmarshal(read("truth.json"), &is))
	return s, looks, is.Pixels
}

// markTwo marks place 1 and the place furthest from it as a person would:
// beside the truth by up to a quarter of a spacing.
func markTwo(s *Scene, is []truth, seed uint64) {
	places := s.Places()
	far := 0
	for i, p := range places {
		if distance(p, places[0]) > distance(places[far], places[0]) {
			far = i
		}
	}
	d := distance(Point{is[0].X, is[0].Y}, Point{is[1].X, is[1].Y})
	r := rand.New(rand.NewPCG(seed, 1))
	s.Marks = nil
	for _, i := range []int{0, far} {
		slip := Point{(r.Float64() - 0.5) * d / 2, (r.Float64() - 0.5) * d / 2}
		s.Marks = append(s.Marks, Mark{i, Point{is[i].X, is[i].Y}.plus(slip)})
	}
}

// A tally is how places were read against the truth.
type tally struct{ right, wrong, unread, lost int }

// count compares. A place whose pixel is dark or does as it likes has no
// slot: any slot read there is wrong, and unread is right.
func count(t testing.TB, r *Result, is []truth) (n tally) {
	require.Len(t, r.Places, len(is))
	for i, p := range is {
		got := r.Places[i]
		switch {
		case got.State == Read && p.Slot != nil && *p.Slot == got.Reading.Slot, got.State != Read && p.Slot == nil:
			n.right++
		case got.State == Read:
			n.wrong++
			t.Logf("place %d is %v %s, read as %+v", p.Place, p.Slot, p.State, got.Reading)
		case got.State == Dark:
			n.lost++ // light called dark: wrong and sure as well
			t.Logf("place %d is %s, called dark", p.Place, p.State)
		default:
			n.unread++
		}
	}
	return n
}

// sceneDirs are the folders of the scenes in testdata, or in the folder that
// RINGOUT_SCENES names.
func sceneDirs(t *testing.T) []string {
	t.Helper()
	dir := "testdata/scenes"
	if other := os.Getenv("RINGOUT_SCENES"); other != "" {
		dir = other
	}
	dirs, err := filepath.Glob(filepath.Join(dir, "*"))
	require.NoError(t, err)
	require.NotEmpty(t, dirs)
	return dirs
}

// TestRayTracedScenes reads every scene in testdata, or in the folder that
// RINGOUT_SCENES names.
func TestRayTracedScenes(t *testing.T) {
	for _, d := range sceneDirs(t) {
		t.Run(filepath.Base(d), func(t *testing.T) {
			s, looks, is := loadScene(t, d)
			markTwo(s, is, 1)
			r, err := Decode(s, looks)
			require.NoError(t, err)
			if r.Refusal != nil {
				t.Logf("%+v refused: %s", r.Measures, r.Refusal.Text)
				require.Contains(t, []string{"07-rings", "10-line"}, filepath.Base(d), "this one can be read")
				return
			}
			n := count(t, r, is)
			t.Logf("%+v: %+v", r.Measures, n)
			require.Zero(t, n.wrong)
			require.Zero(t, n.lost)
			if filepath.Base(d) != "08-star" { // its pixels flicker
				require.GreaterOrEqual(t, n.right, len(is)*98/100)
			}
			require.GreaterOrEqual(t, n.right, len(is)*9/10)
		})
	}
}

// Without marks spots are read, but nothing is laid on the plan.
func TestWithoutMarksNothingIsMapped(t *testing.T) {
	s, looks, is := loadScene(t, "testdata/scenes/02-star")
	r, err := Decode(s, looks)
	require.NoError(t, err)
	require.NotNil(t, r.Refusal)
	require.Equal(t, NoMarks, r.Refusal.Kind)
	require.Empty(t, r.Places)
	sure := 0
	for _, spot := range r.Spots {
		if !spot.Reading.Sure {
			continue
		}
		sure++
		for _, p := range is {
			if distance(spot.At, Point{p.X, p.Y}) < 4 {
				require.Equal(t, *p.Slot, spot.Reading.Slot)
			}
		}
	}
	require.Greater(t, sure, 100)
}

// A mark that is a place off must not move the map by a place.
func TestAMarkOnTheNeighbourIsNoticed(t *testing.T) {
	s, looks, is := loadScene(t, "testdata/scenes/03-rings")
	markTwo(s, is, 1)
	s.Marks[0].At = Point{is[1].X, is[1].Y}
	r, err := Decode(s, looks)
	require.NoError(t, err)
	if r.Refusal == nil {
		require.Zero(t, count(t, r, is).wrong)
	}
}

// markAt marks places as a person would, beside the truth by up to a quarter of
// a spacing.
func markAt(s *Scene, is []truth, seed uint64, places ...int) {
	d := distance(Point{is[0].X, is[0].Y}, Point{is[1].X, is[1].Y})
	r := rand.New(rand.NewPCG(seed, 4))
	s.Marks = nil
	for _, i := range places {
		slip := Point{(r.Float64() - 0.5) * d / 2, (r.Float64() - 0.5) * d / 2}
		s.Marks = append(s.Marks, Mark{i, Point{is[i].X, is[i].Y}.plus(slip)})
	}
}

// Two marks on one of several parallel rows leave open how far the others are
// shifted; one more at each end of another row settles it.
func TestFourMarksSettleParallelRows(t *testing.T) {
	for seed, ends := range map[uint64][4]int{316: {0, 31, 32, 52}} {
		st := newStage(seed)
		looks, is := st.show()
		markTwo(st.scene, is, seed)
		r, err := Decode(st.scene, looks)
		require.NoError(t, err)
		require.NotNil(t, r.Refusal, "stage %d", seed)
		require.ErrorContains(t, r.Refusal, "two more places")
		for try := range uint64(1) {
			markAt(st.scene, is, try, ends[:]...)
			r, err = Decode(st.scene, looks)
			require.NoError(t, err)
			require.Nil(t, r.Refusal, "stage %d: %v", seed, r.Refusal)
			n := count(t, r, is)
			require.Zero(t, n.wrong+n.lost)
			require.Equal(t, len(is), n.right+n.unread)
			require.GreaterOrEqual(t, n.right, len(is)*95/100)
		}
	}
}
