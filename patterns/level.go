package patterns

import "math"

// Levels are the levels in percent that the screens step through: by one at
// the bottom, where props are often run (3 % is common practice).
var Levels = []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100}

// StartLevel is the level to begin with, a share from 0 to 1: low, for eyes,
// supply and connectors.
const StartLevel = 0.2

// NextLevel is the next of Levels above (dir > 0) or below (dir < 0), as a
// share from 0 to 1, from a share.
func NextLevel(level float64, dir int) float64 {
	pc := math.Round(CleanLevel(level)*1000) / 10
	if dir > 0 {
		return nextUp(Levels, pc) / 100
	}
	return nextDown(Levels, pc) / 100
}

// CleanLevel clamps a level to 0 to 1; NaN becomes 0.
func CleanLevel(level float64) float64 {
	if !(level > 0) {
		return 0
	}
	return min(level, 1)
}

// DimValue is a channel value at a level from 0 to 1: in proportion, then
// rounded to the nearest. A lit channel never goes out by rounding alone: it
// stays at 1 until the level is 0, otherwise a dim colour would lose its weaker
// channels and a check would find a fault that does not exist.
func DimValue(v uint8, level float64) uint8 {
	level = CleanLevel(level)
	if v == 0 || level == 0 {
		return 0
	}
	return uint8(max(1, math.Round(float64(v)*level)))
}

// Dim is a colour at a level from 0 to 1, channel by channel as DimValue.
func (c Colour) Dim(level float64) Colour {
	return Colour{DimValue(c.R, level), DimValue(c.G, level), DimValue(c.B, level),
		DimValue(c.W, level), DimValue(c.C, level)}
}
