// Package parallel does one piece of work on every core and waits until all of
// it is done. A part must write only what is its own: then the result does not
// depend on which part ends first.
package parallel

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// Each calls do with 0 to n-1, each once, on as many cores as there are.
func Each(n int, do func(i int)) { AtMost(runtime.GOMAXPROCS(0), n, do) }

// AtMost is Each with so many calls at a time at most, for work that takes much
// memory.
func AtMost(workers, n int, do func(i int)) {
	workers = min(n, workers)
	if workers <= 1 {
		for i := range n {
			do(i)
		}
		return
	}
	var next atomic.Int64
	var wait sync.WaitGroup
	for range workers {
		wait.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	wait.Wait()
}

// bandsEach is how many bands a core gets, so that one that is slow does not
// hold up the others.
const bandsEach = 2

// Bands calls do with ranges that together are 0 to n, each number in one of
// them.
func Bands(n int, do func(from, to int)) {
	bands := min(n, bandsEach*runtime.GOMAXPROCS(0))
	Each(bands, func(i int) { do(i*n/bands, (i+1)*n/bands) })
}
