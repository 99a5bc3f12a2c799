package main

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/measure"
)

// dots are the bits of a braille character by row and column of its two-by-four cell (Unicode, block U+2800).
var dots = [4][2]rune{{0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}}

// canvas is a grid of braille cells, two dots wide and four high each.
type canvas struct {
	w, h  int // cells
	cells [][]rune
	ascii bool // marks "*" in place of braille, for terminals that lack it
}

func newCanvas(w, h int, ascii bool) *canvas {
	c := &canvas{w: w, h: h, ascii: ascii, cells: make([][]rune, h)}
	for i := range c.cells {
		c.cells[i] = make([]rune, w)
	}
	return c
}

// set marks the dot at x, y in 0…1, the origin at the lower left.
func (c *canvas) set(x, y float64) {
	if !(x >= 0 && x <= 1 && y >= 0 && y <= 1) {
		return
	}
	col := min(int(x*float64(2*c.w)), 2*c.w-1)
	row := min(int((1-y)*float64(4*c.h)), 4*c.h-1)
	c.cells[row/4][col/2] |= dots[row%4][col%2]
}

func (c *canvas) line(i int) string {
	var b strings.Builder
	for _, r := range c.cells[i] {
		switch {
		case r == 0:
			b.WriteByte(' ')
		case c.ascii:
			b.WriteByte('*')
		default:
			b.WriteRune(0x2800 + r)
		}
	}
	return strings.TrimRight(b.String(), " ")
}

// drawCurve draws the excess over background against time on a log scale: the readings, and over the window the fit.
func drawCurve(k *measure.Curve, width, height int, ascii bool) string {
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, v := range k.Value {
		if x := v - k.Background; x > 0 && k.Hours[i] >= k.From {
			lo, hi = math.Min(lo, x), math.Max(hi, x)
		}
	}
	if !(hi > lo) || len(k.Hours) < 2 || width < 10 {
		return "(nothing to draw)\n"
	}
	first, last := k.Hours[0], k.Hours[len(k.Hours)-1]
	scale := func(x float64) float64 { return (math.Log(x) - math.Log(lo)) / (math.Log(hi) - math.Log(lo)) }
	c := newCanvas(width, height, ascii)
	for i, v := range k.Value {
		if x := v - k.Background; x > 0 {
			c.set((k.Hours[i]-first)/(last-first), scale(x))
		}
	}
	for i := 0; i <= 8*width; i++ {
		t := k.From + (k.To-k.From)*float64(i)/float64(8*width)
		c.set((t-first)/(last-first), scale(k.A*math.Exp(-k.K*t)))
	}
	var b strings.Builder
	for i := range height {
		label := ""
		switch i {
		case 0:
			label = fmt.Sprintf("%.3g", hi)
		case height - 1:
			label = fmt.Sprintf("%.3g", lo)
		}
		fmt.Fprintf(&b, "%8s │%s\n", label, c.line(i))
	}
	fmt.Fprintf(&b, "%8s └%s\n", "", strings.Repeat("─", width))
	left := fmt.Sprintf("%.3g", 60*first)
	right := fmt.Sprintf("%.3g min", 60*last)
	fmt.Fprintf(&b, "%8s  %s%*s\n", clean(k.ValueUnit), left, width-len(left), right)
	return b.String()
}
