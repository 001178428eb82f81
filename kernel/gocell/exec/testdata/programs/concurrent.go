// Goroutines, channels, select, sync.
package main

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"time"
)

type job struct {
	id  int
	out chan<- result
}
type result struct {
	id  int
	sum float64
}

func worker(jobs <-chan job, wg *sync.WaitGroup) {
	defer wg.Done()
	for j := range jobs {
		j.out <- result{j.id, float64(j.id) * 1.5}
	}
}

type counter struct {
	mu sync.Mutex
	n  map[string]int
}

func (c *counter) inc(k string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.n[k]++
}

func main() {
	jobs, out := make(chan job), make(chan result, 3)
	var wg sync.WaitGroup
	for range 4 {
		wg.Add(1)
		go worker(jobs, &wg)
	}
	go func() {
		for i := range 20 {
			jobs <- job{i, out}
		}
		close(jobs)
		wg.Wait()
		close(out)
	}()
	sum, n := 0.0, 0
	for r := range out {
		sum += r.sum
		n++
	}
	fmt.Println(sum, n)
	c := counter{n: map[string]int{}}
	var wg2 sync.WaitGroup
	for i := range 50 {
		wg2.Go(func() { c.inc(fmt.Sprint(i % 3)) })
	}
	wg2.Wait()
	fmt.Println(c.n)
	done := make(chan struct{})
	ticks := make(chan int)
	go func() {
		defer close(done)
		for v := range ticks {
			fmt.Println("tick", v)
		}
	}()
	for i := range 3 {
		ticks <- i
	}
	close(ticks)
	<-done
	sel := make(chan string)
	select {
	case s := <-sel:
		fmt.Println(s)
	default:
		fmt.Println("nothing")
	}
	go func() { sel <- "late" }()
	select {
	case s, ok := <-sel:
		fmt.Println(s, ok)
	case <-time.After(5 * time.Second):
		fmt.Println("timeout")
	}
	closed := make(chan int)
	close(closed)
	v, ok := <-closed
	fmt.Println(v, ok)
	select {
	case v, ok := <-closed:
		fmt.Println("closed", v, ok)
	}
	var nilc chan int
	select {
	case <-nilc:
	case <-time.After(time.Millisecond):
		fmt.Println("after")
	}
	var once sync.Once
	for range 3 {
		once.Do(func() { fmt.Println("once") })
	}
	var at atomic.Int64
	var wg3 sync.WaitGroup
	for i := range 10 {
		wg3.Add(1)
		go func() { defer wg3.Done(); at.Add(int64(i)) }()
	}
	wg3.Wait()
	fmt.Println(at.Load())
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Millisecond)
	defer cancel()
	<-ctx.Done()
	fmt.Println(ctx.Err())
	results := make(chan any, 3)
	go func() {
		defer func() { results <- recover() }()
		var m map[string]int
		m["x"]++
	}()
	fmt.Println(<-results)
	var m sync.Map
	m.Store(job{id: 1}, result{2, 3})
	r, _ := m.Load(job{id: 1})
	fmt.Println(r.(result).sum)
	pool := sync.Pool{New: func() any { return &counter{} }}
	fmt.Println(pool.Get().(*counter).n == nil)
	cond := sync.NewCond(&sync.Mutex{})
	ready := false
	go func() { cond.L.Lock(); ready = true; cond.L.Unlock(); cond.Broadcast() }()
	cond.L.Lock()
	for !ready {
		cond.Wait()
	}
	cond.L.Unlock()
	buf := make(chan [2]int, 2)
	buf <- [2]int{1, 2}
	fmt.Println(len(buf), cap(buf), <-buf)
	time.Sleep(time.Millisecond)
	fmt.Println("end")
}
