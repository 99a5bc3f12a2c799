package workbook

import (
	"math"
	"strings"

	"weighhouse/measure"
	"weighhouse/templates/xlsx"
)

// expr is a formula with the value that it gives and, in words, what it does.
type expr struct {
	formula string
	value   float64
	how     string
}

// agreement is how closely a formula must give the audit's number to stand in its place. It is tighter than what the
// test asks after recalculation, 1e-9, to leave room for another program's arithmetic.
const agreement = 1e-10

// near reports whether two numbers agree.
func near(a, b float64) bool {
	return a == b || math.Abs(a-b) <= agreement*math.Max(math.Abs(a), math.Abs(b))
}

// pick is the first candidate that gives the audit's number.
func pick(want float64, candidates ...expr) (expr, bool) {
	for _, c := range candidates {
		if c.formula != "" && near(c.value, want) {
			return c, true
		}
	}
	return expr{}, false
}

// live is a cell with the first candidate that gives the audit's number, and what to say beside it; where none does, it is
// the number itself.
func live(want float64, otherwise string, candidates ...expr) (xlsx.Cell, string) {
	if e, ok := pick(want, candidates...); ok {
		c := formula(e.formula, want)
		return c, e.how
	}
	return given(want), otherwise
}

// given is a number from the audit, in blue; a number that is not finite is a word, and NaN is nothing.
func given(v float64) xlsx.Cell {
	c := number(v)
	c.Look.Given = true
	return c
}

// number is a number with as many decimals as its size asks for.
func number(v float64) xlsx.Cell {
	switch {
	case math.IsNaN(v):
		return xlsx.Cell{}
	case math.IsInf(v, 0):
		return xlsx.Cell{Value: infinite, Look: xlsx.Look{Right: true}}
	}
	return xlsx.Cell{Value: v, Look: xlsx.Look{Format: decimals(v)}}
}

// infinite stands for infinitely many degrees of freedom.
const infinite = "infinite"

// formula is a live cell with its result.
func formula(f string, v float64) xlsx.Cell {
	c := number(v)
	c.Formula = f
	return c
}

// formatted is a cell in another number format.
func formatted(c xlsx.Cell, format string) xlsx.Cell {
	if c.Value != nil {
		c.Look.Format = format
	}
	return c
}

// decimals is a number format that shows about four figures.
func decimals(v float64) string {
	switch a := math.Abs(v); {
	case a == 0:
		return "0"
	case a < 0.001 || a >= 1e7:
		return "0.000E+00"
	case a < 1:
		return "0.0000"
	case a < 10:
		return "0.000"
	case a < 100:
		return "0.00"
	case a < 1000:
		return "0.0"
	}
	return "#,##0"
}

// reported is a number format that shows a number of a result's kind as the reports print it; their rounding to tens and
// hundreds, which no format can give, stands in the column "as reported".
func reported(m *measure.Measurement, c xlsx.Cell) xlsx.Cell {
	d, ok := m.Decimals()
	if !ok || d > 10 || math.Abs(m.Value) >= 1e7 {
		return c
	}
	format := "#,##0"
	if d > 0 {
		format += "." + strings.Repeat("0", d)
	}
	return formatted(c, format)
}

// whole is a whole number.
func whole(n int) xlsx.Cell { return xlsx.Cell{Value: n, Look: xlsx.Look{Given: true, Format: "0"}} }

// count is a formula that gives a whole number.
func count(f string, n int) xlsx.Cell {
	return xlsx.Cell{Formula: f, Value: n, Look: xlsx.Look{Format: "0"}}
}
