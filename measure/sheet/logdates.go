package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// dateForm is the form of dates whose order of day, month and year the form alone does not tell: the separator, and whether the year has two
// digits. The zero form is a date whose order is certain.
type dateForm struct {
	sep   byte
	short bool
}

// orders are the orders that a form can have.
func (f dateForm) orders() []dateOrder {
	if f.short {
		return []dateOrder{dayFirst, monthFirst, yearFirst}
	}
	return []dateOrder{dayFirst, monthFirst}
}

func (f dateForm) write(n [3]int) string {
	if f.short {
		return fmt.Sprintf("%02d%c%02d%c%02d", n[0], f.sep, n[1], f.sep, n[2])
	}
	return fmt.Sprintf("%02d%c%02d%c%04d", n[0], f.sep, n[1], f.sep, n[2])
}

// openForm gives the three numbers of a date whose order is open.
func openForm(text string) (n [3]int, form dateForm, ok bool) {
	a, b, c, sep, _, ok := threeParts(text)
	switch {
	case !ok || len(a) > 2 || len(b) > 2:
		return n, form, false
	case len(c) == 4:
	case len(c) == 2:
		form.short = true
	default:
		return n, form, false
	}
	for i, s := range []string{a, b, c} {
		n[i], _ = strconv.Atoi(s)
	}
	form.sep = sep
	return n, form, true
}

// open reads a date and time as the log's column writes it. form is not zero where the whole column has to tell the order.
func (c *clock) open(text string) (st stamp, n [3]int, form dateForm, err error) {
	n, form, ok := openForm(clean(text))
	if !ok {
		st, err = parseStamp(text, c.order)
		return st, n, dateForm{}, err
	}
	err = fmt.Errorf("found %s, which is no day of the calendar, accepted is a date: %s", quote(text), acceptedDate)
	for _, o := range form.orders() {
		if c.order != unknownOrder && o != c.order && (c.order != yearFirst || form.short) || !arrange(n, o).valid() {
			continue
		}
		if st, err = parseStamp(text, o); err == nil {
			return st, n, form, nil
		}
	}
	return st, n, form, err
}

// decideDate tries the first time of a column as a date.
func (c *clock) decideDate(text string) (st stamp, ok bool, err error) {
	t, named := spelled(text)
	if !named {
		if _, _, _, _, _, three := threeParts(text); !three {
			return st, false, nil
		}
		t = text
	}
	st, _, _, err = c.open(t)
	return st, true, err
}

// resolve turns the dates whose order was open into seconds from the origin, now that the whole column is read. The order is the one that the
// cell or the header names; else the only one in which all are days of the calendar; else, of several, the one in which the
// days of the column follow each other while they lie weeks apart in every other; else, of dates with a year of four digits
// and points or hyphens, the day first, as the contract has it. note says what was found, "" where it goes without saying.
func (c *clock) resolve() (days []float64, note string, err error) {
	f := c.form
	order, why := c.order, ""
	switch order {
	case yearFirst:
		if !f.short {
			order = unknownOrder
		}
	case mixedOrder:
		order = unknownOrder
	}
	if order == unknownOrder {
		order, why, err = c.findOrder()
		if err != nil {
			return nil, "", err
		}
	}
	days = make([]float64, len(c.slash))
	for i, k := range c.slash {
		d := arrange(k, order)
		if !d.valid() {
			return nil, "", fmt.Errorf("found %s, which is no day of the calendar in the order %s", quote(f.write(k)), order.name(f.sep, f.short))
		}
		days[i] = float64(d.days() * 86400)
	}
	c.order = order
	if why != "" || f.short {
		note = fmt.Sprintf("the dates were read as %s%s: %s is %s", order.name(f.sep, f.short), why, f.write(c.slash[0]), arrange(c.slash[0], order).iso())
	}
	return days, note, nil
}

func (c *clock) findOrder() (order dateOrder, why string, err error) {
	f := c.form
	type reading struct {
		order dateOrder
		step  float64 // the longest step between dates that follow each other, days
	}
	var can []reading
	for _, o := range f.orders() {
		r := reading{order: o}
		for i, k := range c.slash {
			d := arrange(k, o)
			if !d.valid() {
				r.order = unknownOrder
				break
			}
			if i > 0 {
				r.step = math.Max(r.step, math.Abs(float64(d.days()-arrange(c.slash[i-1], o).days())))
			}
		}
		if r.order != unknownOrder {
			can = append(can, r)
		}
	}
	first := quote(f.write(c.slash[0]))
	if len(can) == 0 {
		return 0, "", fmt.Errorf("found %s in a column that holds dates with the day first and dates with the month first, accepted is one order, best YYYY-MM-DD", first)
	}
	if len(can) == 1 {
		if f.sep != '/' && !f.short && can[0].order == monthFirst {
			why = ", the only order in which all are days of the calendar"
		}
		return can[0].order, why, nil
	}
	same := true
	for _, k := range c.slash {
		for _, r := range can {
			same = same && arrange(k, r.order) == arrange(k, can[0].order)
		}
	}
	if same {
		return can[0].order, "", nil
	}
	best, others := can[0], math.Inf(1)
	for _, r := range can {
		if r.step < best.step {
			best = r
		}
	}
	for _, r := range can {
		if r.order != best.order {
			others = math.Min(others, r.step)
		}
	}
	if len(c.slash) > 1 && best.step <= 2 && others >= 14 {
		return best.order, ", the order in which the days follow each other", nil
	}
	if !f.short && f.sep != '/' {
		return dayFirst, "", nil
	}
	var names, cells []string
	for _, r := range can {
		names = append(names, arrange(c.slash[0], r.order).iso())
		cells = append(cells, quote(c.header+" ["+r.order.name(f.sep, f.short)+"]"))
	}
	what := "nothing in the column tells day from month"
	if f.short {
		what = "nothing in the column tells day, month and year apart"
	}
	return 0, "", fmt.Errorf("found the date %s, and %s (%s), accepted is YYYY-MM-DD, or the order in the header or where the column is named: %s", first, what, strings.Join(names, " or "), strings.Join(cells, " or "))
}
