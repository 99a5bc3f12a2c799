package qualification

import (
	"fmt"
	"io"
	"math"
	"time"

	"weighhouse/templates/xlsx"
	"weighhouse/verdict/room"
)

// WriteWorkbook writes the qualification as a workbook in which every step from the certificates to the room's
// uncertainty is a formula with its result. It is an error where the room is not qualified: there is nothing to follow.
func WriteWorkbook(w io.Writer, q *room.Qualification, version string) error {
	if q.Model == nil {
		return fmt.Errorf("a workbook follows the model of a qualified room: %s", q.Why)
	}
	_, err := time.Parse(time.DateOnly, q.Day)
	if err != nil {
		return fmt.Errorf("day %q: a date such as 2031-03-14 would do", q.Day)
	}
	b := &xlsx.Book{Title: title(q), Date: q.Day, Header: "weighhouse " + version}
	units, first, last := unitSheet(q)
	grid := gridSheet(q, first, last)
	b.Sheets = []*xlsx.Sheet{useSheet(q), units, grid}
	return b.Write(w)
}

const (
	useName   = "room"
	unitsName = "units"
	gridName  = "grid"
)

func number(v float64, format string) xlsx.Cell {
	return xlsx.Cell{Value: v, Look: xlsx.Look{Format: format}}
}
func given(v float64) xlsx.Cell { return xlsx.Cell{Value: v, Look: xlsx.Look{Given: true}} }
func formula(f string, v float64, format string) xlsx.Cell {
	return xlsx.Cell{Formula: f, Value: v, Look: xlsx.Look{Format: format}}
}

// Columns of the units' sheet.
const (
	colName = iota + 1
	colSerial
	colLab
	colC
	colUC
	colCommon
	colY
	colS
	colX
	colD
	colR2
	colV
	colGX
)

func unitSheet(q *room.Qualification) (s *xlsx.Sheet, first, last int) {
	m := q.Model
	s = &xlsx.Sheet{Name: unitsName, FreezeRows: 2}
	s.Widths(24, 14, 22, 11, 11, 14, 11, 12, 12, 11, 12, 12, 12)
	s.AddTitle("Reference units that count")
	s.Head("unit", "serial", "laboratory", "c, m³/h", "u(c), m³/h", "common part, relative", "y, m³/h", "s, relative", "x, 1/h", "d = ln(y/c)", "r²", "v = s² + r²", "x − x̄")
	first = s.Next()
	last = first + len(m.References) - 1
	mean := fmt.Sprintf("AVERAGE(%s)", fixed(colX, first, last))
	for _, r := range m.References {
		row := s.Next()
		at := func(c int) string { return xlsx.At(c, row) }
		u := r.CertifiedU / r.Certified
		common := r.CommonShare
		cell := given(common)
		if math.IsNaN(common) {
			common = u / math.Sqrt2
			cell = formula(fmt.Sprintf("%s/%s/SQRT(2)", at(colUC), at(colC)), common, "0.00000")
		}
		r2 := r.V() - r.Repeat*r.Repeat
		s.Add(xlsx.Text(r.Name), xlsx.Text(r.Serial), xlsx.Text(r.Laboratory), given(r.Certified), given(r.CertifiedU), cell, given(r.Measured), given(r.Repeat), given(r.X),
			formula(fmt.Sprintf("LN(%s/%s)", at(colY), at(colC)), r.D(), "0.00000"),
			formula(fmt.Sprintf("MAX(0,(%s/%s)^2-MIN(%s,%s/%s)^2)", at(colUC), at(colC), at(colCommon), at(colUC), at(colC)), r2, "0.0000000"),
			formula(fmt.Sprintf("%s^2+%s", at(colS), at(colR2)), r.V(), "0.0000000"),
			formula(fmt.Sprintf("%s-%s", at(colX), mean), r.X-m.MeanX, "0.0000"))
	}
	return s, first, last
}

