package room

import (
	"math"

	"weighhouse/measure/qualification"
	"weighhouse/verdict"
)

// Format is the name and version of a qualification's JSON form.
const Format = "weighhouse-room/1"

// Report is a qualification as its JSON holds it; numbers that are not known are null.
type Report struct {
	Format       string           `json:"format"`
	Book         string           `json:"book"`
	Day          string           `json:"day"`
	Qualified    bool             `json:"qualified"`
	Why          string           `json:"why,omitempty"`
	ValidUntil   string           `json:"valid_until"`
	N            int              `json:"n"`
	Laboratories int              `json:"laboratories"`
	Makers       int              `json:"makers"`
	RangeX       [2]*float64      `json:"range_x"`
	XMean        *float64         `json:"x_mean"`
	Phi          *float64         `json:"phi"`
	UPhi         *float64         `json:"u_phi"`
	Psi          *float64         `json:"psi"`
	UPsi         *float64         `json:"u_psi"`
	Tau          *float64         `json:"tau"`
	ULab         *float64         `json:"u_L"`
	Q            *float64         `json:"Q"`
	QP           *float64         `json:"Q_p"`
	I2           *float64         `json:"I2"`
	TauPauleM    *float64         `json:"tau_paule_mandel"`
	Predictions  []Use            `json:"predictions"`
	Flags        []string         `json:"flags"`
	Identity     Identity         `json:"identity"`
	Units        []ReportSpecimen `json:"units"`
	Charts       []ReportChart    `json:"charts"`
	Notes        []string         `json:"notes"`
}

// Use is what the room does to a rate at some air changes an hour.
type Use struct {
	X       float64 `json:"x"`
	M       float64 `json:"m"`
	ULine   float64 `json:"u_line"`
	UP      float64 `json:"u_P"`
	DOF     float64 `json:"nu"`
	Z       float64 `json:"z"`
	Tenable bool    `json:"tenable"`
	Factor  float64 `json:"factor"`
	Applied bool    `json:"applied"`
	U       float64 `json:"u"`
}

// ReportSpecimen is one reference unit in the JSON form.
type ReportSpecimen struct {
	Product     string   `json:"product"`
	Serial      string   `json:"serial"`
	Laboratory  string   `json:"laboratory"`
	Certificate string   `json:"certificate"`
	Date        string   `json:"date"`
	Tested      string   `json:"tested"`
	Certified   *float64 `json:"c"`
	CertifiedU  *float64 `json:"u_c"`
	Measured    *float64 `json:"y"`
	X           *float64 `json:"x"`
	D           *float64 `json:"d"`
	V           *float64 `json:"v"`
	Z           *float64 `json:"z"`
	Excluded    bool     `json:"excluded"`
	Why         string   `json:"why,omitempty"`
	Refused     string   `json:"refused,omitempty"`
	Place       string   `json:"place"`
}

// ReportChart is the chart of a check unit in the JSON form.
type ReportChart struct {
	Unit      string        `json:"unit"`
	Why       string        `json:"why,omitempty"`
	Out       bool          `json:"out"`
	Requalify bool          `json:"requalify"`
	Drifts    bool          `json:"drifts"`
	Points    []ReportPoint `json:"points"`
}

// ReportPoint is one session.
type ReportPoint struct {
	Date  string              `json:"date"`
	Value float64             `json:"value"`
	Low   *float64            `json:"lo"`
	High  *float64            `json:"hi"`
	State qualification.State `json:"action"`
}

// UseOf brings a component to its report form.
func UseOf(c qualification.Component) Use {
	return Use{X: c.X, M: c.M, ULine: c.ULine, UP: c.UP, DOF: c.DOF, Z: c.Z, Tenable: c.Tenable, Factor: c.Factor, Applied: c.Applied, U: c.U}
}

// Uses gives the prediction at the ends and the middle of the range of a qualified room.
func (q *Qualification) Uses() []Use {
	if q.Model == nil {
		return nil
	}
	var out []Use
	for _, x := range []float64{q.Model.Low, q.Model.MeanX, q.Model.High} {
		if c, err := q.Model.For(x); err == nil {
			out = append(out, UseOf(c))
		}
	}
	return out
}

// Counts gives the number of specimens that count, of their laboratories and of their makers.
func (q *Qualification) Counts() (n, laboratories, makers int) {
	labs, ms := map[string]bool{}, map[string]bool{}
	for _, s := range q.Specimens {
		if s.Used() {
			n++
			labs[s.Laboratory], ms[s.Reference.Maker] = true, true
		}
	}
	return n, len(labs), len(ms)
}

// Report brings the qualification to its JSON form.
func (q *Qualification) Report() Report {
	r := Report{Format: Format, Book: q.Book, Day: q.Day, Qualified: q.Model != nil, Why: q.Why, ValidUntil: q.ValidUntil, Predictions: q.Uses(), Flags: []string{},
		Identity: q.Identity, Units: []ReportSpecimen{}, Charts: []ReportChart{}, Notes: q.Notes}
	r.N, r.Laboratories, r.Makers = q.Counts()
	if m := q.Model; m != nil {
		h := m.Heterogeneity()
		var d, v []float64
		for _, x := range m.References {
			d, v = append(d, x.D()), append(v, x.V())
		}
		tau2, _, _ := qualification.PauleMandel(d, v)
		r.RangeX = [2]*float64{finite(m.Low), finite(m.High)}
		r.XMean, r.Phi, r.UPhi, r.Psi, r.UPsi, r.Tau, r.ULab = finite(m.MeanX), finite(m.Phi), finite(m.UPhi), finite(m.Psi), finite(m.UPsi), finite(m.Tau), finite(m.ULab)
		r.Q, r.QP, r.I2, r.TauPauleM = finite(h.Q), finite(h.P), finite(h.I2), finite(math.Sqrt(tau2))
	}
	for _, f := range q.Findings {
		r.Flags = append(r.Flags, f.Code)
	}
	for _, s := range q.Specimens {
		x := ReportSpecimen{Product: s.Product, Serial: s.Serial, Laboratory: s.Laboratory, Certificate: s.Certificate, Date: s.Date, Tested: s.Tested, Certified: finite(s.Rate),
			CertifiedU: finite(s.U), Excluded: s.Excluded, Why: s.Why, Refused: s.Refused, Place: s.Place.String(), Z: finite(s.Z)}
		if s.Reference.Measured > 0 {
			x.Measured, x.X, x.D, x.V = finite(s.Reference.Measured), finite(s.Reference.X), finite(s.Reference.D()), finite(s.Reference.V())
		}
		r.Units = append(r.Units, x)
	}
	for _, w := range q.Watches {
		c := ReportChart{Unit: w.Unit, Why: w.Why, Points: []ReportPoint{}}
		if w.Chart != nil {
			c.Out, c.Requalify, c.Drifts = w.Chart.Out, w.Chart.Requalify, w.Chart.Drifts
			for _, p := range w.Chart.Points {
				c.Points = append(c.Points, ReportPoint{Date: p.Name, Value: p.Rate, Low: finite(math.Exp(p.LowAction)), High: finite(math.Exp(p.High)), State: p.State})
			}
		}
		r.Charts = append(r.Charts, c)
	}
	return r
}

// JSON is the qualification as JSON. The same qualification gives the same bytes.
func (q *Qualification) JSON() ([]byte, error) { return verdict.PlainJSON(q.Report(), "  ") }

func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}
