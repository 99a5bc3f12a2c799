package main

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"weighhouse/measure/fit"
)

// The benchmarks run the program itself, as a process of its own, and report what the system counted for it: CPU time
// (user and system), and its largest resident memory. DEVELOPERS.md keeps their figures.
//
//	go test ./cmd/weighhouse -run '^$' -bench . -benchtime 5x

// program builds the program once for all benchmarks.
func program(b *testing.B) string {
	b.Helper()
	exe := filepath.Join(b.TempDir(), "weighhouse")
	if runtime.GOOS == "windows" {
		exe += ".exe"
	}
	if out, err := exec.Command("go", "build", "-o", exe, ".").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	return exe
}

// cost is what a process took.
type cost struct {
	cpu, wall time.Duration
	peak      int64 // bytes; 0 where the system does not say
}

// spend runs the program and fails the benchmark where it does not end with status 0.
func spend(b *testing.B, exe string, env []string, args ...string) cost {
	b.Helper()
	c := exec.Command(exe, args...)
	c.Env = append(os.Environ(), env...)
	var said strings.Builder
	c.Stderr = &said
	from := time.Now()
	if err := c.Run(); err != nil {
		b.Fatalf("%v\n%s", err, said.String())
	}
	return cost{c.ProcessState.UserTime() + c.ProcessState.SystemTime(), time.Since(from), peakOf(c.ProcessState)}
}

// least keeps the smaller of each figure: on a machine with other work the minimum is what repeats.
func (c *cost) least(d cost) {
	if c.cpu == 0 || d.cpu < c.cpu {
		c.cpu = d.cpu
	}
	if c.wall == 0 || d.wall < c.wall {
		c.wall = d.wall
	}
	if c.peak == 0 || d.peak < c.peak {
		c.peak = d.peak
	}
}

func (c cost) report(b *testing.B, cases int) {
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(float64(c.cpu.Microseconds())/1000/float64(cases), "cpu-ms/case")
	b.ReportMetric(float64(c.wall.Microseconds())/1000/float64(cases), "wall-ms/case")
	if c.peak > 0 {
		b.ReportMetric(float64(c.peak)/1e6, "peak-MB")
	}
}

// BenchmarkStart is the start of the program, with nothing to do.
func BenchmarkStart(b *testing.B) {
	exe := program(b)
	var c cost
	for b.Loop() {
		c.least(spend(b, exe, nil, "--version"))
	}
	c.report(b, 1)
}

// BenchmarkDemo is the demo case, from the start of the process to its PDF and JSON.
func BenchmarkDemo(b *testing.B) {
	exe := program(b)
	for _, name := range []string{"demo", "demo-csv"} {
		for _, format := range []string{"pdf,json", "json"} {
			b.Run("case="+name+"/format="+format, func(b *testing.B) {
				var c cost
				for b.Loop() {
					c.least(spend(b, exe, nil, "audit", "--date", "2026-08-03", "--format", format, "--out", b.TempDir(), "../../testdata/"+name))
				}
				c.report(b, 1)
			})
		}
	}
}

// BenchmarkCases is a thousand cases of six logs of 720 readings on one core.
func BenchmarkCases(b *testing.B) {
	const n = 1000
	exe := program(b)
	dir := b.TempDir()
	if err := writeCases(dir, n, 720); err != nil {
		b.Fatal(err)
	}
	for _, format := range []string{"json", "pdf,json"} {
		b.Run("cases=1000/format="+format, func(b *testing.B) {
			var c cost
			for b.Loop() {
				c.least(spend(b, exe, []string{"GOMAXPROCS=1"}, "audit", "--date", "2026-08-03", "--format", format, "--jobs", "1", "--out", b.TempDir(), "--each", dir))
			}
			c.report(b, n)
		})
	}
	b.Run("cases=1000/format=pdf,json/resume", func(b *testing.B) {
		out := b.TempDir()
		args := []string{"audit", "--date", "2026-08-03", "--resume", "--jobs", "1", "--out", out, "--each", dir}
		spend(b, exe, nil, args...)
		var c cost
		for b.Loop() {
			c.least(spend(b, exe, []string{"GOMAXPROCS=1"}, args...))
		}
		c.report(b, n)
	})
}

