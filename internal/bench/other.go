//go:build !linux

// Command bench runs on Linux only.
package main

import (
	"fmt"
	"os"
)

func main() {
	fmt.Fprintln(os.Stderr, "bench: it measures on Linux only")
	os.Exit(1)
}
