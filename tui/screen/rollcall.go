package screen

import "example.org/ringout/internal/checkout"

// QuickCall is the number of looks of a roll call of so many pixels, if it is quicker than
// counting; else 0.
func QuickCall(pixels int) int {
	r, err := checkout.NewRollCall(pixels, checkout.SixColours, true)
	if err != nil || !r.QuickerThanCounting(pixels) {
		return 0
	}
	return r.AllLooks()
}
