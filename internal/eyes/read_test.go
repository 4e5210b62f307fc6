package eyes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// A pixel that has lost the colour of nearly all its looks keeps the light of
// the others, where it is no brighter than most pixels; a flash is cut down.
func TestADarkPixelsLightIsNoFlash(t *testing.T) {
	words, err := Table(100)
	require.NoError(t, err)
	s := &Scene{Order: "GRB", Slots: 3, Words: words, Looks: Looks(3, len(words[0]))}
	r := newReader(s)
	r.setMix(mix{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}})
	light := make([]vec, len(s.Looks))
	light[2], light[3] = vec{0.4, 0, 0}, vec{0, 0, 4}
	r.limitBright(light, 0.4)
	require.InDelta(t, 0.4, light[2].most(), 1e-6)
	require.InDelta(t, brightLimit*0.4, light[3].most(), 1e-6)
}

// Where most lights show a word but for some looks, the remedy is another film, not
// other marks.
func TestPicturesWhoseColoursRunTogetherAreNamed(t *testing.T) {
	s := &Scene{Runs: []Run{{Places: make([]Point, 4)}}}
	for left, want := range map[int]RefusalKind{2: NoMap, 3: Smeared} { // of four spots; the fifth is no pixel
		d := &decoder{scene: s}
		d.result.Measures.Spacing = 9
		for i := range 5 {
			spot := Spot{}
			if i < left || i == 4 {
				spot.Reading.Left = 1
			}
			d.result.Spots = append(d.result.Spots, spot)
		}
		require.Equal(t, want, d.mapRefusal([]layout{{agree: 0.94}}).Kind)
		require.Nil(t, d.mapRefusal([]layout{{agree: 0.96}}))
	}
}

// Something bright before the prop, as a post or a hand, is no pixel that is always
// lit: what it hides is unread. One pixel that is always lit is called so.
func TestWhatHidesPixelsIsNotTakenForLight(t *testing.T) {
	s := newStage(3)
	looks, is := s.show()
	markTwo(s.scene, is, 3)
	clear, err := Decode(s.scene, looks)
	require.NoError(t, err)
	require.Nil(t, clear.Refusal)
	middle := clear.Places[len(clear.Places)/3].At.X
	hidden := func(p Place) bool { return math.Abs(p.At.X-middle) < 1.5*s.spacing }
	read := 0
	for _, light := range []uint16{0, 30000} {
		var covered []Picture
		for _, look := range looks {
			p := NewPicture(look.W, look.H)
			copy(p.Pix, look.Pix)
			for i := range p.Pix {
				if math.Abs(float64(i/3%p.W)-middle) < 2*s.spacing {
					p.Pix[i] = light
				}
			}
			covered = append(covered, p)
		}
		got, err := Decode(s.scene, covered)
		require.NoError(t, err)
		if got.Refusal != nil {
			continue
		}
		n := 0
		for i, p := range got.Places {
			if !hidden(clear.Places[i]) {
				continue
			}
			n++
			require.NotEqual(t, Stuck, p.State, "place %d behind light of %d", i+1, light)
			require.NotEqual(t, Read, p.State)
			if light > 0 {
				require.Equal(t, Unread, p.State)
			}
		}
		require.Positive(t, n)
		read++
	}
	require.Positive(t, read, "not all was refused")
}
