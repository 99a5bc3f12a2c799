package main

import (
	"os"
	"syscall"
)

// peakOf is the largest resident memory of a process, in bytes.
func peakOf(s *os.ProcessState) int64 {
	if r, ok := s.SysUsage().(*syscall.Rusage); ok {
		return r.Maxrss * 1024
	}
	return 0
}
