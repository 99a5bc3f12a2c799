// Package qualification says what a room adds to a delivery rate, from units whose rate an accredited laboratory has
// certified and that were measured in the room: a random-effects model with a slope against the air changes, its
// prediction for another unit, its checks, and the control chart of a check unit. It takes numbers and reads no file.
package qualification

import (
	"errors"
	"fmt"
	"math"
	"sort"
)

// Reference is one reference unit: what the room gave and what its certificate says, in the same unit.
type Reference struct {
	Name        string
	Serial      string
	Maker       string
	Laboratory  string
	Measured    float64 // y, the rate measured in the room
	Repeat      float64 // s, the relative standard uncertainty of y from between runs and natural decay alone
	Certified   float64 // c, the certified rate of this specimen
	CertifiedU  float64 // standard uncertainty of c
	CommonShare float64 // relative standard uncertainty that the laboratory's certificates share; NaN: half of the variance (judgement)
	X           float64 // k_e - k_n, the unit's own air changes an hour in the room
}

// D is d = ln(y/c): what the room did to this unit.
func (r Reference) D() float64 { return math.Log(r.Measured / r.Certified) }

// common is the relative standard uncertainty that the certificate shares with others of its laboratory.
func (r Reference) common() float64 {
	u := r.CertifiedU / r.Certified
	if math.IsNaN(r.CommonShare) {
		return u / math.Sqrt2
	}
	return math.Min(r.CommonShare, u)
}

// V is v = s² + u²(c)/c² less the part that the laboratory's certificates share: the variance of d from all but the
// unit-by-room scatter.
func (r Reference) V() float64 {
	u, k := r.CertifiedU/r.Certified, r.common()
	return r.Repeat*r.Repeat + math.Max(0, u*u-k*k)
}

// The weak knowledge that the model starts from: what is usual of ordinary rooms before any unit was measured
// (judgement; the scale of the slope is 1/(4*20), a room of 20 exchanges an hour).
const (
	scaleTau   = 0.05
	scalePhi   = 0.10
	scaleSlope = 0.0125 // h
	gridStep   = 0.0005
	gridSize   = 600
)

// Model is the random-effects model d_i = phi + psi (x_i - x̄) + delta_i + e_i, with delta_i ~ N(0, tau²) for the
// unit-by-room scatter and e_i ~ N(0, v_i), as a mixture over a grid of tau with half-normal weight.
//
// DerSimonian and Laird, Control. Clin. Trials 7 (1986) 177; Paule and Mandel, J. Res. NBS 87 (1982) 377; predictive
// form of Higgins, Thompson and Spiegelhalter, JRSS A 172 (2009) 137; weakly informative scale of Röver et al., Res.
// Synth. Methods 12 (2021) 448.
type Model struct {
	References []Reference
	MeanX      float64
	Low, High  float64 // the range of x that the references span
	Tau        float64 // posterior mean of the unit-by-room scatter
	Phi, UPhi  float64 // what the room does at MeanX, and its standard uncertainty
	Psi, UPsi  float64 // its change per air change an hour
	ULab       float64 // relative standard uncertainty that the certificates share

	Grid []Node // of tau, with its weights
}

// Node is one value of tau with its weight P and the posterior of (phi, psi) there, mean and covariance. The sums over the
// references that they come from stand with it, so that a reader can follow them: A is the matrix, B the vector, SumLog
// the sum of ln w, DWD that of w d², and LogP the logarithm of the weight before it is normalised.
type Node struct {
	Tau, P            float64
	Phi, Psi          float64
	C00, C01, C11     float64
	A00, A01, A11     float64
	B0, B1            float64
	SumLog, DWD, LogP float64
}

// ErrNone is the answer where no usable reference unit is given.
var ErrNone = errors.New("no reference unit")

