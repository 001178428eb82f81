package kernel

import (
	"runtime"
	"sync"
)

// A drawing that moves leaves more than a megabyte of garbage each time. Next
// to the few megabytes that a kernel holds, that is a collection every second
// time, which takes the processors from the browser just when it draws. These
// bytes count as held and are never touched, so that they take up no memory;
// with them it is one in twenty.
var headroom []byte

var makeHeadroom = sync.OnceFunc(func() {
	headroom = make([]byte, 24<<20)
	runtime.KeepAlive(headroom)
})
