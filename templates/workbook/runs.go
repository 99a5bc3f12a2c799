package workbook

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/measure"
	"weighhouse/templates/xlsx"
)

// Columns of Runs.
const (
	runOf = 1 + iota
	runAttribute
	runSetting
	runName
	runState
	runValue
	runUnit
	runU
	runPoints
	runFrom
	runTo
	runR2
	runLog
	runHow
	runFlags
	runPlace
)

// Columns of Means.
const (
	meanOf = 1 + iota
	meanAttribute
	meanState
	meanUnit
	meanRuns
	meanMean
	meanEnergy
	meanSD
	meanBetween
	meanWithin
	meanLarger
)

func (b *book) runsSheet() *xlsx.Sheet {
	s := &xlsx.Sheet{Name: runsName, FreezeRows: 1, FreezeCols: 1, Filter: true, PagesWide: 2}
	s.Widths(8, 15, 11, 18, 7, 11, 9, 11, 8, 12, 12, 10, 6, 34, 40, 34)
	s.Head("result", "attribute", "setting", "run", "state", "value", "unit", "u within the run", "points", "from", "to", "R²", "log", "how the value came", "flags", "where it stands")
	for _, x := range b.runs {
		var value, u, r2 []expr
		otherwise := "number from the audit"
		if l := x.log; l != nil {
			otherwise = "number from the audit: the fit of the whole log, see Fits"
			if l.fit.ok && l.fit.n == x.r.Points {
				value = []expr{{l.at(fitK), l.fit.k, "slope of its log, see Fits"}}
				u = []expr{{l.at(fitU), l.fit.u, ""}}
				r2 = []expr{{l.at(fitR2), l.fit.r2, ""}}
			}
		}
		v, how := live(x.r.Value, otherwise, value...)
		du, _ := live(x.r.Std, "", u...)
		q, _ := live(x.r.R2, "", r2...)
		log := ""
		if x.log != nil {
			log = x.log.id
		}
		if !b.within(x) {
			du = xlsx.Cell{}
		}
		s.Add(xlsx.Text(x.of.m.ID), xlsx.Text(x.of.m.Attribute), xlsx.Text(x.of.m.Setting), xlsx.Text(x.r.Run), xlsx.Text(x.r.State),
			v, xlsx.Text(x.r.Unit), du, whole(x.r.Points), xlsx.Text(x.r.From), xlsx.Text(x.r.To), formatted(q, "0.000000"),
			xlsx.Text(log), xlsx.Text(how), xlsx.Wrapped(warnings(x.r.Flags)), xlsx.Text(x.r.Place))
	}
	return s
}

// within reports whether the run has a within-run uncertainty: zero means that there was none to find.
func (b *book) within(x *run) bool { return x.r.Std > 0 && !math.IsInf(x.r.Std, 1) }

// warnings joins warnings into one text.
func warnings(ws []measure.Warning) string {
	var out []string
	for _, w := range ws {
		out = append(out, fmt.Sprintf("%s: %s", w.Flag, w.Text))
	}
	return strings.Join(out, "\n")
}

// stats are the results of the formulas of Means for one group.
type stats struct{ mean, energy, sd, between, within, larger float64 }

func (g *mean) stats() stats {
	var t stats
	n := float64(len(g.runs))
	for _, x := range g.runs {
		t.mean += x.r.Value / n
		t.energy += math.Pow(10, x.r.Value/10) / n
		t.within += x.r.Std * x.r.Std
	}
	t.energy = 10 * math.Log10(t.energy)
	t.within = math.Sqrt(t.within/n) / math.Sqrt(n)
	t.sd, t.between = math.NaN(), math.NaN()
	if len(g.runs) > 1 {
		ss := 0.0
		for _, x := range g.runs {
			ss += (x.r.Value - t.mean) * (x.r.Value - t.mean)
		}
		t.sd = math.Sqrt(ss / (n - 1))
		t.between = t.sd / math.Sqrt(n)
	}
	t.larger = t.within
	if t.between > t.within {
		t.larger = t.between
	}
	return t
}

// level reports whether the group is of levels, which are averaged by energy.
func (g *mean) level() bool { return strings.HasPrefix(g.runs[0].r.Unit, "dB") }

func (b *book) meansSheet() *xlsx.Sheet {
	s := &xlsx.Sheet{Name: meansName, FreezeRows: 1, FreezeCols: 1}
	s.Widths(12, 15, 8, 9, 8, 12, 14, 14, 14, 22, 16)
	s.Head("result", "attribute", "state", "unit", "runs m", "mean", "energy mean [dB]", "standard deviation s", "s/√m", "√(mean u²)/√m of the runs' own u", "the larger one")
	for _, g := range b.means {
		values := xlsx.On(runsName, xlsx.Down(runValue, g.from, g.to))
		us := xlsx.On(runsName, xlsx.Down(runU, g.from, g.to))
		at := func(col int) string { return xlsx.At(col, g.row) }
		t := g.stats()
		m := at(meanRuns)
		var energy, sd, between xlsx.Cell
		if g.level() {
			energy = formula(fmt.Sprintf("10*LOG10(SUMPRODUCT(10^(%s/10))/%s)", values, m), t.energy)
		}
		if len(g.runs) > 1 {
			sd = formula(fmt.Sprintf("STDEV(%s)", values), t.sd)
			between = formula(fmt.Sprintf("%s/SQRT(%s)", at(meanSD), m), t.between)
		}
		s.Add(xlsx.Text(g.of.m.ID), xlsx.Text(g.of.m.Attribute), xlsx.Text(g.state), xlsx.Text(g.runs[0].r.Unit),
			count(fmt.Sprintf("COUNT(%s)", values), len(g.runs)),
			formula(fmt.Sprintf("AVERAGE(%s)", values), t.mean), energy, sd, between,
			formula(fmt.Sprintf("SQRT(SUMSQ(%s)/%s)/SQRT(%s)", us, m, m), t.within),
			formula(fmt.Sprintf("MAX(%s,%s)", at(meanBetween), at(meanWithin)), t.larger))
	}
	return s
}

// at is the address of a column of the group on Means, from any sheet.
func (g *mean) at(col int) string { return xlsx.On(meansName, xlsx.At(col, g.row)) }