// fixed is a range of one column with fixed rows.
func fixed(col, from, to int) string {
	c := xlsx.At(col, from)
	letters := c[:len(c)-len(fmt.Sprint(from))]
	return fmt.Sprintf("%s$%d:%s$%d", letters, from, letters, to)
}

// firstNode is the row of the first node on the grid's sheet.
const firstNode = 3

func gridSheet(q *room.Qualification, first, last int) *xlsx.Sheet {
	m := q.Model
	s := &xlsx.Sheet{Name: gridName, FreezeRows: 2}
	s.Widths(10, 14, 14, 14, 14, 14, 12, 12, 16, 12, 12, 12, 12)
	s.AddTitle("The scatter τ on a grid, with what the units say at each value")
	s.Head("τ", "A00", "A01", "A11", "b0", "b1", "Σ ln w", "Σ w·d²", "det A", "φ", "ψ", "ln p", "p")
	v, d, g := on(colV, first, last), on(colD, first, last), on(colGX, first, last)
	top := math.Inf(-1)
	for _, n := range m.Grid {
		top = math.Max(top, n.LogP)
	}
	lastNode := firstNode + len(m.Grid) - 1
	all := fmt.Sprintf("L$%d:L$%d", firstNode, lastNode)
	for i, n := range m.Grid {
		r := firstNode + i
		w := fmt.Sprintf("1/(%s+A%d^2)", v, r)
		det := n.A00*n.A11 - n.A01*n.A01
		s.Add(number(n.Tau, "0.00000"),
			formula(fmt.Sprintf("1/0.1^2+SUMPRODUCT(%s)", w), n.A00, ""),
			formula(fmt.Sprintf("SUMPRODUCT(%s,%s)", w, g), n.A01, ""),
			formula(fmt.Sprintf("1/0.0125^2+SUMPRODUCT(%s,%s,%s)", w, g, g), n.A11, ""),
			formula(fmt.Sprintf("SUMPRODUCT(%s,%s)", w, d), n.B0, ""),
			formula(fmt.Sprintf("SUMPRODUCT(%s,%s,%s)", w, g, d), n.B1, ""),
			formula(fmt.Sprintf("SUMPRODUCT(LN(%s))", w), n.SumLog, ""),
			formula(fmt.Sprintf("SUMPRODUCT(%s,%s,%s)", w, d, d), n.DWD, ""),
			formula(fmt.Sprintf("B%d*D%d-C%d^2", r, r, r), det, ""),
			formula(fmt.Sprintf("(D%d*E%d-C%d*F%d)/I%d", r, r, r, r, r), n.Phi, "0.000000"),
			formula(fmt.Sprintf("(B%d*F%d-C%d*E%d)/I%d", r, r, r, r, r), n.Psi, "0.000000"),
			formula(fmt.Sprintf("G%d/2-LN(I%d)/2-(H%d-E%d*J%d-F%d*K%d)/2-(A%d/0.05)^2/2", r, r, r, r, r, r, r, r), n.LogP, ""),
			formula(fmt.Sprintf("EXP(L%d-MAX(%s))/SUMPRODUCT(EXP(%s-MAX(%s)))", r, all, all, all), n.P, "0.000000"))
	}
	return s
}

func on(col, from, to int) string { return xlsx.On(unitsName, fixed(col, from, to)) }

