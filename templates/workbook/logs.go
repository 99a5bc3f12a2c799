package workbook

import (
	"fmt"
	"math"

	"weighhouse/measure"
	"weighhouse/measure/fit"
	"weighhouse/measure/sheet"
	"weighhouse/templates/xlsx"
)

// Columns of Logs.
const (
	logID = 1 + iota
	logRun
	logState
	logHours
	logReading
	logInside
	logExcess
	logTime
	logLn
	logFitted
	logResidual
)

// Columns of Fits.
const (
	fitID = 1 + iota
	fitRun
	fitState
	fitUnit
	fitBackground
	fitFrom
	fitTo
	fitPoints
	fitK
	fitLnA
	fitA
	fitR2
	fitSS
	fitSxx
	fitSE
	fitRho
	fitRhoC
	fitFactor
	fitU
	fitUsed
	fitNote
)

// lineFit is what the formulas of Fits give for one log: the results that stand in the file for programs that do not
// calculate.
type lineFit struct {
	ok                          bool // a line can be fitted to what the log shows
	n                           int
	k, lnA, r2, ss, sxx, se     float64
	rho, rhoC, factor, u        float64
	inside                      []bool
	excess, ln, fitted, residue []float64 // NaN where the cell is blank
}

// fitOf is the least-squares line through ln(C - background) over the window of a curve, as the formulas do it.
func fitOf(c *measure.Curve) lineFit {
	n := len(c.Hours)
	f := lineFit{inside: make([]bool, n), excess: make([]float64, n), ln: make([]float64, n), fitted: make([]float64, n), residue: make([]float64, n)}
	var x, y []float64
	for i, h := range c.Hours {
		f.inside[i] = h >= c.From && h <= c.To
		f.excess[i] = c.Value[i] - c.Background
		f.ln[i], f.fitted[i], f.residue[i] = math.NaN(), math.NaN(), math.NaN()
		if f.inside[i] && f.excess[i] > 0 {
			f.ln[i] = math.Log(f.excess[i])
			x, y = append(x, h), append(y, f.ln[i])
		}
	}
	f.n = len(x)
	if f.n < 5 { // the correction for serial correlation divides by n - 4
		return f
	}
	line, err := fit.Straight(x, y)
	if err != nil || line.SSE == 0 || math.IsNaN(line.R2) {
		return f
	}
	f.ok = true
	f.k, f.lnA, f.r2, f.ss, f.se = -line.Slope, line.Intercept, line.R2, line.SSE, line.SESlope
	f.sxx = line.SSE / float64(f.n-2) / (line.SESlope * line.SESlope)
	last, num := math.NaN(), 0.0
	for i, h := range c.Hours {
		if math.IsNaN(f.ln[i]) {
			last = math.NaN() // a blank cell counts as nothing in the sum of products
			continue
		}
		f.fitted[i] = f.lnA - f.k*h
		f.residue[i] = f.ln[i] - f.fitted[i]
		if !math.IsNaN(last) {
			num += last * f.residue[i]
		}
		last = f.residue[i]
	}
	f.rho = num / f.ss
	f.rhoC = math.Min(0.95, math.Max(0, (float64(f.n)*f.rho+2)/float64(f.n-4)))
	f.factor = math.Sqrt((1 + f.rhoC) / (1 - f.rhoC))
	f.u = f.se * f.factor
	return f
}

// at is the address of a column of the log's fit, from any sheet.
func (l *logged) at(col int) string {
	return xlsx.On(fitsName, fmt.Sprintf("$%s$%d", sheet.ColumnLetters(col), l.row))
}

// range of a column of Logs that belongs to the log, from any sheet.
func (l *logged) rows(col int) string { return xlsx.On(logsName, xlsx.Down(col, l.from, l.to)) }

func (b *book) logsSheet() *xlsx.Sheet {
	s := &xlsx.Sheet{Name: logsName, FreezeRows: 1, Filter: true, Portrait: true}
	s.Widths(6, 12, 7, 11, 11, 10, 13, 12, 12, 12, 12)
	s.Head("log", "run", "state", "hours since window start [h]", "reading", "in the window", "reading less background", "hours in window", "ln of excess", "fitted line", "residual")
	for _, l := range b.logs {
		c := l.r.Curve
		for i := range c.Hours {
			row := l.from + i
			at := func(col int) string { return xlsx.At(col, row) }
			inside := ""
			if l.fit.inside[i] {
				inside = "yes"
			}
			cells := []xlsx.Cell{
				xlsx.Text(l.id), xlsx.Text(l.r.Run), xlsx.Text(l.r.State),
				formatted(given(c.Hours[i]), "0.00000"), formatted(given(c.Value[i]), "0.0##"),
				{Formula: fmt.Sprintf(`IF(AND(%s>=%s,%s<=%s),"yes","")`, at(logHours), l.at(fitFrom), at(logHours), l.at(fitTo)), Value: inside},
				formatted(formula(at(logReading)+"-"+l.at(fitBackground), l.fit.excess[i]), "0.0##"),
				b.blankable(fmt.Sprintf(`IF(AND(%s="yes",%s>0),%s,"")`, at(logInside), at(logExcess), at(logHours)), hoursIf(c.Hours[i], l.fit.ln[i])),
				b.blankable(fmt.Sprintf(`IF(%s="","",LN(%s))`, at(logTime), at(logExcess)), l.fit.ln[i]),
			}
			if l.fit.ok {
				cells = append(cells,
					b.blankable(fmt.Sprintf(`IF(%s="","",%s-%s*%s)`, at(logTime), l.at(fitLnA), l.at(fitK), at(logTime)), l.fit.fitted[i]),
					b.blankable(fmt.Sprintf(`IF(%s="","",%s-%s)`, at(logTime), at(logLn), at(logFitted)), l.fit.residue[i]))
			}
			s.Add(cells...)
		}
	}
	return s
}

