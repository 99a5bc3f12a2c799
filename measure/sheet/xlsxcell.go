package sheet

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// parseXMLNumber reads the stored value of a number cell: an XML double that is finite.
func parseXMLNumber(b []byte) (float64, error) {
	s := strings.TrimSpace(string(b))
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) || strings.ContainsAny(s, "xXpP_") {
		return 0, fmt.Errorf("found the stored value %s, accepted is a finite number", quote(string(b)))
	}
	return v, nil
}

// look gives the look of a style; a style that is not there shows numbers plainly.
func (w *workbook) look(style int) look {
	if style < len(w.styles) {
		return w.styles[style].look
	}
	return plainLook
}

// struck reports whether a style strikes its cell through.
func (w *workbook) struck(style int) bool { return style < len(w.styles) && w.styles[style].struck }

// showNumber fills a cell with a number as its style shows it.
func (w *workbook) showNumber(out *rawCell, v float64, style int) {
	l := w.look(style)
	switch {
	case l == percentLook:
		out.kind = percentCell
		out.value = shift2(v)
		out.text = general(out.value) + "%"
	case l == elapsedLook && v >= 0 && v < 1e5:
		out.kind, out.text = dateCell, elapsedText(v*86400)
	case l == timeLook && v >= 0 && v < 1:
		out.kind, out.text = dateCell, clockText(serialSecondsOfDay(v), false, true)
	case l >= dateLook && l <= dateTimeLook && v >= 0 && v < 2958466: // up to 9999-12-31
		s := serialSeconds(v, w.date1904)
		clock := l != dateLook || math.Mod(s, 86400) != 0
		out.kind, out.text = dateCell, clockText(s, true, clock)
	default:
		out.kind, out.value, out.text = numberCell, v, general(v)
	}
}

func serialSecondsOfDay(v float64) float64 { return math.Round(v*86400*1000) / 1000 }

// general writes a number as a spreadsheet cell without a format does, to fifteen digits.
func general(v float64) string {
	s := strconv.FormatFloat(v, 'g', 15, 64)
	if strings.Contains(s, "e") && math.Abs(v) < 1e15 && math.Abs(v) >= 1e-6 {
		s = strconv.FormatFloat(v, 'f', -1, 64)
	}
	return s
}

// shift2 multiplies by one hundred in decimal, so that 0.97 gives 97 and not 97.00000000000001.
func shift2(v float64) float64 {
	s := strconv.FormatFloat(v, 'e', 14, 64)
	i := strings.IndexByte(s, 'e')
	n, _ := strconv.Atoi(s[i+1:])
	out, err := strconv.ParseFloat(s[:i+1]+strconv.Itoa(n+2), 64)
	if err != nil {
		return v * 100
	}
	return out
}

// elapsedText writes seconds as H:MM or H:MM:SS, hours going on past 24.
func elapsedText(seconds float64) string {
	ms := int64(math.Round(seconds * 1000))
	h, m, s := ms/3600000, ms/60000%60, ms%60000
	switch {
	case s == 0:
		return fmt.Sprintf("%02d:%02d", h, m)
	case s%1000 == 0:
		return fmt.Sprintf("%02d:%02d:%02d", h, m, s/1000)
	}
	return fmt.Sprintf("%02d:%02d:%06.3f", h, m, float64(s)/1000)
}

// unescapeX decodes _xHHHH_, by which workbooks write control characters; _x005F_ is the underscore itself.
func unescapeX(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '_' && i+7 <= len(s) && s[i+1] == 'x' && s[i+6] == '_' {
			if n, err := strconv.ParseUint(s[i+2:i+6], 16, 16); err == nil && n > 0 && (n < 0xD800 || n >= 0xE000) {
				b.WriteRune(rune(n))
				i += 6
				continue
			}
		}
		b.WriteByte(s[i])
	}
	return b.String()
}

// notes words what a sheet hides and merges.
func (s *sheetInfo) notes(at Place) []Note {
	var out []Note
	add := func(format string, args ...any) {
		out = append(out, Note{Place: at, Text: fmt.Sprintf(format, args...)})
	}
	if n := len(s.hiddenRows); n > 0 {
		what := "they hold"
		if n == 1 {
			what = "it holds"
		}
		add("%s hidden; what %s was read", rowsText(s.hiddenRows), what)
	}
	for _, c := range s.hiddenCols {
		if c[0] == c[1] {
			add("column %s is hidden; what it holds was read", ColumnLetters(c[0]))
		} else {
			add("columns %s to %s are hidden; what they hold was read", ColumnLetters(c[0]), ColumnLetters(min(c[1], MaxColumns)))
		}
	}
	for i, ref := range s.merged {
		if i == 5 {
			add("%d more groups of cells are merged; of each the first cell alone has the value", len(s.merged)-i)
			break
		}
		first, _, _ := strings.Cut(ref, ":")
		add("the cells %s are merged; the value counts for %s alone", ref, first)
	}
	if _, end, ok := strings.Cut(s.dimension, ":"); ok {
		if _, row, ok := cellRef([]byte(end)); ok && row > s.lastRow {
			add("the sheet says that it reaches to row %d, and the last row with a cell is %d", row, s.lastRow)
		}
	}
	return out
}

func rowsText(rows []int) string {
	if len(rows) == 1 {
		return fmt.Sprintf("row %d is", rows[0])
	}
	if n := len(rows); rows[n-1]-rows[0] == n-1 {
		return fmt.Sprintf("rows %d to %d are", rows[0], rows[n-1])
	}
	return fmt.Sprintf("%d rows from %d to %d are", len(rows), rows[0], rows[len(rows)-1])
}

// drain reads the file to its end through the hash and counts it among the inputs.
func (in *input) drain() error {
	if _, err := io.Copy(io.Discard, in); err != nil {
		return in.problem("", "%v", reason(err))
	}
	return in.done()
}
