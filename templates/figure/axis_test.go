package figure

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// Steps of axes are 1, 2 or 5 times a power of ten, the ticks lie within the axis, and there are neither none nor too
// many of them.
func TestTicks(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 1))
	for range 5000 {
		lo := (rnd.Float64() - 0.5) * math.Pow(10, float64(rnd.IntN(10)-4))
		hi := lo + (0.001+rnd.Float64())*math.Pow(10, float64(rnd.IntN(10)-4))
		n := 3 + rnd.IntN(7)
		if hi-lo < 1e-6*math.Abs(lo) { // closer than that, a float64 holds no exact steps
			continue
		}
		vs := ticks(lo, hi, n)
		if len(vs) < 1 || len(vs) > n+1 {
			t.Fatalf("ticks(%v, %v, %d): %d of them", lo, hi, n, len(vs))
		}
		for i, v := range vs {
			if v < lo-1e-9*(hi-lo) || v > hi+1e-9*(hi-lo) {
				t.Fatalf("ticks(%v, %v, %d): %v lies outside", lo, hi, n, v)
			}
			if i == 0 {
				continue
			}
			m := (v - vs[i-1]) / math.Pow(10, math.Floor(math.Log10(v-vs[i-1])+1e-6))
			if math.Abs(m-1) > 1e-6 && math.Abs(m-2) > 1e-6 && math.Abs(m-5) > 1e-6 {
				t.Fatalf("ticks(%v, %v, %d): a step of %v", lo, hi, n, v-vs[i-1])
			}
		}
	}
	for _, c := range [][2]float64{{1, 1}, {2, 1}, {math.NaN(), 1}, {0, math.Inf(1)}} {
		if vs := ticks(c[0], c[1], 5); vs != nil {
			t.Errorf("ticks(%v, %v) = %v", c[0], c[1], vs)
		}
	}
}

func TestLogTicks(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		n      int
		want   []float64
	}{{1, 10, 6, []float64{1, 2, 5, 10}}, {1, 10000, 6, []float64{1, 10, 100, 1000, 10000}}, {3, 60, 9, []float64{5, 10, 20, 50}}, {-1, 5, 6, nil}, {5, 5, 6, nil}} {
		got := logTicks(c.lo, c.hi, c.n)
		if len(got) != len(c.want) {
			t.Errorf("logTicks(%v, %v) = %v, want %v", c.lo, c.hi, got, c.want)
			continue
		}
		for i := range got {
			if math.Abs(got[i]/c.want[i]-1) > 1e-12 {
				t.Errorf("logTicks(%v, %v) = %v, want %v", c.lo, c.hi, got, c.want)
			}
		}
	}
}
