// Command hello prints a line. It is the reference for the start of a Go program.
package main

import "fmt"

func main() { fmt.Println("hello") }
