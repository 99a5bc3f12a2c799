package sheet

import (
	"fmt"
	"strings"
	"unicode"

	"weighhouse/measure/unit"
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
	rich  string    // what of its text is raised, lowered or struck through, or that the cell is; "" where nothing is
}

// Blank reports whether the cell holds nothing but spaces.
func (c Cell) Blank() bool { return !c.bad && clean(c.Text) == "" }

// Number reads the cell as a finite number by the contract's rules. The error says what was found and is accepted.
func (c Cell) Number() (float64, error) {
	v, _, err := c.Quantity()
	return v, err
}

// Quantity reads the cell as a finite number, with the unit that stands behind it in the cell itself: 5 m, 0.4 %. In a
// column of uncertainties a ± may stand before it. The unit is "" where there is none.
func (c Cell) Quantity() (v float64, own string, err error) {
	if c.kind == dateCell {
		return 0, "", c.dateFound("date or time", accepted)
	}
	v, high, own, err := c.span(parseNumberTwice)
	if err == nil && v != high {
		err = fmt.Errorf("found the range %s, accepted is %s", quote(c.Text), accepted)
	}
	return v, own, err
}

// Range reads the cell as a range; a single number gives low and high alike.
func (c Cell) Range() (low, high float64, err error) {
	low, high, _, err = c.QuantityRange()
	return low, high, err
}

// QuantityRange reads the cell as a range, with the unit that stands behind it in the cell itself.
func (c Cell) QuantityRange() (low, high float64, own string, err error) { return c.span(parseRange) }

// dateFound is the error of a cell that the spreadsheet took for a date.
func (c Cell) dateFound(what, ok string) error {
	return fmt.Errorf("found the %s %s, accepted is %s (the spreadsheet took what was typed for a date%s)", what, quote(c.Text), ok, map[bool]string{true: ": format the cell as text and type it again"}[what == "date"])
}

func parseNumberTwice(text string, rule numberRule) (float64, float64, error) {
	v, err := parseNumber(text, rule)
	return v, v, err
}

// span reads the cell by parse, and again without the unit at its end where it has one.
func (c Cell) span(parse func(string, numberRule) (float64, float64, error)) (low, high float64, own string, err error) {
	if c.rich == struckText {
		return 0, 0, "", fmt.Errorf("found %s, and %s", quote(c.Text), c.rich)
	}
	if c.rich != "" {
		return 0, 0, "", fmt.Errorf("found %s, and %s, accepted is %s without other characters", quote(c.Text), c.rich, accepted)
	}
	switch c.kind {
	case numberCell:
		return c.value, c.value, "", nil
	case percentCell:
		return c.value, c.value, "%", nil
	case dateCell:
		return 0, 0, "", c.dateFound("date", "a number or a range such as 6-8")
	}
	text := clean(c.Text)
	if strings.Contains(FoldName(c.Place.Column), "±") {
		for _, mark := range []string{"±", "+/-", "+-"} {
			if rest, ok := strings.CutPrefix(text, mark); ok {
				text = clean(rest)
				break
			}
		}
	}
	if low, high, err = parse(text, c.rule); err == nil {
		if strings.HasSuffix(text, "%") {
			own = "%"
		}
		return low, high, own, nil
	}
	for i, r := range text {
		if i == 0 || !unicode.IsLetter(r) && r != '°' && r != '"' {
			continue
		}
		if u, known := unit.Lookup(text[i:]); known && u.Name != "" {
			if lo, hi, bad := parse(clean(text[:i]), c.rule); bad == nil {
				return lo, hi, text[i:], nil
			}
		}
	}
	return 0, 0, "", err
}

// Date reads the cell as a date and gives it as YYYY-MM-DD; a time of day after the date is passed over.
func (c Cell) Date() (iso string, err error) {
	if c.rich != "" {
		return "", fmt.Errorf("found %s, and %s, accepted is a date without other characters", quote(c.Text), c.rich)
	}
	if c.kind == numberCell || c.kind == percentCell {
		return "", fmt.Errorf("found the number %s, accepted is a date: format the cell as a date, or write YYYY-MM-DD", quote(c.Text))
	}
	return parseDate(c.Text, c.order)
}
