package sheet

import (
	"fmt"
)

type kind byte

const (
	textCell    kind = iota
	numberCell       // a number in a spreadsheet cell: value holds it
	percentCell      // a number that the spreadsheet shows in per cent: value holds 97 for 97 %
	dateCell         // a date or time in a spreadsheet cell; Text holds it in ISO form
	boolCell
)

// Cell is one cell of a table. Text is what the person wrote: of a spreadsheet number its value to fifteen digits, of a
// spreadsheet date its ISO form, of a formula its last value.
type Cell struct {
	Place Place
	Text  string
	Unit  string // the unit in the brackets of the column's header, as written

	kind  kind
	value float64
	rule  numberRule
	order dateOrder // of the whole column
	bad   bool      // it holds no value that can be read; a problem says why
}

// Blank reports whether the cell holds nothing but spaces.
func (c Cell) Blank() bool { return !c.bad && clean(c.Text) == "" }

// Number reads the cell as a finite number by the contract's rules. The error says what was found and is accepted.
func (c Cell) Number() (float64, error) {
	switch c.kind {
	case numberCell, percentCell:
		return c.value, nil
	case dateCell:
		return 0, fmt.Errorf("found the date or time %s, accepted is %s (the spreadsheet took what was typed for a date)", quote(c.Text), accepted)
	}
	return parseNumber(c.Text, c.rule)
}

// Range reads the cell as a range; a single number gives low and high alike.
func (c Cell) Range() (low, high float64, err error) {
	switch c.kind {
	case numberCell, percentCell:
		return c.value, c.value, nil
	case dateCell:
		return 0, 0, fmt.Errorf("found the date %s, accepted is a number or a range such as 6-8 (the spreadsheet took what was typed for a date: format the cell as text and type it again)", quote(c.Text))
	}
	return parseRange(c.Text, c.rule)
}

// Date reads the cell as a date and gives it as YYYY-MM-DD; a time of day after the date is passed over.
func (c Cell) Date() (iso string, err error) {
	if c.kind == numberCell || c.kind == percentCell {
		return "", fmt.Errorf("found the number %s, accepted is a date: format the cell as a date, or write YYYY-MM-DD", quote(c.Text))
	}
	return parseDate(c.Text, c.order)
}
