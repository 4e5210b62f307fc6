// Command ringout is a bench tester for addressable-LED pixel strips driven
// over the network with streaming ACN (ANSI E1.31). Its commands are in
// internal/cli.
package main

import (
	"os"

	"example.org/ringout/internal/cli"
)

// version is set by the linker for releases.
var version = ""

func main() {
	os.Exit(cli.Main(version, os.Args[1:]))
}
