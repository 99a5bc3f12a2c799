package lab

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"weighhouse/measure"
	"weighhouse/measure/fit"
	"weighhouse/measure/sheet"
)

// writeDecay writes a log of n readings and four columns: an hour of a decay of k per hour.
func writeDecay(b *testing.B, path string, n int, k float64) {
	b.Helper()
	f, err := os.Create(path)
	if err != nil {
		b.Fatal(err)
	}
	w := bufio.NewWriter(f)
	fmt.Fprintln(w, "time [s],pm1 [ug/m3],pm2.5 [ug/m3],humidity [%]")
	for i := range n {
		h := float64(i) / float64(n)
		c := 4 + 250*math.Exp(-k*h)*(1+0.01*math.Sin(1.7*float64(i)))
		fmt.Fprintf(w, "%s,%.1f,%.2f,%d\n", strconv.FormatFloat(3600*h, 'f', 5, 64), c/2, c, 40+i%9)
	}
	if err := w.Flush(); err != nil {
		b.Fatal(err)
	}
	if err := f.Close(); err != nil {
		b.Fatal(err)
	}
}

// BenchmarkLinear reads two logs, one with the unit off and one with it on, of so many rows together, and reduces them to
// a delivery rate, within this process: the time a row, and over all sizes the slope of the logarithm of the time on that
// of the rows, which is 1 where time grows as rows do.
func BenchmarkLinear(b *testing.B) {
	least := map[string][]float64{} // s, by step
	var rows []float64
	for _, n := range []int{10_000, 30_000, 100_000, 300_000, 1_000_000, 3_000_000, 10_000_000} {
		if n > 1_000_000 && testing.Short() {
			continue
		}
		b.Run(fmt.Sprintf("rows=%d", n), func(b *testing.B) {
			dir := b.TempDir()
			writeDecay(b, filepath.Join(dir, "off.csv"), n/2, 0.3)
			writeDecay(b, filepath.Join(dir, "on.csv"), n/2, 6)
			reading, reducing := math.Inf(1), math.Inf(1)
			for b.Loop() {
				from := time.Now()
				runs := readRuns(b, dir)
				read := time.Since(from).Seconds()
				ms, problems := measure.DeliveryRates(runs, measure.DecayOptions{Volume: 45, VolumeU: 0.4, MethodU: math.NaN()})
				all := time.Since(from).Seconds()
				if len(ms) != 1 || len(problems) > 0 {
					b.Fatal(ms, problems)
				}
				reading, reducing = min(reading, read), min(reducing, all-read)
			}
			rows = append(rows, math.Log(float64(n)))
			for step, s := range map[string]float64{"reading": reading, "reducing": reducing, "both": reading + reducing} {
				b.ReportMetric(s*1e9/float64(n), step+"-ns/row")
				least[step] = append(least[step], math.Log(s))
			}
			b.ReportMetric(0, "ns/op")
		})
	}
	if len(rows) < 5 {
		return
	}
	b.Run("slope", func(b *testing.B) {
		for b.Loop() {
		}
		b.ReportMetric(0, "ns/op")
		for step, y := range least {
			line, err := fit.Straight(rows, y)
			if err != nil {
				b.Fatal(err)
			}
			b.ReportMetric(line.Slope, step+"-slope")
		}
	})
}

func readRuns(b *testing.B, dir string) (runs []measure.DecayRun) {
	b.Helper()
	f, err := sheet.OpenFolder(dir)
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	got, ps := f.Logs(nil, []sheet.LogRequest{{Path: "off.csv", Value: "pm2.5"}, {Path: "on.csv", Value: "pm2.5"}})
	if len(ps) > 0 {
		b.Fatal(ps)
	}
	for i, state := range []string{"off", "on"} {
		runs = append(runs, measure.DecayRun{Name: state, State: state, Setting: "max", Particle: "smoke", T: got[i].T, C: got[i].V,
			From: math.NaN(), To: math.NaN(), Background: 4, BackgroundU: 0.3, ValueUnit: got[i].ValueUnit, Day: math.NaN()})
	}
	return runs
}
