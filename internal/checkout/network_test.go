package checkout

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// A prop that is not there gets no verdict: the check-out ends with the reason,
// and goes on when the prop is there again.
func TestNoVerdictOnAPropThatIsNotThere(t *testing.T) {
	p := prop.Porthole()
	rows := []struct {
		name, source string
		links        []Link
		says         string
	}{
		{"refused", "RFC 792, type 3 code 3: nothing listens on the port",
			[]Link{{Refused: true, Says: "127.0.0.1 refuses"}}, "The prop is not there"},
		{"no way", "common practice",
			[]Link{{OK: true}, {Says: "no such host"}}, "No packet reaches"},
		{"silence proves nothing", "common practice", []Link{{OK: true}}, ""},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			s := begun(t, p, 3)
			next, _ := s.Next()
			s.SetNetwork(NetworkOf(r.links))
			if r.says == "" {
				assert.False(t, s.Done(), r.source)
				return
			}
			assert.True(t, s.Done(), r.source)
			assert.Contains(t, s.Stopped(), r.says)
			f := s.Findings()
			require.Len(t, f, 1)
			assert.True(t, f[0].Absent)
			assert.False(t, f[0].Good)
			assert.False(t, f[0].Sure.Firm())
			assert.Equal(t, s.Stopped(), f[0].Title)
			assert.NotEmpty(t, f[0].Causes[0].Remedy)
			assert.Error(t, s.Answer(1))

			again, err := Restore(p, Options{}, s.Log())
			require.NoError(t, err)
			assert.False(t, again.Done(), "the prop may be there by now")

			s.SetNetwork(Network{})
			resumed, ok := s.Next()
			require.True(t, ok, "it goes on where it was")
			assert.Equal(t, next.Spec, resumed.Spec)
		})
	}
}

func TestRivalIsNamedWhenItFlickers(t *testing.T) {
	p := prop.Porthole()
	st, err := strip.New(p, strip.Fault{Kind: strip.Flicker, Pixel: 30})
	require.NoError(t, err)
	s, err := New(p, Options{})
	require.NoError(t, err)
	s.SetNetwork(Network{Rival: "porch"})
	finish(t, s, st)
	f := s.Findings()[0]
	assert.Contains(t, f.Causes[0].Text, `Another source, "porch"`)
	assert.Contains(t, f.Causes[1].Text, "flickers from pixel 31")
}

// What another source sends to the prop alone is not heard here. Where the light may be its own, black
// or of one colour whatever is sent, it is among the causes, after those that take no solder and never
// first: so of a dark prop, of a lit place on a prop without data, and of a bulb of one colour.
func TestASourceThatIsNotHeardIsAmongTheCauses(t *testing.T) {
	for _, row := range []struct {
		p      *prop.Prop
		faults string
		rival  string
		at     int // of the cause; -1 for none
	}{
		{prop.Porthole(), "no-supply", "", 2},
		{prop.Porthole(), "no-supply", "Pier", 2},
		{prop.Porthole(), "wrong-address by 1, stuck-channel pixel 1 colour red", "", 1},
		{prop.BuoyLamp(), "no-supply", "", 3},
		{prop.BuoyLamp(), "stuck-channel pixel 1 colour red", "", 1},
		{prop.BuoyLamp(), "stuck-on pixel 1", "", 1},
		{prop.Porthole(), "stuck-channel pixel 1 colour red", "", -1},
		{prop.Porthole(), "open-joint pixel 60", "", -1},
		{prop.BuoyLamp(), "dead-channel pixel 1 colour red", "", -1},
	} {
		faults, err := strip.ParseFaults(row.faults, row.p)
		require.NoError(t, err)
		st, err := strip.New(row.p, faults...)
		require.NoError(t, err)
		s, err := New(row.p, Options{})
		require.NoError(t, err)
		s.SetNetwork(Network{Rival: row.rival})
		finish(t, s, st)
		causes := s.Findings()[0].Causes
		at := slices.IndexFunc(causes, func(c Cause) bool { return len(c.Faults) == 0 })
		require.Equal(t, row.at, at, "%s, %s", row.p.Name, row.faults)
		if at >= 0 {
			assert.Equal(t, row.rival == "", strings.Contains(causes[at].Text, "not heard here"), causes[at].Text)
			assert.Contains(t, causes[at].Text, row.rival)
			assert.Contains(t, causes[at].Remedy, "Stop every other sender")
		}
	}
}
