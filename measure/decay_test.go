package measure

import (
	"math"
	"strings"
	"testing"

	"weighhouse/measure/fit"
	"weighhouse/measure/uncertainty"
)

var none = math.NaN()

// every gives n times, step seconds apart.
func every(step float64, n int) []float64 {
	t := make([]float64, n)
	for i := range t {
		t[i] = step * float64(i)
	}
	return t
}

func run(state string, t, c []float64, background float64) DecayRun {
	return DecayRun{Name: "r", State: state, T: t, C: c, From: t[0], To: none, Background: background, BackgroundU: 0, Day: none}
}

func close2(t *testing.T, what string, got, want, rel, abs float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)+abs) {
		t.Errorf("%s = %.13g, want %.13g", what, got, want)
	}
}

// d1 and d2 are integer readings of noiseless decays, C = round(6 + 180*exp(-4.5t)) every 2 min and
// C = round(4 + 200*exp(-9t)) every minute. Slopes, errors and windows computed with numpy 1.24, slopes also with R 4.2 lm.
var (
	d1 = []float64{186, 161, 139, 121, 105, 91, 79, 69, 60, 53, 46, 41, 36, 32, 28, 25}
	d2 = []float64{204, 176, 152, 132, 114, 98, 85, 74, 64, 56, 49, 42, 37, 32, 28, 25, 22, 20, 17, 16, 14, 13, 11, 10, 9, 9, 8, 7, 7, 7, 6}
)

func TestIntegerDecays(t *testing.T) {
	f, err := ReduceRun(run("on", every(120, 16), d1, 6))
	if err != nil {
		t.Fatal(err)
	}
	close2(t, "D1 k", f.K, 4.485859484347, 1e-11, 0)
	close2(t, "D1 A", f.A, 179.744708759, 1e-10, 0)
	close2(t, "D1 SE", f.SE, 0.008862721423, 1e-9, 0)
	close2(t, "D1 R2", f.R2, 0.999945355410, 1e-11, 0)
	close2(t, "D1 rho", f.Serial.Rho, -0.176307015786, 1e-9, 0)
	close2(t, "D1 u_w", f.Within, f.SE, 1e-15, 0)
	if f.Points != 16 || f.Resolution != 1 || len(f.Flags) != 0 {
		t.Errorf("D1: %d points, resolution %g, flags %v; want 16, 1, none", f.Points, f.Resolution, f.Flags)
	}

	f, err = ReduceRun(run("on", every(60, 31), d2, 4))
	if err != nil {
		t.Fatal(err)
	}
	close2(t, "D2 level", f.Level, 19.998864189, 1e-10, 0)
	close2(t, "D2 k", f.K, 9.046908525092, 1e-11, 0)
	close2(t, "D2 SE", f.SE, 0.021167822219, 1e-9, 0)
	close2(t, "D2 rho", f.Serial.Rho, 0.0174990558, 1e-8, 0)
	close2(t, "D2 rho_c", f.Serial.Corrected, 0.189998741, 1e-8, 0)
	close2(t, "D2 n_eff", f.Serial.NEff, 10.890784751, 1e-8, 0)
	close2(t, "D2 u_w", f.Within, 0.025657041898, 1e-9, 0)
	if f.Points != 16 || !f.Ruled {
		t.Errorf("D2: %d points, ended by rule %v; want 16 by rule", f.Points, f.Ruled)
	}

	// an end that is set beyond the end level is cut there, and it says so
	r := run("on", every(60, 31), d2, 4)
	r.To = 1800
	if f, err = ReduceRun(r); err != nil {
		t.Fatal(err)
	}
	close2(t, "D2 k, the end set too late", f.K, 9.046908525092, 1e-11, 0)
	if !hasFlag(f.Flags, WindowCut) {
		t.Errorf("an end far below the rule's end level carries no flag: %v", f.Flags)
	}
	close2(t, "D2 all points k", wholeRate(t, r), 9.045826695, 1e-9, 0)
}

// wholeRate is the rate of a line through all readings of a run, without any window.
func wholeRate(t *testing.T, r DecayRun) float64 {
	t.Helper()
	l := decayLog{run: &r, stop: len(r.T)}
	line, _, err := l.line(0, len(r.T), r.Background)
	if err != nil {
		t.Fatal(err)
	}
	return -line.Slope * 3600
}

