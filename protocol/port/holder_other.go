//go:build !linux

package port

// Holder is empty: this system does not name the program that has a port.
func Holder(uint16) string { return "" }
