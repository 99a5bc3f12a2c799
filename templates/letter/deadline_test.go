package letter

import (
	"math/rand/v2"
	"testing"
	"time"
)

func day(t *testing.T, s string) time.Time {
	t.Helper()
	d, err := time.Parse(time.DateOnly, s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// The days were counted off on the Gregorian calendar, in which 2026-08-03 is a Monday and 2000-02-29 a Tuesday. Easter
// Sunday 2026 is 5 April (Gregorian computus).
func TestDeadline(t *testing.T) {
	for _, x := range []struct {
		from     string
		days     int
		holidays []string
		want     string
	}{
		{"2026-08-03", 10, nil, "2026-08-17"},                                                              // Monday to Monday, over two weekends
		{"2026-08-03", 1, nil, "2026-08-04"},                                                               // the day itself does not count
		{"2026-08-07", 1, nil, "2026-08-10"},                                                               // Friday to Monday
		{"2026-08-08", 1, nil, "2026-08-10"},                                                               // sent on a Saturday
		{"2026-08-09", 1, nil, "2026-08-10"},                                                               // sent on a Sunday
		{"2026-08-09", 5, nil, "2026-08-14"},                                                               // a week from Sunday
		{"2026-12-18", 10, nil, "2027-01-01"},                                                              // over a year's end
		{"2026-12-18", 10, []string{"2026-12-25", "2026-12-26", "2027-01-01"}, "2027-01-05"},               // the 26th is a Saturday and costs nothing
		{"2026-12-18", 10, []string{"2026-12-25", "2026-12-25", "2026-12-18"}, "2027-01-04"},               // one twice, one on the day itself
		{"2028-02-25", 3, nil, "2028-03-01"},                                                               // 29 February 2028
		{"2026-02-27", 1, nil, "2026-03-02"},                                                               // no 29 February
		{"2000-02-29", 250, nil, "2001-02-13"},                                                             // fifty weeks
		{"2026-12-31", 1, []string{"2027-01-01"}, "2027-01-04"},                                            // a holiday before a weekend
		{"2026-04-02", 2, []string{"2026-04-03", "2026-04-06"}, "2026-04-08"},                              // Good Friday and Easter Monday 2026
		{"2026-08-03", 10, []string{"2026-08-17"}, "2026-08-18"},                                           // the last day is one
		{"2026-08-03", 10, []string{"2026-08-18", "2025-08-05", "2026-08-15", "2026-08-16"}, "2026-08-17"}, // none of these is on the way
	} {
		var off []time.Time
		for _, h := range x.holidays {
			off = append(off, day(t, h))
		}
		got, err := Deadline(day(t, x.from), x.days, off)
		if err != nil || got.Format(time.DateOnly) != x.want {
			t.Errorf("%d working days after %s without %v: %s, %v; want %s", x.days, x.from, x.holidays, got.Format(time.DateOnly), err, x.want)
		}
	}
}

// Five working days are a week, whatever the day, so that n = 5q + r of them are q weeks and r more: a formula that
// counts no days.
func TestDeadlineByWeeks(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 1))
	for range 2000 {
		from := time.Date(1990+rnd.IntN(100), time.Month(1+rnd.IntN(12)), 1+rnd.IntN(31), 0, 0, 0, 0, time.UTC)
		n := 1 + rnd.IntN(maxDays)
		start := from
		switch from.Weekday() { // from a weekend one counts as from the Friday before it
		case time.Saturday:
			start = from.AddDate(0, 0, -1)
		case time.Sunday:
			start = from.AddDate(0, 0, -2)
		}
		r := n % 5
		want := start.AddDate(0, 0, 7*(n/5)+r)
		if int(start.Weekday())+r > 5 {
			want = want.AddDate(0, 0, 2)
		}
		got, err := Deadline(from, n, nil)
		if err != nil || !got.Equal(want) {
			t.Fatalf("%d working days after %s: %s, %v; want %s", n, from.Format(time.DateOnly), got.Format(time.DateOnly), err, want.Format(time.DateOnly))
		}
	}
}

func TestDeadlineRefuses(t *testing.T) {
	from := day(t, "2026-08-03")
	for _, n := range []int{-1, 0, maxDays + 1} {
		if _, err := Deadline(from, n, nil); err == nil {
			t.Errorf("%d working days were taken", n)
		}
	}
	var all []time.Time
	for i := range 11 * maxDays {
		all = append(all, from.AddDate(0, 0, i))
	}
	if d, err := Deadline(from, 1, all); err == nil {
		t.Errorf("holidays without end gave %s", d)
	}
}