func TestFirstPass(t *testing.T) {
	for _, c := range []struct {
		name           string
		t, c           []float64
		b              float64
		first          int
		k, a, end, lev float64
	}{
		{"D1", every(120, 16), d1, 6, 6, 4.493023519, 179.946157610, 30.748805, 17.994615761},
		{"D2", every(60, 31), d2, 4, 10, 9.006991383, 199.988641893, 15.338651910, 19.998864189},
	} {
		r := run("on", c.t, c.c, c.b)
		l, err := openDecay(&r)
		if err != nil {
			t.Fatal(err)
		}
		line, _, err := l.line(0, c.first, c.b)
		if err != nil {
			t.Fatal(err)
		}
		close2(t, c.name+" first-pass k", -line.Slope*3600, c.k, 1e-9, 0)
		close2(t, c.name+" first-pass A", math.Exp(line.Intercept), c.a, 1e-10, 0)
		w, err := l.firstPass(c.b)
		if err != nil {
			t.Fatal(err)
		}
		close2(t, c.name+" end, min", w.end/60, c.end, 1e-7, 0)
		close2(t, c.name+" level", w.level, c.lev, 1e-9, 0)
	}
}

func TestBackgroundEffect(t *testing.T) {
	r := run("on", every(120, 16), d1, 6)
	r.BackgroundU = 0.5
	f, err := ReduceRun(r)
	if err != nil {
		t.Fatal(err)
	}
	close2(t, "D1 u_bg", f.BackgroundEffect, 0.044040882583, 1e-9, 0)
	for b, want := range map[float64]float64{6.5: 4.530455820, 5.5: 4.442374055, 0: 4.025305673671} {
		r.Background, r.BackgroundU = b, 0
		r.To = 1800 // the same window for all
		if f, err = ReduceRun(r); err != nil {
			t.Fatal(err)
		}
		close2(t, "D1 k with another background", f.K, want, 1e-9, 0)
		if b == 0 { // the background ignored
			close2(t, "SE", f.SE, 0.033682630657, 1e-9, 0)
			close2(t, "rho", f.Serial.Rho, 0.659816480, 1e-8, 0)
			close2(t, "rho_c", f.Serial.Corrected, 0.95, 1e-12, 0)
			close2(t, "n_eff", f.Serial.NEff, 3, 1e-12, 0)
			close2(t, "u_w", f.Within, 0.210347961, 1e-8, 0)
		}
	}
}

func TestHalves(t *testing.T) {
	r := run("on", every(120, 16), d1, 6)
	l, _ := openDecay(&r)
	for i, want := range []float64{4.502317551, 4.483514515} {
		line, _, err := l.line(8*i, 8*i+8, 6)
		if err != nil {
			t.Fatal(err)
		}
		close2(t, "half", -line.Slope*3600, want, 1e-9, 0)
	}
}

// Background 5 4 5 6 5 4 5 5 6 5 with resolution 1: computed with n_eff 10.
func TestBackgroundReading(t *testing.T) {
	c := []float64{5, 4, 5, 6, 5, 4, 5, 5, 6, 5}
	tt := every(30, 10+2+16)
	c = append(append(c, 5, 90), d1...)
	r := run("on", tt, c, none)
	r.From = none
	l, err := openDecay(&r)
	if err != nil {
		t.Fatal(err)
	}
	close2(t, "u of the mean reading", readingU(0.6666666666667, 10, 1), 0.357460176492, 1e-10, 0)
	// the run itself has ten readings and allows for their serial correlation: n_eff is 5 for n = 10, rho = 0
	if l.pre == nil || math.Abs(l.pre.value-5) > 1e-9 || l.pre.u < 0.357460176492 || l.pre.u > readingU(0.6666666666667, 3, 1) {
		t.Errorf("reading before the smoke: %+v, want 5 with u of 0.357 or somewhat more", l.pre)
	}
	if got, want := r.T[l.start]-r.T[l.peak], 120.0; got != want {
		t.Errorf("the window begins %g s after the peak, want %g", got, want)
	}
}

