package kernel

import (
	"os"
	"strconv"
	"time"
)

// ParentFromEnvironment returns the process that Jupyter says it started the
// kernel from, or 0.
func ParentFromEnvironment() int {
	pid, err := strconv.Atoi(os.Getenv("JPY_PARENT_PID"))
	if err != nil || pid <= 1 {
		return 0
	}
	return pid
}

const parentPoll = 200 * time.Millisecond

// watchParent returns a channel that is closed when the process pid has
// ended, or when this process was given to another parent because its own has.
func watchParent(pid int, stop <-chan struct{}) <-chan struct{} {
	gone := make(chan struct{})
	first := os.Getppid()
	go func() {
		tick := time.NewTicker(parentPoll)
		defer tick.Stop()
		for {
			select {
			case <-tick.C:
				if !processRuns(pid) || first == pid && os.Getppid() != first {
					close(gone)
					return
				}
			case <-stop:
				return
			}
		}
	}()
	return gone
}
