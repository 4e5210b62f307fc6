package eyes

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What a camera is aimed by is true to a tenth without marks, and without a
// black look beside it.
func TestAimSeesTheSpacing(t *testing.T) {
	for name, want := range map[string]float64{"03-rings": 28.2, "05-sign": 30.5} {
		s, looks, is := loadScene(t, "testdata/scenes/"+name)
		s.Marks = nil
		for k, look := range s.Looks {
			if look.Kind != All {
				continue
			}
			for _, black := range []Picture{looks[s.blackAt()], NewPicture(looks[k].W, looks[k].H)} {
				spots, m, err := Aim(s, black, looks[k], look)
				require.NoError(t, err)
				require.InEpsilon(t, want, m.Spacing, 0.15, "%s, look %s", name, look.Name())
				seen := 0
				for _, p := range is {
					for _, q := range spots {
						if distance(Point{p.X, p.Y}, q) < 0.4*want {
							seen++
							break
						}
					}
				}
				require.Greater(t, seen, len(is)*8/10, "%s, look %s", name, look.Name())
			}
		}
	}
}
