package phase

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The pruned search finds what the search without pruning finds, on pieces by chance (seed in the message).
func TestPartitionIsOptimal(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 1))
		n := 12 + r.IntN(60)
		b := make([]bin, n)
		y, k := 5.0, 0.0
		for i := range b {
			if r.IntN(12) == 0 {
				k, y = 0.2*r.NormFloat64(), y+r.NormFloat64()*float64(r.IntN(2))
			}
			y -= k
			b[i] = bin{t: float64(i), y: y + 0.05*r.NormFloat64()}
		}
		p := newSums(b, 0.05)
		penalty := 3 * math.Log(float64(n))
		best := make([]float64, n+1)
		for j := 1; j <= n; j++ {
			best[j] = math.Inf(1)
			for i := 0; i <= j-shortest; i++ {
				if i == 0 || i >= shortest {
					best[j] = math.Min(best[j], best[i]+p.cost(i, j)+penalty)
				}
			}
		}
		cuts := p.partition(penalty)
		got := 0.0
		for i := 0; i+1 < len(cuts); i++ {
			got += p.cost(cuts[i], cuts[i+1]) + penalty
		}
		if math.Abs(got-best[n]) > 1e-6*(1+best[n]) {
			t.Errorf("seed %d, %d bins: cost %g with cuts %v, least is %g", seed, n, got, cuts, best[n])
		}
	}
}

// A log without noise is cut where it changes, and its phases have their names and rates.
func TestNames(t *testing.T) {
	var ts, c []float64
	level := 2.0
	add := func(seconds int, k, source float64) {
		for range seconds / 5 {
			level = level*math.Exp(-k*5/3600) + source
			ts, c = append(ts, 5*float64(len(ts))), append(c, math.Round(level*10)/10)
		}
	}
	add(300, 0, 0)
	add(150, 0, 12)
	add(1200, 0.5, 0)
	add(2400, 7, 0)
	f := Cut(ts, c, Options{Step: 0.1}).Name()
	if len(f.On) != 1 || !f.Knee || !f.HasNatural {
		t.Fatalf("%+v", f)
	}
	near := func(what string, got, want, by float64) {
		t.Helper()
		if math.Abs(got-want) > by {
			t.Errorf("%s %g, want %g", what, got, want)
		}
	}
	near("knee", f.On[0].From, 1650, 15)
	near("rate of the run", f.On[0].Rate, 7, 0.1)
	near("natural decay", f.Natural.Rate, 0.5, 0.03)
	near("beginning of natural decay", f.Natural.From, 450, 15)
	var names []Kind
	for _, p := range f.Phases {
		names = append(names, p.Kind)
	}
	if want := []Kind{Floor, Fill, Natural, On}; len(names) < 4 || names[0] != want[0] || names[1] != want[1] || names[2] != want[2] || names[3] != want[3] {
		t.Errorf("phases %v, want %v and a floor", names, want)
	}
}

// A sensor polled faster than it renews its reading is told from one that is rounded.
func TestRefresh(t *testing.T) {
	var held, rounded []float64
	for i := range 300 {
		level := 900 * math.Exp(-float64(i/3)/40)
		held = append(held, math.Round(level))
		rounded = append(rounded, math.Round(30*math.Exp(-float64(i)/900)))
	}
	if got := refresh(held, 1); got != 3 {
		t.Errorf("readings held for three polls: found %d", got)
	}
	if got := refresh(rounded, 1); got != 1 {
		t.Errorf("a level that moves by single steps was taken for held over %d polls", got)
	}
}

// Nothing odd in the numbers ends the program.
func TestOddNumbers(t *testing.T) {
	for _, c := range [][]float64{nil, {1}, {0, 0, 0, 0, 0, 0, 0}, {5, 5, 5, 5, 5, 5, 5, 5}, {-1, -2, -3, -4, -5, -6, -7}, {1e300, 1, 1e300, 1, 1e300, 1, 1}} {
		ts := make([]float64, len(c))
		for i := range ts {
			ts[i] = float64(i)
		}
		Cut(ts, c, Options{}).Name()
	}
}
