//go:build !linux

// Command bench measures on Linux only.
package main

import (
	"fmt"
	"os"
)

func main() {
	fmt.Fprintln(os.Stderr, "bench: it measures on Linux only")
	os.Exit(1)
}
