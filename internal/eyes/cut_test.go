package eyes

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// film makes glances of a sequence: four cells that change with every look
// among many that do not. from is when the black before it begins.
func film(looks int, from, end time.Duration, change func(at time.Duration, light []float32)) []Glance {
	var out []Glance
	for at := time.Duration(0); at < end; at += 50 * time.Millisecond {
		light := make([]float32, 400)
		for i := range light {
			light[i] = 1000 + float32((i*7919+int(at/time.Millisecond)*31)%17)
		}
		k := int((at - from - EdgeHold) / Hold)
		if at >= from+EdgeHold && k < looks-1 {
			for i := range 8 {
				light[50*i] += float32(20000 + 9000*((k+i)%3))
			}
		} else if at < from {
			for i := range 8 {
				light[50*i] += 30000 // what the prop showed before
			}
		}
		if change != nil {
			change(at, light)
		}
		out = append(out, Glance{At: at, Light: light})
	}
	return out
}

func TestTheSequenceIsFoundInAFilm(t *testing.T) {
	for _, from := range []time.Duration{0, 700 * time.Millisecond, 5 * time.Second} {
		cut, err := Find(film(14, from, from+16*time.Second, nil), 14)
		require.NoError(t, err, from)
		require.Empty(t, cut.Disturbed)
		windows := cut.Windows
		require.Len(t, windows, 14)
		require.Less(t, windows[0].To, from+EdgeHold)
		require.Greater(t, windows[0].From, from)
		for k := 1; k < 14; k++ {
			look := from + EdgeHold + time.Duration(k-1)*Hold
			require.Greater(t, windows[k].From, look, "look %d", k)
			require.Less(t, windows[k].To, look+Hold, "look %d", k)
			require.Greater(t, windows[k].To-windows[k].From, Hold/3)
		}
	}
}

func TestAFilmThatCannotBeReadIsRefused(t *testing.T) {
	says := func(film []Glance, looks int, text string) {
		t.Helper()
		cut, err := Find(film, looks)
		if len(cut.Disturbed) > 0 {
			err = cut.Disturbed[0].Refusal()
		}
		require.ErrorContains(t, err, text)
	}
	says(nil, 14, "no pictures")
	says(film(14, 0, 8*time.Second, nil), 14, "the film ends")
	says(film(14, 0, 16*time.Second, nil), 20, "does not show the sequence")
	says(film(14, 0, 16*time.Second, nil)[40:], 14, "does not show the sequence")
	says(film(14, 0, 16*time.Second, func(at time.Duration, light []float32) {
		if at > 5*time.Second && at < 5200*time.Millisecond { // a person walks through
			for i := range light {
				light[i] *= 0.55
			}
		}
	}), 14, "something moved")
}

func TestAMeanIsTheMean(t *testing.T) {
	var m Mean
	for _, v := range []uint16{100, 200, 65535} {
		p := NewPicture(2, 1)
		for i := range p.Pix {
			p.Pix[i] = v
		}
		m.Add(p)
	}
	m.Add(NewPicture(3, 3)) // another size is left out
	require.Equal(t, uint16((100+200+65535+1)/3), m.Picture().Pix[5])
	require.Empty(t, (&Mean{}).Picture().Pix)
}
