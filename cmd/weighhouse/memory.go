package main

import (
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
)

// Memory and the collector. A case of the usual size allocates some tens of megabytes and keeps a few; with Go's default,
// which collects when the heap has grown to twice what is kept, a third of the time of such a case went into collecting.
// Long logs are the other way round: a million readings are 16 MB that are kept. So the heap may grow to heapFree or to
// half as much again as is kept, whichever is more. GOGC, where it is set, overrules this.

const (
	heapFree  = 32 << 20 // bytes of heap that are never worth collecting
	heapExtra = 50       // percent over what is kept, of large heaps
)

// tuneCollector sets the collector's pace, now and again after every collection.
func tuneCollector() {
	if os.Getenv("GOGC") != "" {
		return
	}
	debug.SetGCPercent(heapFree / (4 << 20) * 100) // the first one comes at this many percent of 4 MB
	var tune func(*[16]byte)
	tune = func(*[16]byte) {
		live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
		metrics.Read(live)
		percent := heapFree / (4 << 20) * 100
		if n := live[0].Value.Uint64(); n > 4<<20 {
			percent = max(heapExtra, int(100*heapFree/n)-100)
		}
		debug.SetGCPercent(percent)
		runtime.SetFinalizer(new([16]byte), tune)
	}
	runtime.SetFinalizer(new([16]byte), tune)
}
