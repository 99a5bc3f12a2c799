package qualification

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Heterogeneity is Cochran's Q of the d about their weighted mean, its degrees of freedom, the probability of a larger Q
// from the stated uncertainties alone, and I² = max(0, 1 - (n-1)/Q). Cochran, Biometrics 10 (1954) 101; Higgins and
// Thompson, Stat. Med. 21 (2002) 1539.
type Heterogeneity struct {
	Q, DOF, P, I2 float64
}

// Heterogeneity gives Q and I² of the references.
func (m *Model) Heterogeneity() Heterogeneity {
	sw, swd := 0.0, 0.0
	for _, r := range m.References {
		sw += 1 / r.V()
		swd += r.D() / r.V()
	}
	mean := swd / sw
	h := Heterogeneity{DOF: float64(len(m.References) - 1), P: 1}
	for _, r := range m.References {
		h.Q += (r.D() - mean) * (r.D() - mean) / r.V()
	}
	if h.DOF > 0 {
		h.P = distuv.ChiSquared{K: h.DOF}.Survival(h.Q)
	}
	if h.Q > 0 {
		h.I2 = math.Max(0, 1-h.DOF/h.Q)
	}
	return h
}

// LeaveOneOut gives for each reference z = (d - m)/sqrt(u_P² + v), with m and u_P of the model without it. It is nil for
// fewer than two references.
func (m *Model) LeaveOneOut() []float64 {
	if len(m.References) < 2 {
		return nil
	}
	out := make([]float64, len(m.References))
	for i, r := range m.References {
		rest := append(append([]Reference(nil), m.References[:i]...), m.References[i+1:]...)
		o, err := Fit(rest)
		if err != nil {
			return nil
		}
		p := o.Predict(r.X)
		out[i] = (r.D() - p.M) / math.Sqrt(p.UP*p.UP+r.V())
	}
	return out
}

// PauleMandel gives the between-unit variance tau² at which Cochran's Q with weights 1/(v + tau²) equals n - 1, the
// weighted mean there and its standard error; tau² is 0 where Q is already smaller without it. It is printed beside the
// model's own scatter as the published estimate. Paule and Mandel, J. Res. NBS 87 (1982) 377.
func PauleMandel(d, v []float64) (tau2, mean, se float64) {
	q := func(t float64) float64 {
		sw, swd := 0.0, 0.0
		for i := range d {
			w := 1 / (v[i] + t)
			sw, swd = sw+w, swd+w*d[i]
		}
		mean, se = swd/sw, 1/math.Sqrt(sw)
		s := 0.0
		for i := range d {
			s += (d[i] - mean) * (d[i] - mean) / (v[i] + t)
		}
		return s
	}
	want := float64(len(d) - 1)
	if q(0) > want {
		lo, hi := 0.0, 1.0
		for q(hi) > want {
			hi *= 2
		}
		for range 200 {
			mid := (lo + hi) / 2
			if q(mid) > want {
				lo = mid
			} else {
				hi = mid
			}
		}
		tau2 = (lo + hi) / 2
	}
	q(tau2)
	return tau2, mean, se
}

// OneMore gives the standard uncertainty of a single unit at x if one more reference with the median repeatability and
// certificate uncertainty were measured there and agreed with the model: what another certificate would gain.
func (m *Model) OneMore(x float64) float64 {
	r := Reference{Name: "one more", Laboratory: m.References[0].Laboratory, Certified: 1, X: x, CommonShare: math.NaN(),
		Repeat: median(m.References, func(r Reference) float64 { return r.Repeat }), CertifiedU: median(m.References, func(r Reference) float64 { return r.CertifiedU / r.Certified })}
	r.Measured = math.Exp(m.Predict(x).M)
	o, err := Fit(append(append([]Reference(nil), m.References...), r))
	if err != nil {
		return math.NaN()
	}
	return o.Predict(x).UP
}
