package latest

import (
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTheNewestWins(t *testing.T) {
	c := New[int]()
	for i := range 10 {
		c.Put(i)
	}
	require.Equal(t, 9, <-c)
	require.Empty(t, c)
}

// Whoever puts while others put and one takes, nothing waits and the last
// value of the last one arrives.
func TestManyPutOneTakes(t *testing.T) {
	c := New[int]()
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			for i := range 1000 {
				c.Put(i)
			}
		})
	}
	done := make(chan int)
	go func() {
		got := 0
		for v := range c {
			if got = v; v == -1 {
				break
			}
		}
		done <- got
	}()
	all.Wait()
	c.Put(-1)
	require.Equal(t, -1, <-done)
}
