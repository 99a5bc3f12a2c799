package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"weighhouse/measure/unit"
)

// Text is a field of a row that takes any text, trimmed.
type Text struct {
	Place Place
	Value string
	Bad   bool // the cell cannot be read; a problem says why
}

// Number is a field of a row that takes a number or nothing. Unit is the unit that stands behind it in its cell, else that
// of the column's header, as written.
type Number struct {
	Place  Place
	Value  float64 // finite; 0 where Given is false
	Text   string  // as written
	Unit   string
	InCell bool // the unit stands in the cell
	Given  bool
	Bad    bool // the cell cannot be read; a problem says why
}

// Span is a field of a row that takes a number, a range, or nothing; of a number Low and High are equal.
type Span struct {
	Place     Place
	Low, High float64
	Text      string
	Unit      string
	InCell    bool // the unit stands in the cell
	Given     bool
	Bad       bool // the cell cannot be read; a problem says why
}

// Date is a field of a row that takes a date or nothing; ISO is YYYY-MM-DD.
type Date struct {
	Place Place
	ISO   string
	Text  string
	Given bool
	Bad   bool // the cell cannot be read; a problem says why
}

// RowPlace is a field of a row, tagged `csv:"@row"`, that receives the place of the row.
type RowPlace struct{ Place Place }

// field is what Decode fills: a type that reads itself from a cell.
type field interface{ set(c Cell) error }

func (t *Text) set(c Cell) error {
	*t = Text{Place: c.Place, Value: clean(c.Text), Bad: c.bad}
	return nil
}

func (n *Number) set(c Cell) error {
	*n = Number{Place: c.Place, Text: clean(c.Text), Unit: c.Unit, Bad: c.bad}
	if c.bad || c.Blank() {
		return nil
	}
	v, own, err := c.Quantity()
	if err != nil {
		return err
	}
	n.Value, n.Given = v, true
	n.Unit, n.InCell, err = oneUnit(own, c)
	return err
}

// oneUnit is the unit of a cell: its own, else that of the header. Two that are not the same are an error.
func oneUnit(own string, c Cell) (text string, inCell bool, err error) {
	switch {
	case own == "":
		return c.Unit, false, nil
	case c.Unit != "" && !unit.Same(own, c.Unit):
		return "", true, fmt.Errorf("found %s in a column whose header says %s, accepted is one unit for both", quote(clean(c.Text)), quote(c.Unit))
	case c.Unit != "" && unit.Same(own, "dB"): // dB in a column of dB(A)
		return c.Unit, true, nil
	}
	return own, true, nil
}

func (s *Span) set(c Cell) error {
	*s = Span{Place: c.Place, Text: clean(c.Text), Unit: c.Unit, Bad: c.bad}
	if c.bad || c.Blank() {
		return nil
	}
	lo, hi, own, err := c.QuantityRange()
	if err != nil {
		return err
	}
	s.Low, s.High, s.Given = lo, hi, true
	s.Unit, s.InCell, err = oneUnit(own, c)
	return err
}

func (d *Date) set(c Cell) error {
	*d = Date{Place: c.Place, Text: clean(c.Text), Bad: c.bad}
	if c.bad || c.Blank() {
		return nil
	}
	iso, err := c.Date()
	if err != nil {
		return err
	}
	d.ISO, d.Given = iso, true
	return nil
}

func (r *RowPlace) set(c Cell) error {
	r.Place = c.Place
	return nil
}

// UnmarshalCSV reads the field for gocsv. Decode hands over whole cells, with their places; a plain text is read as a
// cell that stands nowhere.
func (t *Text) UnmarshalCSV(s string) error { return t.set(unwire(s)) }

// UnmarshalCSV reads the field for gocsv; see Text.
func (n *Number) UnmarshalCSV(s string) error { return n.set(unwire(s)) }

// UnmarshalCSV reads the field for gocsv; see Text.
func (s *Span) UnmarshalCSV(text string) error { return s.set(unwire(text)) }

// UnmarshalCSV reads the field for gocsv; see Text.
func (d *Date) UnmarshalCSV(s string) error { return d.set(unwire(s)) }

// UnmarshalCSV reads the field for gocsv; see Text.
func (r *RowPlace) UnmarshalCSV(s string) error { return r.set(unwire(s)) }

// gocsv hands a field one string and nothing else. So that a field knows its place and how its column is to be read,
// the string carries the whole cell: a NUL, which no cell holds, then its parts with NULs between.
const wireMark = "\x00"

func (c Cell) wire() string {
	flag := func(b bool) string {
		if b {
			return "1"
		}
		return ""
	}
	return wireMark + strings.Join([]string{
		c.Text, c.Unit, c.Place.Book, c.Place.Sheet, strconv.Itoa(c.Place.Row), strconv.Itoa(c.Place.Col), c.Place.Column,
		strconv.Itoa(int(c.kind)), strconv.FormatUint(math.Float64bits(c.value), 16), flag(c.rule.comma), flag(c.rule.log),
		strconv.Itoa(int(c.order)), flag(c.bad), c.rich,
	}, wireMark)
}

func unwire(s string) Cell {
	rest, ok := strings.CutPrefix(s, wireMark)
	var parts [14]string
	if !ok || strings.Count(rest, wireMark) != len(parts)-1 {
		return Cell{Text: s}
	}
	for i := range parts {
		parts[i], rest, _ = strings.Cut(rest, wireMark)
	}
	num := func(s string) int { n, _ := strconv.Atoi(s); return n }
	bits, _ := strconv.ParseUint(parts[8], 16, 64)
	return Cell{
		Text: parts[0], Unit: parts[1],
		Place: Place{Book: parts[2], Sheet: parts[3], Row: num(parts[4]), Col: num(parts[5]), Column: parts[6]},
		kind:  kind(num(parts[7])), value: math.Float64frombits(bits),
		rule:  numberRule{comma: parts[9] == "1", log: parts[10] == "1"},
		order: dateOrder(num(parts[11])), bad: parts[12] == "1", rich: parts[13],
	}
}