// Bias of k when a baseline is ignored, ln C, 31 equal steps without noise: computed with numpy, in %.
func TestBaselineBias(t *testing.T) {
	kT := []float64{1, 1.5, 2, 2.5, 3, 4}
	table := map[float64][]float64{
		0.005: {-0.84, -1.11, -1.48, -2.00, -2.71, -5.03}, 0.010: {-1.66, -2.19, -2.91, -3.90, -5.22, -9.28},
		0.025: {-4.05, -5.29, -6.92, -9.06, -11.79, -19.10}, 0.050: {-7.77, -9.99, -12.81, -16.29, -20.43, -30.17},
		0.100: {-14.38, -18.02, -22.36, -27.30, -32.67, -43.71}, -0.0025: {0.43, 0.57, 0.76, 1.04, 1.44},
		-0.0050: {0.85, 1.14, 1.54, 2.11, 2.95}, -0.0100: {1.72, 2.30, 3.13, 4.35, 6.18},
	}
	for b, row := range table {
		for j, want := range row {
			tt := every(60, 31)
			c := make([]float64, 31)
			for i := range c {
				c[i] = 1000 * (math.Exp(-kT[j]*float64(i)/30) + b)
			}
			r := run("on", tt, c, 0)
			close2(t, "bias in %", 100*(wholeRate(t, r)/(2*kT[j])-1), want, 0, 0.0051)
		}
	}
}

// Noiseless curves give their rate back whatever the background, when that is known.
func TestExactDecay(t *testing.T) {
	for _, k := range []float64{0.2, 3, 12, 30} {
		for _, b := range []float64{0, 5, 40} {
			tt := every(7, 400)
			c := make([]float64, len(tt))
			for i := range c {
				c[i] = b + 217.3*math.Exp(-k*tt[i]/3600)
			}
			f, err := ReduceRun(run("on", tt, c, b))
			if err != nil {
				t.Fatal(err)
			}
			close2(t, "k", f.K, k, 1e-11, 0)
		}
	}
}

// Growth of SE(k) by a free offset, 31 equal steps, relative noise of 3 %: computed with numpy, from the normal
// equations. Here: the same from the fit's own Jacobian at the true curve.
func TestFreeOffsetGrowth(t *testing.T) {
	for kT, want := range map[float64]float64{0.25: 30.1, 0.5: 15.1, 1: 7.6, 1.5: 5.2, 2: 3.9, 2.5: 3.2, 3: 2.8, 4: 2.2} {
		x, y, w := every(1./30, 31), make([]float64, 31), make([]float64, 31)
		for i := range x {
			e := math.Exp(-kT * x[i])
			y[i], w[i] = e*(1+1e-4*float64(1-2*(i%2))), 1/(e*e)
		}
		free, err := fit.LevenbergMarquardt(decayCurve, x, y, w, []float64{0, 1, kT})
		if err != nil {
			t.Fatal(err)
		}
		fixed, err := fit.LevenbergMarquardt(func(x float64, p, g []float64) float64 {
			e := math.Exp(-p[1] * x)
			g[0], g[1] = e, -x*p[0]*e
			return p[0] * e
		}, x, y, w, []float64{1, kT})
		if err != nil {
			t.Fatal(err)
		}
		close2(t, "growth", (free.SE[2]/free.S)/(fixed.SE[1]/fixed.S), want, 0.012, 0)
	}
}

// The budget of one worked case, computed with numpy and scipy 1.10: V 41.6 m³, u 0.52.
func TestBudget(t *testing.T) {
	mk := func(ks, uw, neff []float64, bg float64) (out []DecayFit) {
		for i := range ks {
			f := DecayFit{K: ks[i], Within: uw[i], BackgroundEffect: bg, FreeK: none, log: &decayLog{run: &DecayRun{
				T: every(60, 11), C: make([]float64, 11), Day: none}}, Last: 11, source: background{measured: true, dof: math.Inf(1)}}
			f.Serial.NEff = neff[i]
			out = append(out, f)
		}
		return
	}
	off := mk([]float64{0.148, 0.171, 0.160}, []float64{0.012, 0.010, 0.014}, []float64{12, 11, 13}, 0)
	for _, c := range []struct {
		name                         string
		on                           []float64
		part                         string
		uOn, dofOn, value, u, dof, k float64
		expanded                     float64
		p                            map[float64]float64
	}{
		{"between", []float64{5.120, 4.960, 5.205}, "between runs", 2.987775984, 2, 205.309866667, 4.073632916, 6, 2.446911849, 9.967820650,
			map[float64]float64{190: 0.995291, 195: 0.977687, 200: 0.879904, 205: 0.529080, 210: 0.146699}},
		{"floor", []float64{5.085, 5.092, 5.099}, "within runs", 1.295550430, 21.8, 205.185066667, 3.055834758, 673, 1.963495145, 6.000116710,
			map[float64]float64{190: 1, 195: 0.999547, 200: 0.954899, 205: 0.524137, 210: 0.057788}},
	} {
		p := &decayPhases{off: natural{fits: off}}
		s := &decaySetting{fits: mk(c.on, []float64{0.048, 0.061, 0.052}, []float64{9.5, 8.2, 10.1}, 0.024)}
		p.on = []*decaySetting{s}
		m := p.combine(s, p.off, DecayOptions{Volume: 41.6, VolumeU: 0.52, Fan: "on"})
		close2(t, c.name+" CADR", m.Value, c.value, 1e-9, 0)
		close2(t, c.name+" u", m.Std, c.u, 1e-9, 0)
		close2(t, c.name+" dof", m.DOF, c.dof, 0, 0)
		close2(t, c.name+" k", m.K, c.k, 1e-8, 0)
		close2(t, c.name+" U", m.Expanded, c.expanded, 1e-8, 0)
		if m.Budget[0].Name != c.part {
			t.Errorf("%s: first component %q, want %q", c.name, m.Budget[0].Name, c.part)
		}
		close2(t, c.name+" V*u(k_e)", m.Budget[0].U, c.uOn, 1e-9, 0)
		close2(t, c.name+" dof of it", m.Budget[0].DOF, c.dofOn, 1e-9, 0)
		close2(t, c.name+" V*u(k_n)", m.Budget[1].U, 0.290869654, 1e-8, 0)
		close2(t, c.name+" V*u_bg", m.Budget[2].U, 0.9984, 1e-12, 0)
		close2(t, c.name+" volume", m.Budget[3].U, m.Value/41.6*0.52, 1e-12, 0)
		for limit, want := range c.p {
			close2(t, c.name+" probability", uncertainty.CDF((m.Value-limit)/m.Std, m.DOF), want, 0, 1e-6)
		}
		if len(m.Warnings) != 0 {
			t.Errorf("%s: warnings %v on a clean case", c.name, m.Warnings)
		}
	}
}