// hoursIf is the time of a reading that is part of the fit, NaN of another.
func hoursIf(h, ln float64) float64 {
	if math.IsNaN(ln) {
		return math.NaN()
	}
	return h
}

// blankable is a formula that gives a number or the empty text.
func (b *book) blankable(f string, v float64) xlsx.Cell {
	if math.IsNaN(v) {
		return xlsx.Cell{Formula: f, Value: ""}
	}
	return xlsx.Cell{Formula: f, Value: v, Look: xlsx.Look{Format: "0.00000"}}
}

func (b *book) fitsSheet() *xlsx.Sheet {
	s := &xlsx.Sheet{Name: fitsName, FreezeRows: 1, FreezeCols: 2, PagesWide: 2}
	s.Widths(6, 14, 7, 9, 11, 9, 9, 8, 10, 10, 11, 10, 11, 11, 11, 11, 11, 9, 11, 9, 46)
	s.Head("log", "run", "state", "reading's unit", "background", "window from [h]", "window to [h]", "points", "rate k [1/h]", "ln A", "initial excess A", "R²",
		"Σ residual²", "Σ(t−t̄)²", "SE(k) [1/h]", "ρ₁ of residuals", "ρ corrected", "√((1+ρ)/(1−ρ))", "u(k) within run [1/h]", "points in the audit", "remark")
	for _, l := range b.logs {
		c, f := l.r.Curve, l.fit
		at := func(col int) string { return xlsx.At(col, l.row) }
		cells := []xlsx.Cell{
			xlsx.Text(l.id), xlsx.Text(l.r.Run), xlsx.Text(l.r.State), xlsx.Text(c.ValueUnit),
			given(c.Background), formatted(given(c.From), "0.0000"), formatted(given(c.To), "0.0000"),
			count(fmt.Sprintf("COUNT(%s)", l.rows(logLn)), f.n),
		}
		remark := "fewer than five readings above the background, or all alike: no line is fitted here"
		if f.ok {
			x, y, r := l.rows(logTime), l.rows(logLn), l.rows(logResidual)
			lag := fmt.Sprintf("SUMPRODUCT(%s,%s)/%s", xlsx.On(logsName, xlsx.Down(logResidual, l.from, l.to-1)),
				xlsx.On(logsName, xlsx.Down(logResidual, l.from+1, l.to)), at(fitSS))
			cells = append(cells,
				formula(fmt.Sprintf("-SLOPE(%s,%s)", y, x), f.k),
				formula(fmt.Sprintf("INTERCEPT(%s,%s)", y, x), f.lnA),
				formula("EXP("+at(fitLnA)+")", math.Exp(f.lnA)),
				formatted(formula(fmt.Sprintf("RSQ(%s,%s)", y, x), f.r2), "0.000000"),
				formula("SUMSQ("+r+")", f.ss),
				formula("DEVSQ("+x+")", f.sxx),
				formula(fmt.Sprintf("SQRT(%s/(%s-2)/%s)", at(fitSS), at(fitPoints), at(fitSxx)), f.se),
				formatted(formula(lag, f.rho), "0.0000"),
				formatted(formula(fmt.Sprintf("MIN(0.95,MAX(0,(%s*%s+2)/(%s-4)))", at(fitPoints), at(fitRho), at(fitPoints)), f.rhoC), "0.0000"),
				formula(fmt.Sprintf("SQRT((1+%s)/(1-%s))", at(fitRhoC), at(fitRhoC)), f.factor),
				formula(at(fitSE)+"*"+at(fitFactor), f.u),
			)
			remark = "line through all readings of the window; the window itself is the audit's"
			if f.n != l.r.Points {
				remark = fmt.Sprintf("the log is thinned here: %d of the %d readings of the fit are shown, so the audit's rate differs a little", f.n, l.r.Points)
			}
		}
		for len(cells) < fitU {
			cells = append(cells, xlsx.Cell{})
		}
		s.Add(append(cells, whole(l.r.Points), xlsx.Text(remark))...)
	}
	return s
}