// Fit estimates the model. Each reference takes positive rates and finite uncertainties; without any it is ErrNone.
func Fit(refs []Reference) (*Model, error) {
	if len(refs) == 0 {
		return nil, ErrNone
	}
	for _, r := range refs {
		if !(r.Measured > 0) || !(r.Certified > 0) || !(r.Repeat >= 0) || !(r.CertifiedU >= 0) || math.IsNaN(r.X) || math.IsInf(r.X, 0) || r.V() <= 0 {
			return nil, fmt.Errorf("reference unit %s: rates above 0, finite air changes and an uncertainty above 0 are needed", r.Name)
		}
	}
	m := &Model{References: refs, Low: math.Inf(1), High: math.Inf(-1), ULab: commonOf(refs)}
	for _, r := range refs {
		m.MeanX += r.X / float64(len(refs))
		m.Low, m.High = math.Min(m.Low, r.X), math.Max(m.High, r.X)
	}
	top := math.Inf(-1)
	for j := 1; j <= gridSize; j++ {
		n := m.at((float64(j) - 0.5) * gridStep)
		top = math.Max(top, n.LogP)
		m.Grid = append(m.Grid, n)
	}
	sum := 0.0
	for j := range m.Grid {
		m.Grid[j].P = math.Exp(m.Grid[j].LogP - top)
		sum += m.Grid[j].P
	}
	for j := range m.Grid {
		n := &m.Grid[j]
		n.P /= sum
		m.Tau += n.P * n.Tau
		m.Phi += n.P * n.Phi
		m.Psi += n.P * n.Psi
	}
	for _, n := range m.Grid {
		m.UPhi += n.P * (n.C00 + (n.Phi-m.Phi)*(n.Phi-m.Phi))
		m.UPsi += n.P * (n.C11 + (n.Psi-m.Psi)*(n.Psi-m.Psi))
	}
	m.UPhi, m.UPsi = math.Sqrt(m.UPhi), math.Sqrt(m.UPsi)
	return m, nil
}

// at gives the posterior of (phi, psi) for one tau and the logarithm of that tau's weight, up to a constant.
func (m *Model) at(tau float64) Node {
	n := Node{Tau: tau, A00: 1 / (scalePhi * scalePhi), A11: 1 / (scaleSlope * scaleSlope)}
	for _, r := range m.References {
		w, x, d := 1/(r.V()+tau*tau), r.X-m.MeanX, r.D()
		n.A00, n.A01, n.A11 = n.A00+w, n.A01+w*x, n.A11+w*x*x
		n.B0, n.B1 = n.B0+w*d, n.B1+w*x*d
		n.SumLog += math.Log(w)
		n.DWD += w * d * d
	}
	det := n.A00*n.A11 - n.A01*n.A01
	n.C00, n.C01, n.C11 = n.A11/det, -n.A01/det, n.A00/det
	n.Phi, n.Psi = n.C00*n.B0+n.C01*n.B1, n.C01*n.B0+n.C11*n.B1
	half := tau / scaleTau
	n.LogP = 0.5*n.SumLog - 0.5*math.Log(det) - 0.5*(n.DWD-n.B0*n.Phi-n.B1*n.Psi) - 0.5*half*half
	return n
}

// Prediction is what the model says of a unit with X air changes an hour: the mean M of ln(y/true), the standard
// uncertainty ULine of that mean, UP of a single unit about it, and the degrees of freedom of a t with the same kurtosis.
type Prediction struct {
	X, M, ULine, UP, DOF float64
}

// Predict gives the prediction at x.
//
//	m = Σ p_j μ_j; u_line² = Σ p_j (f_j + (μ_j - m)²); u_P² = Σ p_j (f_j + τ_j² + (μ_j - m)²); ν = 4 + 6/(μ4/u_P⁴ - 3), at most 200
func (m *Model) Predict(x float64) Prediction {
	p := Prediction{X: x}
	g := x - m.MeanX
	for _, n := range m.Grid {
		p.M += n.P * (n.Phi + g*n.Psi)
	}
	var line, single, fourth float64
	for _, n := range m.Grid {
		off := n.Phi + g*n.Psi - p.M
		f := n.C00 + 2*g*n.C01 + g*g*n.C11
		s := f + n.Tau*n.Tau
		line += n.P * (f + off*off)
		single += n.P * (s + off*off)
		fourth += n.P * (3*s*s + 6*s*off*off + off*off*off*off)
	}
	p.ULine, p.UP = math.Sqrt(line), math.Sqrt(single)
	p.DOF = 200
	if excess := fourth/(single*single) - 3; excess > 0 {
		p.DOF = math.Min(200, 4+6/excess)
	}
	return p
}

// commonOf is u_L: the largest shared part where the certificates come from one laboratory, else the root mean square
// over the laboratories divided by the root of their number.
func commonOf(refs []Reference) float64 {
	byLab := map[string]float64{}
	for _, r := range refs {
		byLab[r.Laboratory] = math.Max(byLab[r.Laboratory], r.common())
	}
	labs := make([]string, 0, len(byLab))
	for l := range byLab {
		labs = append(labs, l)
	}
	sort.Strings(labs)
	s := 0.0
	for _, l := range labs {
		s += byLab[l] * byLab[l]
	}
	return math.Sqrt(s) / float64(len(labs))
}
