//go:build !unix

package kernel

import "os"

// processRuns reports whether a process exists: on Windows, finding it opens
// it, which fails when there is none.
func processRuns(pid int) bool {
	p, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	p.Release()
	return true
}
