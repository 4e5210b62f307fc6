package pictures

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/strip"
)

// partlyRead is the proof of a pennant with a fault, some places of which were not
// read.
func partlyRead(t *testing.T, fault string, unread ...int) (*Proof, strip.Fault) {
	t.Helper()
	p := props(t)["pennant"]
	s, err := eyes.SceneOf(p)
	require.NoError(t, err)
	ft, err := strip.ParseFault(fault, p)
	require.NoError(t, err)
	read := readLight(t, p, s, shown(t, p, s, ft))
	for _, place := range unread {
		read.Places[place-1] = eyes.Place{State: eyes.Unread}
	}
	proof, err := Weigh(p, s, read)
	require.NoError(t, err)
	return proof, ft
}

// Places that were not read make no fault: on a prop whose data is shifted they
// show neither what was planned nor nothing, and a question that hangs on them
// stays open. The places are those of a film that once had a dark pixel where
// there was none.
func TestUnreadPlacesMakeNoFault(t *testing.T) {
	proof, ft := partlyRead(t, "slot-shift by 1", 45, 80, 91, 128, 129, 130, 131, 132, 133, 134, 135)
	require.Equal(t, []strip.Fault{ft}, proof.Findings[0].Causes[0].Faults, proof.Findings[0].Title)
	require.True(t, proof.Findings[0].Sure.Firm(), proof.Findings[0].Certainty())
	require.False(t, proof.Good())
	require.Empty(t, proof.Against)

	x, known := proof.beside(44)
	require.True(t, known)
	require.Equal(t, 44*4+1, x.Slot, "goes on from the places before it")
	x, known = proof.beside(134)
	require.True(t, known)
	require.Equal(t, 134*4+1, x.Slot, "over a gap")
}

// Where the light ends among places that were not read, the findings are what may
// end it there, not what the places that were read speak against.
func TestFindingsFitThePlacesThatWereRead(t *testing.T) {
	proof, _ := partlyRead(t, "open-joint pixel 60", 60, 61, 62, 63)
	require.Empty(t, proof.Against)
	require.Len(t, proof.Findings, 5, "at pixel 60 or one of the four after it")
	for i, f := range proof.Findings {
		require.Contains(t, f.Title, fmt.Sprintf("No data reaches pixel %d of run", 60+i))
		require.False(t, f.Sure.Firm())
		require.InDelta(t, 0.2, f.Share, 0.05)
	}
	require.False(t, proof.Good())
}

// A fall of voltage is named also where its dimmest places were not read.
func TestAFallOfVoltageIsNamedThoughPlacesAreUnread(t *testing.T) {
	proof, _ := partlyRead(t, "sag by 2500", 131, 132, 133, 134, 135, 136)
	require.False(t, proof.Good())
	require.Contains(t, proof.Findings[0].Title, "the voltage falls, and pixels 35 to 40 of run \"tail\" were not read")
}
