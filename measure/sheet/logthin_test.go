package sheet

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A log of more than MaxKept readings is thinned to medians, in order, each a value of the log; a stray reading goes.
func TestThinned(t *testing.T) {
	var b strings.Builder
	b.WriteString("time [s],value\n")
	n := MaxKept + 7
	for i := range n {
		v := n - i
		if i == 50_000 {
			v = 10 * n
		}
		fmt.Fprintf(&b, "%d,%d\n", i, v)
	}
	file := filepath.Join(t.TempDir(), "long.csv")
	if err := os.WriteFile(file, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	s, err := LogFile(file, "", "")
	if err != nil {
		t.Fatal(err)
	}
	if want := MaxKept/3 + 2 + 1; len(s.T) != want || s.Each != 3 {
		t.Errorf("%d readings kept, each of %d; want %d of 3", len(s.T), s.Each, want)
	}
	for i := 1; i < len(s.T); i++ {
		if s.T[i] <= s.T[i-1] || s.V[i] >= s.V[i-1] || math.Abs(s.T[i]+s.V[i]-float64(n)) > 1 {
			t.Fatalf("reading %d: %g at %g after %g at %g", i, s.V[i], s.T[i], s.V[i-1], s.T[i-1])
		}
	}
}

// A clock that begins anew cuts a log: the longer part is kept and the cut is said. A row that comes late is put in order.
func TestClockBeginsAnew(t *testing.T) {
	write := func(times []int) *Series {
		var b strings.Builder
		b.WriteString("time [s],value\n")
		for i, at := range times {
			fmt.Fprintf(&b, "%d,%d\n", at, 1000-i)
		}
		file := filepath.Join(t.TempDir(), "log.csv")
		if err := os.WriteFile(file, []byte(b.String()), 0o600); err != nil {
			t.Fatal(err)
		}
		s, err := LogFile(file, "", "")
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	var reset, late []int
	for i := range 300 {
		reset, late = append(reset, 5*(i%200)), append(late, 5*i)
	}
	late[100], late[101] = late[101], late[100]
	if s := write(reset); len(s.T) != 200 || s.ClockSteps != 1 || s.ClockNote == "" || s.V[199] != 801 {
		t.Errorf("a clock that began anew: %d readings, %d steps, %q", len(s.T), s.ClockSteps, s.ClockNote)
	}
	if s := write(late); len(s.T) != 300 || s.ClockSteps != 0 || s.V[100] != 899 {
		t.Errorf("a row that came late: %d readings, %d steps", len(s.T), s.ClockSteps)
	}
}
