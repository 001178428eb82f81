package main

import "fmt"

type E struct{ n int }

func (e E) Error() string { return fmt.Sprint("E", e.n) }

func main() {
	defer fmt.Println("one")
	defer func() { fmt.Println("two") }()
	panic(E{4})
}
