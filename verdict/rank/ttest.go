package rank

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// TTest is a two-sided t test of a difference against zero.
type TTest struct {
	Difference float64 // mean of x less mean of y
	SE         float64 // its standard error
	T, DOF, P  float64
	Half       float64 // half width of the 95 % interval of the difference
}

// Student is the t test with equal variances:
//
//	t = (x̄ − ȳ)/(s_p √(1/m + 1/n)),  s_p² = ((m−1)s_x² + (n−1)s_y²)/(m+n−2),  ν = m+n−2
//
// Student (1908), in the form of any textbook. NaN where m+n is below 3 or a sample is empty.
func Student(x, y []float64) TTest {
	m, n := float64(len(x)), float64(len(y))
	nu := m + n - 2
	ss := sumSquares(x) + sumSquares(y)
	return tTest(stat.Mean(x, nil)-stat.Mean(y, nil), math.Sqrt(ss/nu*(1/m+1/n)), nu)
}

// Welch is the t test without the assumption of equal variances:
//
//	t = (x̄ − ȳ)/√(s_x²/m + s_y²/n),  ν = (s_x²/m + s_y²/n)²/((s_x²/m)²/(m−1) + (s_y²/n)²/(n−1))
//
// Welch (1947), not truncated. NaN where a sample has fewer than two values.
func Welch(x, y []float64) TTest {
	m, n := float64(len(x)), float64(len(y))
	a, b := stat.Variance(x, nil)/m, stat.Variance(y, nil)/n
	return tTest(stat.Mean(x, nil)-stat.Mean(y, nil), math.Sqrt(a+b), (a+b)*(a+b)/(a*a/(m-1)+b*b/(n-1)))
}

// Paired is the t test on the differences x_i − y_i, with ν = n − 1. The samples have equal lengths; NaN below two pairs.
func Paired(x, y []float64) TTest {
	d := make([]float64, len(x))
	for i := range x {
		d[i] = x[i] - y[i]
	}
	return tTest(stat.Mean(d, nil), stat.StdDev(d, nil)/math.Sqrt(float64(len(d))), float64(len(d)-1))
}

// tTest is the test of a difference with a standard error of nu degrees of freedom; normal for +Inf. A standard error of
// zero tells any difference apart, and none from zero.
func tTest(diff, se, nu float64) TTest {
	out := TTest{Difference: diff, SE: se, DOF: nu, T: math.NaN(), P: math.NaN(), Half: math.NaN()}
	switch {
	case math.IsNaN(diff) || math.IsNaN(se) || math.IsNaN(nu) && se > 0 || nu < 1e-9:
		return out
	case se == 0 && diff == 0:
		out.T, out.P, out.Half = 0, 1, 0
		return out
	case se == 0:
		out.T, out.P, out.Half = math.Copysign(math.Inf(1), diff), 0, 0
		return out
	}
	out.T = diff / se
	if math.IsInf(nu, 1) {
		out.P = 2 * distuv.UnitNormal.CDF(-math.Abs(out.T))
		out.Half = distuv.UnitNormal.Quantile(0.975) * se
		return out
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}
	out.P, out.Half = 2*t.CDF(-math.Abs(out.T)), t.Quantile(0.975)*se
	return out
}

// sumSquares is Σ(x_i − x̄)².
func sumSquares(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	m, s := stat.Mean(x, nil), 0.0
	for _, v := range x {
		s += (v - m) * (v - m)
	}
	return s
}

// Holm adjusts the p values of a family of tests so that the chance of any wrong rejection is at most the level that they
// are compared with: p in order, p'_(i) = max over j ≤ i of min(1, (n−j+1) p_(j)). Holm, Scand. J. Statist. 6 (1979) 65.
// NaN stands for no test: it is not counted and stays NaN.
func Holm(p []float64) []float64 {
	var order []int
	out := make([]float64, len(p))
	for i, v := range p {
		if out[i] = v; !math.IsNaN(v) {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return p[order[i]] < p[order[j]] })
	top := 0.0
	for j, i := range order {
		top = math.Max(top, math.Min(1, float64(len(order)-j)*p[i]))
		out[i] = top
	}
	return out
}
