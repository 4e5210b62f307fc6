package eyes

import (
	"fmt"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestManyStages reads made-up props before a made-up camera, from hard to
// hopeless. What must not happen is a wrong answer called sure; how much is
// read, left unread and refused is printed. RINGOUT_LONG=1 takes 200 stages,
// RINGOUT_STAGES=FIRST-LAST the given ones.
func TestManyStages(t *testing.T) {
	first, last := 1, 4
	if os.Getenv("RINGOUT_LONG") != "" {
		last = 200
	}
	if v := os.Getenv("RINGOUT_STAGES"); v != "" {
		_, err := fmt.Sscanf(v, "%d-%d", &first, &last)
		require.NoError(t, err)
	}
	var sum tally
	refused := map[RefusalKind]int{}
	for seed := first; seed <= last; seed++ {
		t.Run(strconv.Itoa(seed), func(t *testing.T) {
			s := newStage(uint64(seed))
			looks, is := s.show()
			markTwo(s.scene, is, uint64(seed))
			r, err := Decode(s.scene, looks)
			require.NoError(t, err)
			about := fmt.Sprintf("%dx%d, %d pixels, %.1f apart, exposure %.2f, room %.2f, glow %.2f, noise %.1f, jitter %.2f, shake %.1f, JPEG %d, %v",
				s.w, s.h, len(is), s.spacing, s.exposure, s.ambient, s.glow, s.noise, s.jitter, s.shake, s.quality, s.faults)
			if r.Refusal != nil {
				refused[r.Refusal.Kind]++
				t.Logf("REFUSED %s: %+v %s", about, r.Measures, r.Refusal.Text)
				return
			}
			n := count(t, r, is)
			t.Logf("%+v %s: %+v", n, about, r.Measures)
			sum.right, sum.wrong, sum.unread, sum.lost = sum.right+n.right, sum.wrong+n.wrong, sum.unread+n.unread, sum.lost+n.lost
		})
	}
	t.Logf("stages %d to %d: %+v, refused %v", first, last, sum, refused)
	require.Zero(t, sum.wrong)
	require.Zero(t, sum.lost)
}
