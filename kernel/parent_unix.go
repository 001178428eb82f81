//go:build unix

package kernel

import (
	"errors"
	"syscall"
)

// processRuns reports whether a process exists; one of another user does too.
func processRuns(pid int) bool {
	err := syscall.Kill(pid, 0)
	return err == nil || errors.Is(err, syscall.EPERM)
}
