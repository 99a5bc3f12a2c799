package figure

import "weighhouse/verdict"

// Mark draws the shape of a verdict, a square of the given side about its centre, so that verdicts are told apart in
// black and white and by readers who do not see colour. The word always goes with it.
//
//	supported     a filled square
//	contradicted  an open square, crossed out
//	inconclusive  an open square, half filled along the diagonal
//	untested      an open square
//	unclear       an open diamond with a dot
func Mark(s Surface, o verdict.Outcome, centre Point, side float64) {
	h := side / 2
	x, y := centre.X, centre.Y
	line := Stroke{Width: side * 0.13, Tone: Ink}
	square := box(x-h, y-h, x+h, y+h)
	switch o {
	case verdict.Supported:
		s.Polygon(square, Ink, line)
	case verdict.Contradicted:
		s.Polygon(square, Paper, line)
		s.Line(square[0], square[2], line)
		s.Line(square[1], square[3], line)
	case verdict.Inconclusive:
		s.Polygon(square, Paper, None.line())
		s.Polygon([]Point{square[0], square[2], square[3]}, Ink, None.line())
		s.Polygon(square, None, line)
	case verdict.Unclear:
		d := h * 1.25
		s.Polygon([]Point{{x, y - d}, {x + d, y}, {x, y + d}, {x - d, y}}, Paper, line)
		s.Dots([]Point{centre}, side*0.3, Ink)
	default:
		s.Polygon(square, Paper, line)
	}
}

// line is a stroke of the tone, a point wide; of None it draws nothing.
func (t Tone) line() Stroke {
	if t == None {
		return Stroke{}
	}
	return Stroke{Width: 1, Tone: t}
}

// VerdictMark is the shape alone, as a figure for text and tables.
func VerdictMark(o verdict.Outcome, side float64) Figure {
	d := side * 1.4
	return New("mark-"+string(o), string(o), "the shape for "+string(o), d, d, func(s Surface) {
		Mark(s, o, Point{d / 2, d / 2}, side)
	})
}
