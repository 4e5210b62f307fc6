// Command hello prints a line: the least that a Go program does.
package main

import "fmt"

func main() { fmt.Println("hello") }