func useSheet(q *room.Qualification) *xlsx.Sheet {
	m := q.Model
	s := &xlsx.Sheet{Name: useName, Portrait: true}
	s.Widths(46, 16, 60)
	s.AddTitle("What the room adds to a rate")
	s.Head("quantity", "value", "how")
	n := len(m.Grid)
	col := func(c string) string {
		return xlsx.On(gridName, fmt.Sprintf("%s$%d:%s$%d", c, firstNode, c, firstNode+n-1))
	}
	p, tau, phi, psi := col("M"), col("A"), col("J"), col("K")
	c00, c01, c11 := fmt.Sprintf("%s/%s", col("D"), col("I")), fmt.Sprintf("-%s/%s", col("C"), col("I")), fmt.Sprintf("%s/%s", col("B"), col("I"))
	use, err := m.For(m.MeanX)
	if err != nil {
		return s
	}
	row := func(name string, c xlsx.Cell, how string) int { return s.Add(xlsx.Text(name), c, xlsx.Wrapped(how)) }
	mean := m.MeanX
	x := row("air changes an hour of the unit, x", xlsx.Cell{Value: mean, Look: xlsx.Look{Given: true}}, "put in another to see what the room does there")
	meanRow := row("mean of the reference units, x̄", formula(fmt.Sprintf("AVERAGE(%s)", on(colX, 3, 2+len(m.References))), mean, "0.0000"), "")
	g := fmt.Sprintf("(B%d-B%d)", x, meanRow)
	mu := fmt.Sprintf("(%s+%s*%s)", phi, g, psi)
	mRow := row("m, the shift of ln y", formula(fmt.Sprintf("SUMPRODUCT(%s,%s)", p, mu), use.M, "0.00000"), "Σ p·(φ + ψ·(x − x̄))")
	f := fmt.Sprintf("(%s+2*%s*(%s)+%s^2*%s)", c00, g, c01, g, c11)
	off := fmt.Sprintf("(%s-B%d)", mu, mRow)
	lineRow := row("u of the line", formula(fmt.Sprintf("SQRT(SUMPRODUCT(%s,%s+%s^2))", p, f, off), use.ULine, "0.00000"), "√Σ p·(f + (μ − m)²)")
	sq := fmt.Sprintf("(%s+%s^2)", f, tau)
	singleRow := row("u of a single unit", formula(fmt.Sprintf("SQRT(SUMPRODUCT(%s,%s+%s^2))", p, sq, off), use.UP, "0.00000"), "√Σ p·(f + τ² + (μ − m)²)")
	fourth := 0.0
	for _, k := range m.Grid {
		gx := use.X - m.MeanX
		o := k.Phi + gx*k.Psi - use.M
		fv := k.C00 + 2*gx*k.C01 + gx*gx*k.C11 + k.Tau*k.Tau
		fourth += k.P * (3*fv*fv + 6*fv*o*o + o*o*o*o)
	}
	fourthRow := row("fourth moment", formula(fmt.Sprintf("SUMPRODUCT(%s,3*%s^2+6*%s*%s^2+%s^4)", p, sq, sq, off, off), fourth, "0.00E+00"), "Σ p·(3s⁴ + 6s²(μ − m)² + (μ − m)⁴)")
	row("degrees of freedom ν", formula(fmt.Sprintf("IF(B%d/B%d^4>3,MIN(200,4+6/(B%d/B%d^4-3)),200)", fourthRow, singleRow, fourthRow, singleRow), use.DOF, "0.00"), "4 + 6/(μ4/u⁴ − 3), at most 200: a t with the same kurtosis")
	lab := row("shared by the certificates, u_L", given(m.ULab), "one laboratory: its largest common part; several: root mean square over the root of their number")
	z := row("z", formula(fmt.Sprintf("B%d/SQRT(B%d^2+B%d^2)", mRow, lineRow, lab), use.Z, "0.00"), "below 2 in size a factor of 1 is tenable")
	row("factor F", formula(fmt.Sprintf("EXP(B%d)", mRow), use.Factor, "0.0000"), "a rate is divided by it where |z| is 2 or more")
	row("u of the room, relative", formula(fmt.Sprintf("IF(ABS(B%d)<2,SQRT(B%d^2+B%d^2+B%d^2),SQRT(B%d^2+B%d^2))", z, singleRow, lab, mRow, singleRow, lab), use.U, "0.0000"), "with the shift itself where nothing is corrected")
	return s
}
