package screen

import "example.org/ringout/internal/checkout"

// QuickCall is the looks of a roll call of a given number of pixels where it is quicker
// than counting them up; 0 where it is not.
func QuickCall(pixels int) int {
	r, err := checkout.NewRollCall(pixels, checkout.SixColours, true)
	if err != nil || !r.QuickerThanCounting(pixels) {
		return 0
	}
	return r.Looks()
}
