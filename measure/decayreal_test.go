package measure

import (
	"encoding/csv"
	"flag"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"
)

var realLogs = flag.String("real-logs", "", "a folder of real decay logs with an index.csv as in testdata/reallogs: read them all")

// realLog is a real log with the independent reading of its index.
type realLog struct {
	file, column       string
	session            string
	knee, rate, median float64
	doubtful           bool
	t, c               []float64
	stretch            float64
}

// loadReal reads a folder of real logs. The rooms were boxes of rates up to 280 per hour: time is stretched by a whole
// number so that the median rate of a group is about ten per hour, an ordinary room's.
func loadReal(t *testing.T, dir string) []realLog {
	t.Helper()
	table := func(name string) [][]string {
		f, err := os.Open(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		rows, err := csv.NewReader(f).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		return rows
	}
	at := func(head []string, name string) int {
		for i, h := range head {
			if h == name {
				return i
			}
		}
		return -1
	}
	number := func(s string) float64 {
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			return math.NaN()
		}
		return x
	}
	var out []realLog
	index := table("index.csv")
	for _, r := range index[1:] {
		cell := func(name string) string {
			if i := at(index[0], name); i >= 0 {
				return r[i]
			}
			return ""
		}
		l := realLog{file: cell("file"), session: cell("session"), knee: number(cell("knee [s]")), rate: number(cell("rate after knee [1/h]")),
			median: number(cell("median rate of the group [1/h]")), doubtful: cell("doubtful") != ""}
		l.stretch = math.Max(1, math.Round(l.median/10))
		if math.IsNaN(l.stretch) {
			l.stretch = math.Max(1, math.Round(l.rate/10))
		}
		rows := table(l.file)
		l.column = "pm2.5"
		col := at(rows[0], "mPM2.5")
		if col < 0 {
			col = at(rows[0], l.column)
		} else {
			l.column = "mPM2.5"
		}
		for _, q := range rows[1:] {
			l.t, l.c = append(l.t, number(q[0])*l.stretch), append(l.c, number(q[col]))
		}
		out = append(out, l)
	}
	return out
}

func (l realLog) run() DecayRun {
	return DecayRun{Name: l.file, State: "on", T: l.t, C: l.c, From: none, To: none, Background: none, BackgroundU: none, Day: none, Column: l.column}
}

// TestRealLogs reads real logs with no window given. At least 95 % of the rates lie within a tenth of the independent
// reading or of the median of the log's group, refused ones counted as missed. With -real-logs the groups of replicates
// and the pairs of sensors that watched one run are looked at, too: chi-square of the rates about their group's mean, with
// the doubt that one run carries (within the run, background, 5 % from run to run).
func TestRealLogs(t *testing.T) {
	dir := filepath.Join("..", "testdata", "reallogs")
	if *realLogs != "" {
		dir = *realLogs
	}
	type one struct {
		realLog
		k, u float64
	}
	var sum tally
	var read []one
	for _, l := range loadReal(t, dir) {
		if l.doubtful {
			continue
		}
		f, err := ReduceRun(l.run())
		if err != nil {
			sum.refused++
			t.Logf("%s refused: %v", l.file, err)
			continue
		}
		k := f.K * l.stretch
		read = append(read, one{l, k, math.Hypot(math.Hypot(f.Within, f.BackgroundEffect)*l.stretch, onRunToRun*k)})
		if math.Abs(k/l.rate-1) <= 0.1 || math.Abs(k/l.median-1) <= 0.1 {
			sum.good++
			continue
		}
		sum.wrong++
		t.Logf("%s: %.1f ± %.1f per hour, read independently %.1f, group %.1f", l.file, k, 2*read[len(read)-1].u, l.rate, l.median)
	}
	t.Log(sum)
	if n := sum.good + sum.refused + sum.wrong; float64(sum.good) < 0.95*float64(n) {
		t.Errorf("%v, of %d; at least 95 %% wanted", sum, n)
	}
	if *realLogs == "" {
		return
	}
	groups := map[string][]one{}
	for _, r := range read {
		key := r.file[:strings.LastIndex(r.file, "-")]
		groups[key] = append(groups[key], r)
	}
	var names []string
	for name := range groups {
		names = append(names, name)
	}
	sort.Strings(names)
	total, dof := 0.0, 0
	for _, name := range names {
		g := groups[name]
		if len(g) < 3 {
			continue
		}
		var w, m float64
		for _, r := range g {
			w, m = w+1/(r.u*r.u), m+r.k/(r.u*r.u)
		}
		m /= w
		chi2, ss := 0.0, 0.0
		for _, r := range g {
			chi2, ss = chi2+(r.k-m)*(r.k-m)/(r.u*r.u), ss+(r.k-m)*(r.k-m)
		}
		total, dof = total+chi2, dof+len(g)-1
		t.Logf("%s: %d runs, mean %.1f per hour, scatter %.1f %%, chi² %.1f of %d", name, len(g), m, 100*math.Sqrt(ss/float64(len(g)-1))/m, chi2, len(g)-1)
	}
	// Wilson and Hilferty: the cube root of chi²/dof is nearly normal
	z := (math.Cbrt(total/float64(dof)) - (1 - 2/(9*float64(dof)))) / math.Sqrt(2/(9*float64(dof)))
	t.Logf("all groups: chi² %.1f of %d, z %.2f", total, dof, z)
	if z > 3 {
		t.Errorf("replicates scatter more than their doubt: chi² %.1f of %d", total, dof)
	}
	pairs, apart := 0, 0
	for i, a := range read {
		for _, b := range read[:i] {
			if a.file[:3] == b.file[:3] && a.session == b.session && a.file[4] != b.file[4] && math.Abs(a.knee-b.knee) < 45 {
				pairs++
				if math.Abs(a.k-b.k) > 2*math.Hypot(a.u, b.u) {
					apart++
					t.Logf("%s %.1f ± %.1f, %s %.1f ± %.1f", b.file, b.k, 2*b.u, a.file, a.k, 2*a.u)
				}
			}
		}
	}
	t.Logf("%d pairs of sensors on one run, %d further apart than twice their doubt", pairs, apart)
	if float64(apart) > 0.15*float64(pairs) {
		t.Errorf("%d of %d pairs of sensors are further apart than twice their doubt", apart, pairs)
	}
}
