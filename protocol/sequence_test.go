package protocol

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The cases were worked by signed 8-bit subtraction from ANSI E1.31-2018
// 6.7.2 outside this program.
func TestSequenceRule(t *testing.T) {
	for _, row := range []struct {
		last, next uint8
		diff       int
		accept     bool
	}{
		{0, 1, 1, true},
		{255, 0, 1, true},
		{5, 5, 0, false},
		{5, 4, -1, false},
		{19, 0, -19, false},
		{20, 0, -20, true},
		{0, 255, -1, false},
		{0, 237, -19, false},
		{0, 236, -20, true},
		{128, 0, -128, true},
		{0, 127, 127, true},
		{250, 4, 10, true},
		{4, 250, -10, false},
		{10, 247, -19, false},
	} {
		var s Sequence
		_, ok := s.Accept(row.last)
		require.True(t, ok, "the first packet always counts")
		diff, ok := s.Accept(row.next)
		require.Equal(t, row.accept, ok, "%d then %d", row.last, row.next)
		require.Equal(t, row.diff, diff, "%d then %d", row.last, row.next)
		if row.accept {
			require.Equal(t, row.next, s.last)
		} else {
			require.Equal(t, row.last, s.last, "a dropped packet leaves no trace")
		}
	}
}

// A source that starts again at 0 loses at most 20 packets: 6.7.2 drops
// exactly the 20 differences 0 to -19.
func TestSequenceRestartLosesAtMostTwenty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var s Sequence
		s.Accept(rapid.Uint8().Draw(t, "last"))
		lost := 0
		for n := range 256 {
			if _, ok := s.Accept(uint8(n)); !ok {
				lost++
			} else {
				break
			}
		}
		require.LessOrEqual(t, lost, 20)
	})
}