// Pooled repeatability: computed. The degrees of freedom and standard deviations of four groups.
func TestPooled(t *testing.T) {
	p := &decayPhases{}
	for _, g := range []struct {
		nu int
		s  float64
	}{{2, 0.021}, {2, 0.034}, {3, 0.018}, {1, 0.040}} {
		// nu+1 runs about 1 with relative standard deviation s: one pair at 1 ± a, the others at 1
		a := g.s * math.Sqrt(float64(g.nu)/2)
		s := &decaySetting{fits: []DecayFit{{K: 1 + a}, {K: 1 - a}}}
		for i := 1; i < g.nu; i++ {
			s.fits = append(s.fits, DecayFit{K: 1})
		}
		p.on = append(p.on, s)
	}
	r := p.pooled()
	close2(t, "s_p", r.s, 0.026846787517, 1e-9, 0)
	close2(t, "nu_p", r.dof, 8, 0, 0)
}

// AHAM AC-1's chamber of 1008 ft³ with rates of 0.250 and 0.004 per minute: 247.968 cfm = 421.300308944 m³/h. Limits:
// 450 cfm in that chamber is 26.785714 per hour; SD of 0.12 and 0.48 per hour give 14.122485 m³/h. All computed.
func TestPublishedRates(t *testing.T) {
	curve := func(k float64, minutes int) ([]float64, []float64) {
		tt := every(10, minutes*6+1)
		c := make([]float64, len(tt))
		for i := range c {
			c[i] = 250 * math.Exp(-k*tt[i]/60)
		}
		return tt, c
	}
	var runs []DecayRun
	for range 3 {
		tt, c := curve(0.250, 20)
		runs = append(runs, run("on", tt, c, 0))
		tt, c = curve(0.004, 20)
		runs = append(runs, run("off", tt, c, 0))
	}
	ms, problems := DeliveryRates(runs, DecayOptions{Volume: 1008 * 0.3048 * 0.3048 * 0.3048, Method: "chamber", MethodU: none})
	if len(ms) != 1 || len(problems) != 0 {
		t.Fatalf("%d results, problems %v", len(ms), problems)
	}
	close2(t, "rate", ms[0].Value, 421.300308944, 1e-9, 0)
	close2(t, "limit of the chamber", tooFast, 26.785714, 1e-7, 0)
	close2(t, "unsteady limits", 28.543381364736*math.Hypot(unsteadyOff, unsteadyOn), 14.122485, 1e-6, 0)
	if ms[0].Has(RoomTooSmall) || ms[0].Has(Indicative) {
		t.Errorf("flags %v", ms[0].Flags())
	}
}

func hasFlag(ws []Warning, f Flag) bool {
	for _, w := range ws {
		if w.Flag == f && strings.HasSuffix(w.Text, ".") {
			return true
		}
	}
	return false
}