// writeLong writes a case whose first run with the unit on has a log of n readings and four columns. Where whole is set
// the decay lasts the whole log, an hour, so that all readings count; otherwise the log is one of a reading a second with a
// new puff of smoke every hour, and the run names its window, as a logger that runs for weeks is used.
func writeLong(dir string, n int, whole bool) error {
	files := caseFiles(0, 720)
	if !whole {
		table := strings.Replace(files["lab/decay.csv"], "background ±,", "background ±,from,to,", 1)
		table = strings.ReplaceAll(table, "0.6,pm", "0.6,,,pm")
		files["lab/decay.csv"] = strings.Replace(table, "logs/on-1.csv,time,pm2.5,4,0.6,,,", "logs/on-1.csv,time,pm2.5,4,0.6,2026-05-04 10:02:00,2026-05-04 10:22:00,", 1)
	}
	delete(files, "logs/on-1.csv")
	for name, text := range files {
		p := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(p), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(p, []byte(text), 0o644); err != nil {
			return err
		}
	}
	f, err := os.Create(filepath.Join(dir, "logs", "on-1.csv"))
	if err != nil {
		return err
	}
	w := bufio.NewWriter(f) // not built whole: a process begins with the resident memory of the one that starts it
	head := "time"
	if whole {
		head = "time [s]"
	}
	fmt.Fprintln(w, head+",pm1,pm2.5,humidity")
	at := time.Date(2026, 5, 4, 9, 0, 0, 0, time.UTC)
	for k := range n {
		h := float64(k) / float64(n)
		t := strconv.FormatFloat(h*3600, 'f', 5, 64)
		if !whole {
			h = float64(k%3600) / 3600
			t = at.Add(time.Duration(k) * time.Second).Format("2006-01-02 15:04:05")
		}
		c := 4 + 400*math.Exp(-6*h)*(1+0.01*math.Sin(float64(k)*1.7))
		fmt.Fprintf(w, "%s,%.1f,%.2f,%d\n", t, c/2, c, 40+k%9)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	return f.Close()
}

// readPlainly is the yardstick: the time encoding/csv with ReuseRecord takes to read a file.
func readPlainly(b *testing.B, path string) time.Duration {
	b.Helper()
	from := time.Now()
	f, err := os.Open(path)
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.ReuseRecord = true
	for {
		if _, err := r.Read(); err == io.EOF {
			return time.Since(from)
		} else if err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkLong is a case with one long CSV log of four columns, to PDF and JSON, against the time that encoding/csv needs
// to read that log; and, over all sizes of one kind, the slope of the logarithm of CPU time on that of rows. From each
// time the least that any size of the kind took is subtracted first: that of a log of 5,000 readings, which stands for the
// start of the program and the rest of the case.
func BenchmarkLong(b *testing.B) {
	exe := program(b)
	for _, kind := range []string{"whole", "window"} {
		var rows, cpu []float64
		base := 0.0
		for _, n := range []int{5_000, 10_000, 100_000, 1_000_000, 10_000_000} {
			if n > 1_000_000 && testing.Short() {
				continue
			}
			b.Run(fmt.Sprintf("decay=%s/rows=%d", kind, n), func(b *testing.B) {
				dir := b.TempDir()
				if err := writeLong(dir, n, kind == "whole"); err != nil {
					b.Fatal(err)
				}
				log := filepath.Join(dir, "logs", "on-1.csv")
				var c, yard cost
				for b.Loop() {
					d := readPlainly(b, log)
					yard.least(cost{cpu: d, wall: d})
					c.least(spend(b, exe, nil, "audit", "--date", "2026-08-03", "--out", b.TempDir(), dir))
				}
				c.report(b, 1)
				b.ReportMetric(float64(yard.wall.Microseconds())/1000, "encoding-csv-ms")
				b.ReportMetric(float64(c.wall)/float64(yard.wall), "times-encoding-csv")
				if n == 5_000 {
					base = c.cpu.Seconds()
				} else {
					rows, cpu = append(rows, math.Log(float64(n))), append(cpu, math.Log(math.Max(c.cpu.Seconds()-base, 1e-6)))
				}
			})
		}
		if len(rows) < 4 || base == 0 {
			continue
		}
		b.Run("decay="+kind+"/slope", func(b *testing.B) {
			for b.Loop() {
			}
			line, err := fit.Straight(rows[1:], cpu[1:]) // from 100,000 rows on, where the rest of the case does not hide the log
			if err != nil {
				b.Fatal(err)
			}
			b.ReportMetric(0, "ns/op")
			b.ReportMetric(line.Slope, "slope-from-1e5")
			if line, err = fit.Straight(rows, cpu); err == nil {
				b.ReportMetric(line.Slope, "slope-from-1e4")
			}
		})
	}
}
